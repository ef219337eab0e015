"""What is known of a photo before its flanks are looked for."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patternscan.gearing.pair import Rim
from patternscan.seeing.geometry.outline import PictureSide

Pixel = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Hint:
    """Each None where it is not known. ``turn``: where the tips point; ``tooth_at``: a pixel of the held photo on the
    flank that is meant; ``rim``: how the wheel's rim was turned.
    """

    turn: PictureSide | None = None
    tooth_at: Pixel | None = None
    rim: Rim | None = None

    @property
    def rims(self) -> tuple[Rim, ...]:
        """The rims that the wheel may have."""
        return tuple(Rim) if self.rim is None else (self.rim,)

    def enlarged(self, times: float) -> Hint:
        """The same of a photo that is held so many times as large."""
        if self.tooth_at is None or times == 1:
            return self
        x, y = self.tooth_at
        return replace(self, tooth_at=((x + 0.5) * times - 0.5, (y + 0.5) * times - 0.5))


NOTHING_KNOWN = Hint()
