"""The pack for a wanted thickness from the shims on hand: exact, in whole numbers, by dynamic programming.

A set of sums is kept as the bits of one whole number: bit n stands for the sum n, and adding a piece to every sum of a
set is one shift. That makes a stock of a hundred pieces a matter of milliseconds.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.cautions import Statement, Value
from patternscan.errors import WrongUse
from patternscan.setting.machine.stock import STEPS_PER_MM, THICKEST_MM, Shims, Stock, gather_stock

MOST_PIECES = 100
"""No selection holds more pieces; a pack of more shims is of no use to anybody."""


@dataclass(frozen=True, slots=True)
class PackChoice:
    """What was found for a wanted thickness: ``found`` near enough, or None and the nearest on either side.

    ``below`` and ``above`` are None when there is none, and when something was found.
    """

    wanted_mm: float
    found: Stock | None
    below: Stock | None
    above: Stock | None

    @property
    def told(self) -> Statement:
        """The pack, or that there is none and the nearest ones; shims as ``Stock.words`` writes them."""
        if self.found is not None:
            return Statement("pack", (("total_mm", self.found.total_mm), ("shims", self.found.words)))
        nearest: list[tuple[str, Value]] = []
        for side, one in (("below", self.below), ("above", self.above)):
            nearest += [
                (f"{side}_mm", None if one is None else one.total_mm),
                (side, None if one is None else one.words),
            ]
        return Statement("no-pack", (("wanted_mm", self.wanted_mm), *nearest))


def find_pack(wanted_mm: float, stock: Stock, places: int = 1) -> PackChoice:
    """The pack for a wanted thickness: fewest pieces, then the nearest total, then the thicker pieces.

    With ``places`` the pack is for one of so many places that must be shimmed alike, such as the upper and the lower
    bolt of one carrier, and the stock has to suffice for all of them. Raises WrongUse for a thickness below 0 or
    above THICKEST_MM.
    """
    if not 0 <= wanted_mm <= THICKEST_MM:
        raise WrongUse(
            f"A pack of {wanted_mm:g} mm is not possible.", f"Give a thickness from 0 to {THICKEST_MM:g} mm."
        )
    if places < 1:
        raise WrongUse(f"{places} places cannot be shimmed.", "Give at least one place.")
    kinds = [Kind(shims.steps, shims.count // places) for shims in stock.kinds]
    chosen = select_pieces(kinds, round(wanted_mm * STEPS_PER_MM), round(PACK_TOLERANCE_MM * STEPS_PER_MM))
    within, below, above = (
        None if each is None else _take(stock, each) for each in (chosen.within, chosen.below, chosen.above)
    )
    return PackChoice(wanted_mm, within, below, above)


def nearest_total(wanted_mm: float, stock: Stock, places: int = 1) -> float:
    """The thickness nearest to the wanted one that the stock makes for so many places, 0 when nothing lies nearer."""
    choice = find_pack(min(wanted_mm, THICKEST_MM), stock, places)
    near = [one.total_mm for one in (choice.found, choice.below, choice.above) if one is not None]
    return min(near, key=lambda total_mm: abs(total_mm - wanted_mm), default=0.0)


def _take(stock: Stock, selection: Selection) -> Stock:
    pairs = zip(stock.kinds, selection.counts, strict=True)
    return gather_stock(Shims(kind.thickness_mm, count, kind.in_inch) for kind, count in pairs)


@dataclass(frozen=True, slots=True)
class Kind:
    """``count`` equal pieces of ``size``, a whole number above 0."""

    size: int
    count: int


@dataclass(frozen=True, slots=True)
class Selection:
    """How many pieces to take of each kind, in the order of the kinds, and their sum."""

    total: int
    counts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Selections:
    """The best selection within tolerance, or None and the nearest ones outside it, each None when there is none."""

    within: Selection | None
    below: Selection | None
    above: Selection | None


def select_pieces(kinds: Sequence[Kind], wanted: int, tolerance: int) -> Selections:
    """Fewest pieces within tolerance of ``wanted``, then the nearest sum, then the thicker pieces.

    Below and above: the nearest sums outside the tolerance, made of fewest pieces, then of the thicker ones; they are
    looked for only when nothing lies within.
    """
    table = _Table.of(kinds, wanted + tolerance)
    totals = table.fewest_within(wanted - tolerance, wanted + tolerance)
    nearest = min((abs(total - wanted) for total in totals), default=0)
    found = [table.trace(total) for total in totals if abs(total - wanted) == nearest]
    if found:
        return Selections(max(found, key=lambda each: _thickest_first(kinds, each)), None, None)
    below, above = table.last_below(wanted - tolerance), table.first_above(wanted + tolerance)
    return Selections(
        None, None if below is None else table.trace(below), None if above is None else table.trace(above)
    )


def _thickest_first(kinds: Sequence[Kind], selection: Selection) -> list[int]:
    pairs = zip(kinds, selection.counts, strict=True)
    return sorted((kind.size for kind, count in pairs for _ in range(count)), reverse=True)


@dataclass(frozen=True, slots=True)
class _Table:
    """Every sum that can be made: ``layers[i][k]`` holds those of exactly k pieces of the first i kinds.

    ``kinds`` run from thin to thick, ``order`` says where each stood; bit n is the sum ``unit`` * n.
    """

    kinds: tuple[Kind, ...]
    order: tuple[int, ...]
    unit: int
    layers: tuple[tuple[int, ...], ...]

    @classmethod
    def of(cls, kinds: Sequence[Kind], highest: int) -> _Table:
        """The table up to the first sum above ``highest``."""
        order = tuple(sorted(range(len(kinds)), key=lambda each: kinds[each].size))
        thin_first = tuple(Kind(kinds[each].size, min(kinds[each].count, MOST_PIECES)) for each in order)
        unit = math.gcd(*(kind.size for kind in kinds)) or 1
        top = min(sum(kind.size * kind.count for kind in thin_first), highest + max((k.size for k in kinds), default=0))
        mask = (1 << max(top // unit + 1, 1)) - 1
        layers: list[tuple[int, ...]] = [(1,)]
        for kind in thin_first:
            layers.append(_with_kind(layers[-1], Kind(kind.size // unit, kind.count), mask))
        return cls(thin_first, order, unit, tuple(layers))

    def fewest_within(self, low: int, high: int) -> list[int]:
        """The sums from low to high that need the fewest pieces; empty when there is no sum at all."""
        first, last = max(-(-low // self.unit), 0), high // self.unit
        if last < first:
            return []
        window = (1 << (last - first + 1)) - 1
        inside = ((bits >> first) & window for bits in self.layers[-1])
        fewest = next((bits for bits in inside if bits), 0)
        return [(first + place) * self.unit for place in _places(fewest)]

    def last_below(self, limit: int) -> int | None:
        """The largest sum below the limit."""
        sums = self._sums() & ((1 << max(-(-limit // self.unit), 0)) - 1)
        return (sums.bit_length() - 1) * self.unit if sums else None

    def first_above(self, limit: int) -> int | None:
        """The smallest sum above the limit."""
        start = limit // self.unit + 1
        place = next(_places(self._sums() >> start), None)
        return None if place is None else (start + place) * self.unit

    def trace(self, total: int) -> Selection:
        """The fewest pieces for a sum that is in the table, the thicker ones first."""
        place = total // self.unit
        pieces = next(number for number, bits in enumerate(self.layers[-1]) if bits >> place & 1)
        counts = [0] * len(self.kinds)
        for level in reversed(range(len(self.kinds))):
            size = self.kinds[level].size // self.unit
            taken = next(
                count
                for count in range(min(pieces, self.kinds[level].count), -1, -1)
                if _holds(self.layers[level], pieces - count, place - count * size)
            )
            counts[self.order[level]], pieces, place = taken, pieces - taken, place - taken * size
        return Selection(total, tuple(counts))

    def _sums(self) -> int:
        sums = 0
        for bits in self.layers[-1]:
            sums |= bits
        return sums


def _with_kind(layer: tuple[int, ...], kind: Kind, mask: int) -> tuple[int, ...]:
    """The sums by number of pieces after the pieces of one more kind may be taken."""
    for _ in range(kind.count):
        shifted = ((bits << kind.size) & mask for bits in layer)
        grown = [here | more for here, more in zip((*layer, 0), (0, *shifted), strict=True)][: MOST_PIECES + 1]
        while not grown[-1]:
            grown.pop()
        layer = tuple(grown)
    return layer


def _holds(layer: tuple[int, ...], pieces: int, place: int) -> bool:
    return pieces < len(layer) and place >= 0 and bool(layer[pieces] >> place & 1)


def _places(bits: int) -> Iterator[int]:
    """Where the bits are set, lowest first."""
    while bits:
        lowest = bits & -bits
        yield lowest.bit_length() - 1
        bits ^= lowest
