"""The outline file: the flanks of one photo with their four edges, as JSON. Read and checked, made and written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Any, Literal

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType

from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import Flank, Lift, Medium, Seen
from patternscan.handles import Handle, named
from patternscan.plain_text import one_line, printable, quoted
from patternscan.seeing.geometry.outline import (
    EDGE_NAMES,
    SPOKEN,
    Edge,
    Outline,
    OutlineSource,
    checked_frame,
    checked_outline,
)
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.seeing.image.fingerprint import Fingerprint
from patternscan.text_file import text_bytes

FILE_FORMAT = "patternscan-outline"
FILE_VERSION: Literal[1] = 1

Points = Annotated[tuple[tuple[float, float], ...], Meta(min_length=2)]
"""One edge, [x, y] of each point in pixels of the upright photo."""
FileSource = Literal["found", "corrected", "given"]
Sides = tuple[Annotated[int, Meta(ge=1)], Annotated[int, Meta(ge=1)]]
"""Width and height of the upright photo in pixels."""

NOTHING_TOLD = ToldMedium()
REMEDIES = {
    "photo": 'Write the name of the photo as "photo" in the outline file, or leave it out.',
    "photo_px": 'Write width and height of the upright photo in pixels as "photo_px", or leave it out.',
    "tooth": 'Write a name or number as "tooth" in the outline file, or leave it out.',
    "flank": 'Write "left" or "right" as "flank" in the outline file.',
    "source": 'Write "found", "corrected" or "given" as "source" in the outline file, or leave it out.',
    "medium": 'Write "flank", "tape" or "paper" as "medium" in the outline file, or leave it out.',
    "seen": 'Write "touched" or "through" as "seen" in the outline file, or leave it out.',
    "confidence": 'Write a number from 0 to 1 as "confidence" in the outline file, or leave it out.',
}
"""What to write in a file made or changed by hand."""


class OutlinedFlank(Struct, frozen=True, kw_only=True):
    """One flank in the file. Without ``source`` a person gave it; ``confidence`` (0..1) is that of a found one.

    ``medium``: tape or paper where the picture shows a print off the flank, and ``seen`` which side of it.
    """

    flank: Flank
    tooth: str | int = "1"
    source: FileSource | UnsetType = UNSET
    confidence: Annotated[float, Meta(ge=0, le=1)] | UnsetType = UNSET
    medium: Medium | UnsetType = UNSET
    seen: Seen | UnsetType = UNSET
    root: Points
    tip: Points
    end_a: Points
    end_b: Points


class OutlineDocument(Struct, frozen=True, kw_only=True, tag_field="format", tag=FILE_FORMAT):
    """The file's content. ``photo`` is the name of the photo it was made for, empty when that is not told.

    ``photo_px``: width and height of that photo, upright, in pixels, and ``grey_cells``: that photo in little, see
    ``Fingerprint``; older files do not tell them.
    """

    version: Literal[1]
    photo: str = ""
    photo_px: Sides | UnsetType = UNSET
    grey_cells: str | UnsetType = UNSET
    flanks: Annotated[tuple[OutlinedFlank, ...], Meta(min_length=1)]


@dataclass(frozen=True, slots=True)
class OutlineFile:
    """What an outline file holds: the photo's name and its flanks, checked; ``photo_px`` None where it is not told.

    ``picture``: that photo in little, None where it is not told.
    """

    photo: str
    outlines: tuple[Outline, ...] = ()
    photo_px: Sides | None = None
    picture: Fingerprint | None = None


def outline_document(photo: str, outlines: Iterable[Outline], picture: Fingerprint | None) -> OutlineDocument:
    """The outline file of a photo by its name, and in little (None: not known); points rounded to 0.01 px."""
    flanks = tuple(map(_outlined_flank, outlines))
    told = {} if picture is None else picture_keys(picture)
    return OutlineDocument(version=FILE_VERSION, photo=photo, **told, flanks=flanks)


def outline_file_bytes(document: OutlineDocument) -> bytes:
    """The file as it is written: indented JSON in UTF-8."""
    return msgspec.json.format(msgspec.json.encode(document), indent=1) + b"\n"


def read_outline_file(path: Path, told: ToldMedium = NOTHING_TOLD) -> OutlineFile:
    """Read and check an outline file; ``told``: what a person said was photographed, where the file need not say it.

    Raises NoTrustworthyOutline for a file that is missing, damaged or no outline, InconsistentInputs for an outline
    that runs the other way than its flank.
    """
    content = _json(path)
    _refuse_foreign(content, path.name)
    try:
        document = msgspec.convert(content, OutlineDocument)
    except msgspec.ValidationError as error:
        raise _fault(content, str(error), path.name) from error
    outlines = tuple(_outline(one, told) for one in document.flanks)
    try:
        picture = kept_picture(document.photo, document.photo_px, document.grey_cells)
    except ValueError as error:
        raise _made_again(f"{path.name} is damaged: {error}.") from error
    return OutlineFile(printable(document.photo), outlines, document.photo_px or None, picture)


def origin_keys(outline: Outline) -> dict[str, Any]:
    """What a flank in the file says of its origin: nothing for one that a person gave."""
    if outline.source is OutlineSource.FOUND:
        return {"source": "found", "confidence": round(outline.confidence, 4)}
    return {"source": "corrected"} if outline.source is OutlineSource.CORRECTED else {}


def picture_keys(picture: Fingerprint) -> dict[str, Any]:
    """What the file says of the photo that was marked, to know it again."""
    return {"photo_px": (picture.width_px, picture.height_px), "grey_cells": picture.cells}


def kept_picture(photo: str, photo_px: Sides | UnsetType, cells: str | UnsetType) -> Fingerprint | None:
    """The photo in little that a file tells of, None where it tells of none. Raises ValueError for what is none."""
    return Fingerprint(photo, *photo_px, cells) if photo_px and cells else None


def lift_keys(lift: Lift | None) -> dict[str, Any]:
    """What a flank in the file says of a print off it: nothing for the flank itself."""
    return {} if lift is None else {"medium": lift.medium.value, "seen": lift.seen.value}


def rounded_points(edge: Edge) -> tuple[tuple[float, float], ...]:
    """The points of an edge, rounded to 0.01 px."""
    return tuple((round(x, 2), round(y, 2)) for x, y in edge.tolist())


def _outlined_flank(outline: Outline) -> OutlinedFlank:
    told = (
        origin_keys(outline)
        | lift_keys(outline.lift)
        | {name: rounded_points(getattr(outline, name)) for name in EDGE_NAMES}
    )
    return OutlinedFlank(flank=outline.flank, tooth=outline.tooth, **told)


def _outline(entry: OutlinedFlank, told: ToldMedium) -> Outline:
    """The checked outline. One that was found, nobody says how surely, counts as least sure."""
    edges = {name: getattr(entry, name) for name in EDGE_NAMES}
    source = OutlineSource(entry.source or OutlineSource.GIVEN)
    confidence = (entry.confidence or 0.0) if source is OutlineSource.FOUND else 1.0
    lift = told.joined(ToldMedium(entry.medium or None, entry.seen or None)).lift
    if lift is not None:
        frame = checked_frame(edges, entry.flank, lift, one_line(str(entry.tooth)))
        return replace(frame, source=source, confidence=confidence)
    return checked_outline(edges, entry.flank, one_line(str(entry.tooth)), source, confidence)


def _json(path: Path) -> Any:
    try:
        return msgspec.json.decode(text_bytes(path).removeprefix(b"\xef\xbb\xbf"))
    except OSError as error:
        raise NoTrustworthyOutline(
            f"The outline file {path} cannot be read: {error.strerror or error}.", "Check its name and place."
        ) from error
    except (msgspec.MsgspecError, RecursionError, UnicodeDecodeError) as error:
        if path.suffix.casefold() in (".html", ".htm"):
            raise NoTrustworthyOutline(
                f"{path.name} is the page to mark the outline on, not the outline.",
                "Open it in a browser, mark the flank, and give the file that is saved there.",
            ) from error
        raise _made_again(f"The outline file {path.name} is damaged or was not written by this tool.") from error


def _refuse_foreign(content: Any, name: str) -> None:
    if not isinstance(content, dict) or content.get("format") != FILE_FORMAT:
        raise _made_again(f'{name} is not an outline file: it does not say "{FILE_FORMAT}".')
    if type(content.get("version")) is not int or content["version"] != FILE_VERSION:
        raise _made_again(f"{name} is an outline of version {quoted(content.get('version'))}, not {FILE_VERSION}.")


def _fault(content: Any, told: str, name: str) -> NoTrustworthyOutline:
    """The first fault in the content, in words; ``told`` says where it lies, as in "... at `$.flanks[0].root`"."""
    place = [*re.findall(r"\w+", told.partition("`$.")[2]), *re.findall(r"required field `(\w+)`", told)]
    key = [step for step in place if not step.isdigit()][-1]
    if key in EDGE_NAMES:
        return NoTrustworthyOutline(
            f"The {SPOKEN[key]} of the outline is missing or not a list of points.",
            "Give each edge as two points or more, each [x, y] in pixels.",
        )
    if place == ["flanks"]:
        return _made_again(f"{name} holds no flank.")
    for step in place:
        content = content[int(step)] if isinstance(content, list) else content.get(step)
    spoken = "flank" if key == "flanks" else key
    if spoken not in REMEDIES:
        return _made_again(f"{name} is not an outline file: its {spoken} is {quoted(content)}.")
    return NoTrustworthyOutline(f"{name} names a {spoken} {quoted(content)}.", REMEDIES[spoken])


def _made_again(found: str) -> NoTrustworthyOutline:
    return NoTrustworthyOutline(found, f"Make the outline again {named(Handle.OUTLINE)}.")
