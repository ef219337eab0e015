"""What lies under each place and where the carriers' marks stand, as far as the log tells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import (
    EccentricChange,
    EccentricsFound,
    ShimChange,
    ShimsFound,
)
from patternscan.setting.log.words import ShimPlace
from patternscan.setting.machine.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Pack:
    """Shims under the upper and the lower bolts of one place, mm; negative where more was taken than was there."""

    upper_mm: float
    lower_mm: float

    @property
    def mean_mm(self) -> float:
        """Mean of the upper and the lower bolts."""
        return (self.upper_mm + self.lower_mm) / 2

    @property
    def most_mm(self) -> float:
        """The thicker of the two."""
        return max(self.upper_mm, self.lower_mm)

    @property
    def alike(self) -> bool:
        """Whether the upper and the lower bolts carry the same thickness."""
        return abs(self.upper_mm - self.lower_mm) <= PACK_TOLERANCE_MM

    def plus(self, other: Pack) -> Pack:
        """Both laid on one another."""
        return Pack(round(self.upper_mm + other.upper_mm, 6), round(self.lower_mm + other.lower_mm, 6))


NO_SHIMS = Pack(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Marks:
    """The eccentric carriers: how far the marks were turned in all, in holes, and where they stand if that is known."""

    turned_a: int
    turned_b: int
    hole_a: int | None
    hole_b: int | None

    @property
    def alike(self) -> bool:
        """Whether both stand alike; as long as nobody noted where they stood, whether both were turned alike."""
        return self.hole_a == self.hole_b if self.hole_a is not None else self.turned_a == self.turned_b


def added(entries: Sequence[Entry], place: ShimPlace) -> Pack:
    """What was added there in all."""
    pack = NO_SHIMS
    for entry in entries:
        if isinstance(entry.event, ShimChange) and entry.event.place is place:
            pack = pack.plus(Pack(entry.event.upper_mm, entry.event.lower_mm))
    return pack


def find_pack_at(entries: Sequence[Entry], place: ShimPlace) -> Pack | None:
    """What was last found there, with the changes since."""
    places = [n for n, one in enumerate(entries) if isinstance(one.event, ShimsFound) and one.event.place is place]
    if not places:
        return None
    found = entries[places[-1]].event
    assert isinstance(found, ShimsFound)
    return Pack(found.upper_mm, found.lower_mm).plus(added(entries[places[-1] + 1 :], place))


def find_marks(entries: Sequence[Entry], sheet: Sheet) -> Marks:
    """Where the marks stand, and how far they were turned in all."""
    turned = [0, 0]
    holes: list[int] | None = None
    for entry in entries:
        match entry.event:
            case EccentricsFound(hole_a, hole_b):
                holes = [hole_a, hole_b]
            case EccentricChange(holes_a, holes_b):
                turned = [turned[0] + holes_a, turned[1] + holes_b]
                holes = holes and [_hole(holes[0] + holes_a, sheet), _hole(holes[1] + holes_b, sheet)]
    return Marks(*turned, *(holes or (None, None)))


def _hole(hole: int, sheet: Sheet) -> int:
    """Past the last hole comes the first, where the sheet says how many there are."""
    count = sheet.eccentrics.holes if sheet.eccentrics is not None else None
    return hole if count is None else (hole - 1) % count + 1
