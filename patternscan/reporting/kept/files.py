"""The files that belong to a result: its document names them with their digests, so that a set that does not fit shows.

Early results name none; what lies beside them is taken for theirs.
"""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256
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
    return {name: sha256(content).hexdigest() for name, content in files.items()}


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
    if named and named.get(path.name) != sha256(content).hexdigest():
        raise InconsistentInputs(
            f"{path} does not belong to the result that lies beside it: it is of another run, or was changed.",
            "Judge the photos again, into a new folder.",
        )
    return content


def own_files(path: Path) -> tuple[Path, ...]:
    """The files that the document in a file names and that are still as it says."""
    return tuple(path.with_name(name) for name, digest in named_files(path).items() if _digest(path, name) == digest)


def _digest(path: Path, name: str) -> str | None:
    try:
        return sha256(path.with_name(name).read_bytes()).hexdigest()
    except OSError:
        return None
