"""Where a result comes from: which files by their digests, and which versions made it."""

from __future__ import annotations

import platform
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

from patternscan.frame import Flank
from patternscan.reporting.documents.judgement import JudgementDocument
from patternscan.reporting.text.wording import as_markdown
from patternscan.seeing.image.photo import Photo
from patternscan.text_file import text_bytes
from patternscan.version import __version__

LIBRARIES = ("numpy", "opencv-python-headless", "pillow")
"""Those whose version can change a number."""


@dataclass(frozen=True, slots=True)
class Source:
    """A file that a result rests on. ``size_px`` is width and height of a photo, ``sha256`` None when not known."""

    name: str
    sha256: str | None
    size_px: tuple[int, int] | None = None


def photo_sources(photos: Iterable[Photo]) -> tuple[Source, ...]:
    """Each photo once, in the order given."""
    return tuple(dict.fromkeys(Source(one.name, one.sha256, one.size_px) for one in photos))


def result_sources(path: Path, document: JudgementDocument) -> tuple[Source, ...]:
    """A result's file, and the photos that it names, with what the result tells of them."""
    photos = [one.photo for flank in Flank for one in document.readings(flank)]
    named = (Source(one.name, one.sha256, (one.width_px, one.height_px)) for one in photos)
    return tuple(dict.fromkeys((Source(path.name, sha256(text_bytes(path)).hexdigest()), *named)))


def source_lines(sources: Iterable[Source]) -> list[str]:
    """One line a file."""
    return [_source_line(source) for source in sources]


def versions_line() -> str:
    """What the result was made with."""
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    return f"Made with patternscan {__version__} on Python {platform.python_version()}, with {libraries}."


def _source_line(source: Source) -> str:
    size = f" ({source.size_px[0]} x {source.size_px[1]} pixels)" if source.size_px else ""
    digest = f"SHA-256 {source.sha256}" if source.sha256 else "digest not known"
    return f"{as_markdown(source.name)}{size}: {digest}"
