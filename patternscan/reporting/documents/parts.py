"""What several documents have in common: their head, and the parts that numbers, cautions and photos make.

A document is a record that msgspec codes as JSON and decodes again. A finished document is
rounded, so that a judgement gives the same answer whether it comes from the photos or from its file.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Annotated, Any, Literal, TypeVar

import msgspec
from msgspec import UNSET, Meta, Struct, UnsetType

from patternscan.cautions import Caution
from patternscan.frame import Flank, Made
from patternscan.measuring.interval import Interval
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.version import __version__

VERSION: Literal[1] = 1
TOOL = f"patternscan {__version__}"
Given = TypeVar("Given")
Part = TypeVar("Part")
DIGITS = 4
"""Decimals of a fraction: a ten-thousandth of a face width is far below what a photo shows."""


class Document(Struct, frozen=True, kw_only=True, tag_field="format"):
    """The head of every result: its format, when it was made (local time with offset) and by whom, where known.

    ``files``: of a result that was written with other files beside it, their names and SHA-256 digests.
    """

    version: Literal[1]
    tool: str
    made_at: Annotated[str, Meta(extra_json_schema={"format": "date-time"})] | None = None
    by: str | None = None
    files: dict[str, str] | UnsetType = UNSET


class CautionPart(Struct, frozen=True, kw_only=True):
    """A caution in words; ``flank`` and ``photo`` where it speaks of one."""

    code: str
    message: str
    remedy: str
    grave: bool = False
    widens: bool = False
    flank: Flank | UnsetType = UNSET
    photo: str | UnsetType = UNSET


class FindingPart(Struct, frozen=True):
    """A finding in words."""

    code: str
    message: str


class PhotoPart(Struct, frozen=True, kw_only=True):
    """A photo by its name, its size, the digest of its file, and what its pixels are known by however they are saved.

    The last two are None when they are not known; for ``grey_cells`` see ``seeing.image.fingerprint.Fingerprint``.
    """

    name: str
    width_px: int
    height_px: int
    sha256: str | None = None
    grey_cells: str | None = None


class Shift(Struct, frozen=True):
    """A shift along the face, fraction of the face width, positive toward end B; None when it is not known."""

    along: Interval | None


def head(made: Made) -> dict[str, Any]:
    """The fields of a document's head."""
    return {"version": VERSION, "tool": TOOL, "made_at": made.at.isoformat(), "by": made.by}


def encode(document: Struct) -> bytes:
    """A document as it is printed and written: indented JSON in UTF-8 with a line end."""
    return msgspec.json.format(msgspec.json.encode(document), indent=1) + b"\n"


def perhaps(make: Callable[[Given], Part], value: Given | None) -> Part | None:
    """What is made of a value, None of None."""
    return None if value is None else make(value)


def copied(kind: type[Part], record: object) -> Part:
    """The part whose fields are the record's attributes of the same names."""
    return msgspec.convert(record, kind, from_attributes=True)


def rounded(document: Part) -> Part:
    """The document with every number rounded to a ten-thousandth. Raises ValueError for NaN and infinity."""
    return msgspec.convert(_rounded(msgspec.to_builtins(document)), type(document))


def _rounded(content: Any) -> Any:
    """Rounding never turns low <= value <= high round; -0 becomes 0."""
    if isinstance(content, dict):
        return {key: _rounded(value) for key, value in content.items()}
    if isinstance(content, list | tuple):
        return [_rounded(value) for value in content]
    if not isinstance(content, float):
        return content
    if not math.isfinite(content):
        raise ValueError(f"a document holds finite numbers, found {content}")
    return round(content, DIGITS) + 0.0


def caution_parts(cautions: Iterable[Caution]) -> tuple[CautionPart, ...]:
    """Cautions in words."""
    return tuple(
        CautionPart(
            code=one.code,
            message=caution_message(one),
            remedy=caution_remedy(one),
            grave=one.grave,
            widens=one.widens,
            flank=one.flank or UNSET,
            photo=one.photo or UNSET,
        )
        for one in cautions
    )
