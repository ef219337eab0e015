"""What lies under each place and where the carriers' marks stand, as far as the log tells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import EccentricChange, EccentricsFound, PackPieces, ShimChange, ShimsFound
from patternscan.setting.log.words import Bolts, ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.stock import Stock, gather_stock


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

    def minus(self, other: Pack) -> Pack:
        """What is left without the other."""
        return self.plus(Pack(-other.upper_mm, -other.lower_mm))


NO_SHIMS = Pack(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Marks:
    """The eccentric carriers: how far the marks were turned in all, in holes, and where they stand if that is known.

    ``sense_b`` is -1 where the numbers at end B run against those at end A, 1 where they run alike or nobody knows.
    ``found_alike``: both stood at the same number when found, or numbers do not tell.
    """

    turned_a: int
    turned_b: int
    hole_a: int | None
    hole_b: int | None
    sense_b: int = 1
    found_alike: bool = True

    @property
    def turned_alike(self) -> bool:
        """Whether both were turned by the same angle the same way since they were found."""
        return self.turned_a == self.sense_b * self.turned_b

    @property
    def put_alike(self) -> bool:
        """Whether carriers that were found unlike stand at the same number now."""
        return not self.found_alike and self.hole_a == self.hole_b

    @property
    def alike(self) -> bool:
        """Whether both stand alike now, or as unlike as they were found."""
        return self.turned_alike or self.put_alike

    @property
    def stand_alike(self) -> bool:
        """Whether both stand alike now, whatever they were found like."""
        return self.put_alike or (self.found_alike and self.turned_alike)

    def turned_by(self, holes_a: int, holes_b: int, sheet: Sheet) -> Marks:
        """The marks after both were turned by so many holes."""
        hole_a, hole_b = (
            None if hole is None else _hole(hole + by, sheet)
            for hole, by in ((self.hole_a, holes_a), (self.hole_b, holes_b))
        )
        turned_a, turned_b = self.turned_a + holes_a, self.turned_b + holes_b
        return replace(self, turned_a=turned_a, turned_b=turned_b, hole_a=hole_a, hole_b=hole_b)


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


def find_pieces(entries: Sequence[Entry], place: ShimPlace) -> Mapping[Bolts, Stock]:
    """The single shims that were noted under the bolts of a place; none once the pack was changed after that."""
    pieces: dict[Bolts, Stock] = {}
    for entry in entries:
        match entry.event:
            case ShimChange() if entry.event.place is place:
                pieces.clear()
            case PackPieces() if entry.event.place is place:
                pieces[entry.event.bolts] = gather_stock(entry.event.pieces)
    return pieces


def packs_against_first(entries: Sequence[Entry], place: ShimPlace) -> tuple[Pack, ...]:
    """For each entry how much more lay there, when it was made, than at the first one.

    Between two changes lies one and the same pack: what was measured of it at any time in between holds for the whole
    time, so that a pack measured again corrects what was reckoned for it.
    """
    spans = _spans(entries, place)
    packs = _filled([span.change for span in spans], [span.measured for span in spans])
    return tuple(pack.minus(packs[0]) for span, pack in zip(spans, packs, strict=True) for _ in range(span.entries))


@dataclass(frozen=True, slots=True)
class _Span:
    """The entries between two changes of a pack: the change before, how many, and what was last measured."""

    change: Pack
    entries: int
    measured: Pack | None


def _spans(entries: Sequence[Entry], place: ShimPlace) -> list[_Span]:
    spans = [_Span(NO_SHIMS, 0, None)]
    for entry in entries:
        last, event = spans[-1], entry.event
        if isinstance(event, ShimChange) and event.place is place:
            spans.append(_Span(Pack(event.upper_mm, event.lower_mm), 1, None))
        elif isinstance(event, ShimsFound) and event.place is place:
            spans[-1] = _Span(last.change, last.entries + 1, Pack(event.upper_mm, event.lower_mm))
        else:
            spans[-1] = _Span(last.change, last.entries + 1, last.measured)
    return spans


def _filled(changes: Sequence[Pack], measured: Sequence[Pack | None]) -> list[Pack]:
    """Every pack: as measured, else from the one before it, and before the first measured one from the one after."""
    known = next((place for place, pack in enumerate(measured) if pack is not None), 0)
    packs = [measured[known] or NO_SHIMS]
    for change in reversed(changes[1 : known + 1]):
        packs.insert(0, packs[0].minus(change))
    for change, pack in zip(changes[known + 1 :], measured[known + 1 :], strict=True):
        packs.append(pack or packs[-1].plus(change))
    return packs


def find_marks(entries: Sequence[Entry], sheet: Sheet) -> Marks:
    """Where the marks stand, and how far they were turned in all."""
    marks = Marks(0, 0, None, None, 1 if sheet.eccentrics is None else sheet.eccentrics.sense_b)
    for entry in entries:
        match entry.event:
            case EccentricsFound(hole_a, hole_b):
                alike = marks.sense_b < 0 or hole_a == hole_b
                marks = replace(marks, hole_a=hole_a, hole_b=hole_b, found_alike=alike)
            case EccentricChange(holes_a, holes_b):
                marks = marks.turned_by(holes_a, holes_b, sheet)
    return marks


def _hole(hole: int, sheet: Sheet) -> int:
    """Past the last hole comes the first, where the sheet says how many there are."""
    count = sheet.eccentrics.holes if sheet.eccentrics is not None else None
    return hole if count is None else (hole - 1) % count + 1
