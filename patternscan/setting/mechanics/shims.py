"""Shims: the pieces on hand, the pack for a wanted thickness, and packs moved from one side to the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from patternscan.errors import WrongUse
from patternscan.setting.mechanics.subset_sum import Kind, Selection, select_pieces
from patternscan.units import MM_PER_INCH, length_words, parse_length

TOLERANCE_MM = 0.01
"""A pack counts as the wanted one within this (common practice: what a workshop micrometer can tell apart)."""
THICKEST_MM = 25.0
"""Thicker pieces and packs are spacers, not shims."""
MOST_OF_A_KIND = 1000
STEPS_PER_MM = 100_000
"""Thicknesses are added in whole steps of 0.01 micrometre, in which an inch shim of 0.00075 in is exact."""
WRITTEN = re.compile(r"(.+?)(?:\s*\(.*\))?\s*[x×*]\s*(\d{1,9})", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Shims:
    """``count`` equal shims; ``in_inch`` when their thickness is stamped in inches. Raises WrongUse."""

    thickness_mm: float
    count: int = 1
    in_inch: bool = False

    def __post_init__(self) -> None:
        if not 1 / STEPS_PER_MM <= self.thickness_mm <= THICKEST_MM:
            raise WrongUse(
                f"A shim of {self.thickness_mm:g} mm is not possible.",
                f"Give more than 0 and up to {THICKEST_MM:g} mm.",
            )
        if not 0 <= self.count <= MOST_OF_A_KIND:
            raise WrongUse(f"{self.count} shims of one kind are not possible.", f"Give 0 to {MOST_OF_A_KIND}.")

    @property
    def steps(self) -> int:
        """Thickness of one in whole steps of 0.01 micrometre."""
        return round(self.thickness_mm * STEPS_PER_MM)

    @property
    def words(self) -> str:
        """Thickness in its own unit with the other beside it, and how many.

        >>> Shims(0.127, 6, in_inch=True).words
        '0.005 in (0.127 mm) x 6'
        """
        inch = self.thickness_mm / MM_PER_INCH
        if self.in_inch:
            return f"{_trimmed(inch, 3)} in ({self.thickness_mm:.3f} mm) x {self.count}"
        return f"{_trimmed(self.thickness_mm, 2)} mm ({inch:.3f} in) x {self.count}"


@dataclass(frozen=True, slots=True)
class Stock:
    """Shims lying together, on the shelf or as a pack under a carrier; ``kinds`` run from thick to thin."""

    kinds: tuple[Shims, ...] = ()

    @property
    def total_mm(self) -> float:
        """Thickness of all pieces laid on one another."""
        return sum(kind.steps * kind.count for kind in self.kinds) / STEPS_PER_MM

    @property
    def pieces(self) -> int:
        """How many pieces there are."""
        return sum(kind.count for kind in self.kinds)

    @property
    def words(self) -> str:
        """All kinds, thick to thin.

        >>> parse_stock(["0.10 mm x 2", "0.5 mm x 1"]).words
        '0.50 mm (0.020 in) x 1, 0.10 mm (0.004 in) x 2'
        """
        return ", ".join(kind.words for kind in self.kinds) or "no shims"

    def joined(self, other: Stock) -> Stock:
        """Both together; equal shims are counted as one kind."""
        return _gather((*self.kinds, *other.kinds))

    def without(self, pack: Stock, places: int = 1) -> Stock:
        """What is left after ``pack`` was taken for each of ``places``. Raises WrongUse when it is not all there."""
        taken = {(kind.steps, kind.in_inch): kind.count * places for kind in pack.kinds}
        left = []
        for kind in self.kinds:
            count = kind.count - taken.pop((kind.steps, kind.in_inch), 0)
            if count < 0:
                break
            left.append(Shims(kind.thickness_mm, count, kind.in_inch))
        else:
            if not any(taken.values()):
                return _gather(left)
        raise WrongUse(f"The stock does not hold {pack.words}.", "Correct the stock in the machine sheet.")


class Described(Protocol):
    """Anything that says itself in words and has a thickness to choose it by."""

    @property
    def words(self) -> str:
        """What it is."""

    @property
    def total_mm(self) -> float:
        """The thickness by which it was chosen."""


Chosen = TypeVar("Chosen", bound=Described)


@dataclass(frozen=True, slots=True)
class Choice(Generic[Chosen]):
    """What was found for a wanted thickness: ``found`` within TOLERANCE_MM, or None and the nearest on either side.

    ``below`` and ``above`` are None when there is none, and when something was found.
    """

    wanted_mm: float
    found: Chosen | None
    below: Chosen | None
    above: Chosen | None

    @property
    def words(self) -> str:
        """The pack, or that there is none and the nearest ones, in one or two sentences."""
        if self.found is not None:
            return f"{length_words(self.found.total_mm)}: {self.found.words}."
        nearest = [
            f"nearest {side} is {length_words(each.total_mm)}: {each.words}"
            for side, each in (("below", self.below), ("above", self.above))
            if each is not None
        ]
        listed = "; ".join(nearest) or "there are no shims to choose from"
        return f"{length_words(self.wanted_mm)} cannot be made from these shims. {listed[:1].upper()}{listed[1:]}."


@dataclass(frozen=True, slots=True)
class Split:
    """Packs at both sides after shims were moved across; all pieces stay in use, so the total stays as it was."""

    at_a: Stock
    at_b: Stock
    to_a: Stock
    to_b: Stock

    @property
    def total_mm(self) -> float:
        """What went from side A to side B, less what came back."""
        return round(self.to_b.total_mm - self.to_a.total_mm, 5)

    @property
    def words(self) -> str:
        """Which shims change sides."""
        ways = [
            f"from {start} to {end} {pack.words}"
            for start, end, pack in (("A", "B", self.to_b), ("B", "A", self.to_a))
            if pack.pieces
        ]
        return " and ".join(ways) or "leave all shims where they are"


def parse_shims(text: str) -> Shims:
    """Shims from text such as "0.10 mm x 4" or "0.005 in x 6". Raises WrongUse.

    >>> parse_shims("0.005 in x 6")
    Shims(thickness_mm=0.127, count=6, in_inch=True)
    """
    found = WRITTEN.fullmatch(text.strip())
    if found is None:
        raise WrongUse(f"{text!r} is not a shim with its count.", "Write it as 0.10 mm x 4 or 0.005 in x 6.")
    return Shims(parse_length(found[1]), int(found[2]), "mm" not in found[1].casefold())


def parse_stock(texts: Sequence[str]) -> Stock:
    """A stock from one text for each kind; every fault is named at once. Raises WrongUse."""
    kinds, faults = [], []
    for text in texts:
        try:
            kinds.append(parse_shims(text))
        except WrongUse as error:
            faults.append(error.found)
    if faults:
        raise WrongUse(" ".join(faults), "Write shims as 0.10 mm x 4 or 0.005 in x 6.")
    return _gather(kinds)


def find_pack(wanted_mm: float, stock: Stock, places: int = 1) -> Choice[Stock]:
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
    selections = select_pieces(kinds, round(wanted_mm * STEPS_PER_MM), round(TOLERANCE_MM * STEPS_PER_MM))
    within, below, above = (
        None if each is None else _take(stock.kinds, each.counts)
        for each in (selections.within, selections.below, selections.above)
    )
    return Choice(wanted_mm, within, below, above)


def split(at_a: Stock, at_b: Stock, toward_b_mm: float) -> Choice[Split]:
    """Move shims across so that side A loses and side B gains ``toward_b_mm``; as few pieces as can be change sides.

    The total stays, and with it the end play. The packs are those of one place; do the same under every bolt of a
    carrier. Raises WrongUse when a side has not that much, or one is thicker than THICKEST_MM.
    """
    giving = at_a if toward_b_mm >= 0 else at_b
    if not abs(toward_b_mm) <= giving.total_mm + TOLERANCE_MM:
        raise WrongUse(
            f"That side carries only {length_words(giving.total_mm)} of shims, not {length_words(abs(toward_b_mm))}.",
            "Ask for less.",
        )
    for side in (at_a, at_b):
        if side.total_mm > THICKEST_MM:
            raise WrongUse(f"A pack of {length_words(side.total_mm)} is not possible.", "Check the shims.")
    kinds = [Kind(shims.steps, shims.count) for shims in at_a.kinds]
    kinds += [Kind(-shims.steps, shims.count) for shims in at_b.kinds]
    selections = select_pieces(kinds, round(toward_b_mm * STEPS_PER_MM), round(TOLERANCE_MM * STEPS_PER_MM))
    within, below, above = (
        None if each is None else _moved(at_a, at_b, each)
        for each in (selections.within, selections.below, selections.above)
    )
    return Choice(toward_b_mm, within, below, above)


def _gather(kinds: Sequence[Shims]) -> Stock:
    """One kind for equal shims, thick to thin, none that is used up."""
    counts: dict[tuple[int, bool], int] = {}
    for kind in kinds:
        counts[kind.steps, kind.in_inch] = counts.get((kind.steps, kind.in_inch), 0) + kind.count
    ordered = sorted(counts, reverse=True)
    return Stock(
        tuple(Shims(steps / STEPS_PER_MM, counts[steps, inch], inch) for steps, inch in ordered if counts[steps, inch])
    )


def _take(kinds: Sequence[Shims], counts: Sequence[int]) -> Stock:
    pairs = zip(kinds, counts, strict=True)
    return _gather([Shims(kind.thickness_mm, count, kind.in_inch) for kind, count in pairs])


def _moved(at_a: Stock, at_b: Stock, selection: Selection) -> Split:
    border = len(at_a.kinds)
    to_b, to_a = _take(at_a.kinds, selection.counts[:border]), _take(at_b.kinds, selection.counts[border:])
    return Split(at_a.without(to_b).joined(to_a), at_b.without(to_a).joined(to_b), to_a, to_b)


def _trimmed(number: float, least_decimals: int) -> str:
    """A number without idle zeros, but with so many decimals at least."""
    whole, _, decimals = f"{number:.5f}".partition(".")
    return f"{whole}.{decimals.rstrip('0').ljust(least_decimals, '0')}"
