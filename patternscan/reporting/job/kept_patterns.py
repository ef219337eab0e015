"""The patterns of a job with the pictures and photos that lie in its folder."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank
from patternscan.reporting.kept.files import file_digest, named_files, own_content
from patternscan.reporting.kept.judgement import JUDGEMENT_NAME
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.pattern_parts import FlankPrint, PhotoLink


class PhotoPlace(StrEnum):
    """Whether a photo lies in the job's folder, in words."""

    KEPT = "in the job's folder"
    CHANGED = "in the job's folder, but no longer as it was read"
    NOT_KEPT = "not kept in the job's folder"


@dataclass(frozen=True, slots=True)
class PhotoShown:
    """A photo of a pattern and whether it is there."""

    link: PhotoLink
    place: PhotoPlace


@dataclass(frozen=True, slots=True)
class FlankShown:
    """One flank of a pattern: its numbers, and the files of its first tooth as bytes (None when they are missing).

    ``flat`` is the flank laid flat, ``contact`` its contact map.
    """

    flank: Flank
    numbers: FlankPrint | None
    flat: bytes | None
    contact: bytes | None


@dataclass(frozen=True, slots=True)
class PatternShown:
    """A pattern with its pictures and photos. ``doubts`` are the lesser cautions of the judgement that lies with them;
    those that forbid a direction are in the log.
    """

    entry: Entry
    pattern: Pattern
    flanks: tuple[FlankShown, FlankShown]
    photos: tuple[PhotoShown, ...]
    doubts: tuple[str, ...]


def kept_patterns(folder: Path, entries: Sequence[Entry]) -> Iterator[PatternShown]:
    """The patterns of these entries in their order, with what lies in the job's folder of each."""
    for entry in entries:
        if isinstance(pattern := entry.event, Pattern):
            place = _inside(folder, pattern.folder)
            flanks = _flank(Flank.LEFT, pattern.left, place), _flank(Flank.RIGHT, pattern.right, place)
            photos = tuple(PhotoShown(link, _photo_place(place, link)) for link in pattern.photos)
            yield PatternShown(entry, pattern, flanks, photos, _doubts(place))


def _flank(flank: Flank, numbers: FlankPrint | None, place: Path | None) -> FlankShown:
    flat, contact = (_content(place, f"{flank}_1.{ending}") for ending in ("flat.jpg", "contact.png"))
    return FlankShown(flank, numbers, flat, contact)


def _doubts(place: Path | None) -> tuple[str, ...]:
    """None when the judgement is missing or damaged."""
    try:
        cautions = json.loads(_content(place, JUDGEMENT_NAME) or b"{}").get("cautions", [])
        return tuple(str(one["message"]) for one in cautions if not one["grave"])
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return ()


def _inside(folder: Path, name: str | None) -> Path | None:
    """The folder of that name if it lies inside the job's: a log changed by hand must not lead to other files."""
    try:
        place = (folder / (name or "")).resolve()
        return place if name and place.is_relative_to(folder.resolve()) and place.is_dir() else None
    except (OSError, ValueError):
        return None


def _content(place: Path | None, name: str) -> bytes | None:
    """A file of a kept judgement; None when it is missing, or not the one that the judgement names."""
    try:
        named = {} if place is None or name == JUDGEMENT_NAME else named_files(place / JUDGEMENT_NAME)
        return None if place is None else own_content(place / name, named)
    except (OSError, InconsistentInputs):
        return None


def _photo_place(place: Path | None, link: PhotoLink) -> PhotoPlace:
    """Copies of photos of one name carry a number before their ending; those without origin are other files."""
    name = Path(link.name)
    if place is None or name.name != link.name:
        return PhotoPlace.NOT_KEPT
    names = [name.name, *(f"{name.stem}.{number}{name.suffix}" for number in range(2, 10))]
    digests = {each: digest for each in names if (digest := file_digest(place / each)) is not None}
    if not digests:
        return PhotoPlace.NOT_KEPT
    own = digests.items() & named_files(place / JUDGEMENT_NAME).items()
    return PhotoPlace.KEPT if own or link.sha256 in digests.values() else PhotoPlace.CHANGED
