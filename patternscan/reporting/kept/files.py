"""The files that belong to a result: its document names them with their digests, so that a set that does not fit shows.

Early results name none; what lies beside them is taken for theirs.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

import msgspec

from patternscan.errors import InconsistentInputs
from patternscan.text_file import text_bytes

Digests = Mapping[str, str]
"""SHA-256 of each file in hexadecimal, by the file's bare name."""


class _Record(msgspec.Struct):
    """Of a result's document, what it says of its files."""

    files: dict[str, str] = {}


def digests_of(files: Mapping[str, bytes]) -> dict[str, str]:
    """The digests of these files (FIPS 180-4)."""
    return {name: hashlib.sha256(content).hexdigest() for name, content in files.items()}


def named_files(path: Path) -> Digests:
    """What the document in a file says of the files beside it; nothing when it is no document."""
    try:
        files = msgspec.json.decode(text_bytes(path), type=_Record).files
    except (OSError, msgspec.MsgspecError, RecursionError, UnicodeDecodeError):
        return {}
    return {name: digest for name, digest in files.items() if Path(name).name == name}


def own_content(path: Path, named: Digests) -> bytes:
    """A file of a result. Raises OSError when there is none, InconsistentInputs when it is not the result's own."""
    content = path.read_bytes()
    if named and named.get(path.name) != hashlib.sha256(content).hexdigest():
        raise InconsistentInputs(
            f"{path} does not belong to the result that lies beside it: it is of another run, or was changed.",
            "Judge the photos again, into a new folder.",
        )
    return content


def own_files(path: Path) -> tuple[Path, ...]:
    """The files that the document in a file names and that are still as it says."""
    named = ((path.with_name(name), digest) for name, digest in named_files(path).items())
    return tuple(own for own, digest in named if file_digest(own) == digest)


def file_digest(path: Path) -> str | None:
    """SHA-256 of a file in hexadecimal; None for what is no readable file."""
    try:
        if not path.is_file():
            return None
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError):
        return None
