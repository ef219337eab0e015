"""Where a result comes from: which files by their digests, and which versions made it."""

from __future__ import annotations

import platform
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any

from patternscan.frame import Flank
from patternscan.reporting.text.wording import as_markdown
from patternscan.seeing.image.photo import Photo
from patternscan.version import __version__

LIBRARIES = ("numpy", "opencv-python-headless", "scikit-image", "pillow")
"""Those whose version can change a number."""


@dataclass(frozen=True, slots=True)
class Source:
    """A file that a result rests on. ``size_px`` is width and height of a photo, ``sha256`` None when not known."""

    name: str
    sha256: str | None
    size_px: tuple[int, int] | None = None


def photo_sources(photos: Iterable[Photo]) -> tuple[Source, ...]:
    """Each photo once, in the order given."""
    return tuple(dict.fromkeys(Source(one.name, one.sha256, (one.width_px, one.height_px)) for one in photos))


def result_sources(path: Path, document: dict[str, Any]) -> tuple[Source, ...]:
    """A result's file, and the photos that it names, with what the result tells of them."""
    photos = [one.get("photo", {}) for flank in Flank for one in document.get(flank.value, [])]
    return tuple(dict.fromkeys((Source(path.name, sha256(path.read_bytes()).hexdigest()), *map(_named, photos))))


def source_lines(sources: Iterable[Source]) -> list[str]:
    """One line a file."""
    return [_source_line(source) for source in sources]


def versions_line() -> str:
    """What the result was made with."""
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    return f"Made with patternscan {__version__} on Python {platform.python_version()}, with {libraries}."


def _named(photo: dict[str, Any]) -> Source:
    """A photo as a result names it, which may be a result of an older version."""
    width, height, digest = photo.get("width_px"), photo.get("height_px"), photo.get("sha256")
    size = (width, height) if isinstance(width, int) and isinstance(height, int) else None
    return Source(str(photo.get("name") or "a photo without name"), str(digest) if digest else None, size)


def _source_line(source: Source) -> str:
    size = f" ({source.size_px[0]} x {source.size_px[1]} pixels)" if source.size_px else ""
    digest = f"SHA-256 {source.sha256}" if source.sha256 else "digest not known"
    return f"{as_markdown(source.name)}{size}: {digest}"
