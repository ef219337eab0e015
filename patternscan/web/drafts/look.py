"""What the tool saw in a photo right after it was taken, as it is kept beside the photo."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.errors import PatternscanError
from patternscan.seeing.geometry.outline import PictureSide


@dataclass(frozen=True, slots=True)
class Said:
    """One doubt or stop: what was found, and what to do; ``retake``: another photo cures it."""

    found: str
    remedy: str
    retake: bool = True

    @classmethod
    def of(cls, stop: PatternscanError) -> Said:
        """The two sentences of a stop."""
        return cls(stop.found, stop.remedy)


@dataclass(frozen=True, slots=True)
class Look:
    """The size of the upright photo, the border of the flank seen in it, and what there is to say of it.

    ``border`` is closed, points (x, y) in px; ``tip`` is its tip edge, from one end to the other; both are empty when
    nothing was found. ``tip_side`` is where the tip points in the picture. ``trusted``: the outline may be taken as it
    is. ``stop``: the photo cannot be used at all.
    """

    width_px: int = 0
    height_px: int = 0
    border: tuple[tuple[float, float], ...] = ()
    tip: tuple[tuple[float, float], ...] = ()
    tip_side: PictureSide = PictureSide.UP
    trusted: bool = False
    doubts: tuple[Said, ...] = ()
    stop: Said | None = None
