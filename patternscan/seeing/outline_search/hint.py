"""What is known of a photo before its flanks are looked for."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.gearing.pair import Rim
from patternscan.seeing.geometry.outline import Outline, PictureSide

Pixel = tuple[float, float]

SHORTEST, LONGEST = 0.4, 1.6
"""How long a flank may look, for the length that scale and face width give it: it is seen at a slant, and nearer to the
camera or farther off than what told the scale (own guess)."""


@dataclass(frozen=True, slots=True)
class Hint:
    """Each None where it is not known. ``turn``: where the tips point; ``scale``: how many pixels of the held photo a
    millimetre takes near the teeth; ``face_width_mm``: of the wheel; ``tooth_at``: a pixel of the photo on the flank
    that is meant; ``rim``: how the wheel's rim was turned.
    """

    turn: PictureSide | None = None
    scale: float | None = None
    face_width_mm: float | None = None
    tooth_at: Pixel | None = None
    rim: Rim | None = None

    @property
    def rims(self) -> tuple[Rim, ...]:
        """The rims that the wheel may have."""
        return tuple(Rim) if self.rim is None else (self.rim,)

    def fits(self, outline: Outline) -> bool:
        """Whether an outline is about as long as the flank must look; yes where that is not known."""
        if self.scale is None or self.face_width_mm is None:
            return True
        return SHORTEST <= outline.width_px / (self.scale * self.face_width_mm) <= LONGEST


NOTHING_KNOWN = Hint()
