"""One photo as it was given, and how large it is held."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from patternscan.errors import PatternscanError, WrongUse
from patternscan.frame import Flank
from patternscan.plain_text import printable
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.outline_file import NOTHING_TOLD, read_outline_file
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.seeing.image.photo import Photo

HELD_MEGAPIXELS = 32.0
"""Larger photos are held smaller, so that several of them have room together."""
HALVED_PX = (768, 128)
"""A photo is held a half or a quarter as large where its flanks, as outlined, are then still so wide and high: as large
as they are in the photographs that figures are taken from (the median of dev has 670 by 124), no smaller than the net's
picture. Smaller than a quarter, tears between the blocks of its JPEG are not seen."""


@dataclass(frozen=True, slots=True)
class PhotoInput:
    """One photo as it was given: its flank, its outline file (None: look for it), where its tip points when upright
    (None: not said, so tags or the search find it out), a pixel of its file on the tooth that is meant, when that is
    said, and what was photographed, where that is said of this photo alone.
    """

    photo: Path
    flank: Flank
    outline: Path | None = None
    tip: PictureSide | None = None
    tooth_at: tuple[float, float] | None = None
    told: ToldMedium = NOTHING_TOLD

    @property
    def name(self) -> str:
        """The photo's bare name as it can be printed."""
        return printable(os.fsencode(self.photo.name).decode("utf-8", "replace"))

    @property
    def files(self) -> tuple[Path, ...]:
        """The files that are read and never written over."""
        return (self.photo,) if self.outline is None else (self.photo, self.outline)


def least_times(given: PhotoInput) -> int:
    """How many times smaller a photo may be held by what its outline file shows; 1 when nothing is known."""
    try:
        outlines = () if given.outline is None else read_outline_file(given.outline).outlines
    except PatternscanError:
        return 1
    least_px = (min((getattr(one, side) for one in outlines), default=0.0) for side in ("width_px", "height_px"))
    spare = min(size / halved for size, halved in zip(least_px, HALVED_PX, strict=True))
    return next((times for times in (4, 2) if spare >= times), 1)


def held_pixel(photo: Photo, given: PhotoInput) -> tuple[float, float] | None:
    """The pixel on the tooth that is meant, in the photo as it is held; None when it is not said.

    Raises WrongUse for one outside the photo.
    """
    if given.tooth_at is None:
        return None
    x, y = given.tooth_at
    if not (0 <= x < photo.width_px and 0 <= y < photo.height_px):
        raise WrongUse(
            f"The place {x:g},{y:g} lies outside {photo.name} ({photo.width_px} x {photo.height_px} pixels).",
            "Give a place on the tooth that is meant, x from the left and y from the top of the upright photo.",
        )
    return (x + 0.5) / photo.times - 0.5, (y + 0.5) / photo.times - 0.5
