"""What a pattern in the log is made of: its photos, and the numbers of each flank."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated

from msgspec import UNSET, Meta, UnsetType

from patternscan.measuring.interval import Interval
from patternscan.seeing.image.fingerprint import Corners, Fingerprint, OutlinedPicture

Teeth = Annotated[int, Meta(ge=-(10**6), le=10**6)]
"""A line changed by hand that says more is damaged."""


@dataclass(frozen=True, slots=True)
class PhotoLink:
    """A photo by its file name and the SHA-256 of its bytes, 64 hexadecimal digits; and by its picture, which a copy
    shares that was saved again, and the corners of each flank in it (both unset in logs of older versions).
    """

    name: str
    sha256: str
    picture: Fingerprint | UnsetType = UNSET
    corners: tuple[Corners, ...] | UnsetType = field(default=UNSET, compare=False)

    @property
    def outlined(self) -> tuple[OutlinedPicture, ...]:
        """The photo in little with each of its flanks."""
        if self.picture is UNSET or self.corners is UNSET:
            return ()
        return tuple(OutlinedPicture(self.picture, corners) for corners in self.corners)


@dataclass(frozen=True, slots=True)
class FlankPrint:
    """One flank of a pattern, pooled over its teeth; all numbers are fractions of face width, height or area."""

    teeth: Teeth
    along: Interval
    up: Interval
    coverage: Interval
    length: Interval
    height: Interval
