"""Shims lying together, on the shelf or in a pack, as people write them; and sets as they are sold, by name only."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from patternscan.errors import WrongUse
from patternscan.plain_text import quoted
from patternscan.units import MM_PER_INCH, parse_length

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
        """Thickness in its own unit with the other beside it, and how many; ``parse_shims`` reads it back.

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
    def words(self) -> str:
        """All kinds, thick to thin.

        >>> parse_stock(["0.10 mm x 2", "0.5 mm x 1"]).words
        '0.50 mm (0.020 in) x 1, 0.10 mm (0.004 in) x 2'
        """
        return ", ".join(kind.words for kind in self.kinds) or "no shims"


def gather_stock(shims: Iterable[Shims]) -> Stock:
    """One kind for equal shims, thick to thin, none that is used up."""
    counts: dict[tuple[int, bool], int] = {}
    for kind in shims:
        counts[kind.steps, kind.in_inch] = counts.get((kind.steps, kind.in_inch), 0) + kind.count
    ordered = sorted(counts, reverse=True)
    return Stock(
        tuple(Shims(steps / STEPS_PER_MM, counts[steps, inch], inch) for steps, inch in ordered if counts[steps, inch])
    )


def parse_shims(text: str) -> Shims:
    """Shims from text such as "0.10 mm x 4" or "0.005 in x 6". Raises WrongUse.

    >>> parse_shims("0.005 in x 6")
    Shims(thickness_mm=0.127, count=6, in_inch=True)
    """
    found = WRITTEN.fullmatch(text.strip())
    if found is None:
        raise WrongUse(f"{quoted(text)} is not a shim with its count.", "Write it as 0.10 mm x 4 or 0.005 in x 6.")
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
    return gather_stock(kinds)


@dataclass(frozen=True, slots=True)
class ShimSet:
    """The thicknesses of a set and where they are known from."""

    unit: str
    thicknesses: tuple[str, ...]
    source: str


SHIM_SETS = {
    "precut-inch": ShimSet(
        "in",
        (
            *("0.001", "0.002", "0.003", "0.004", "0.005", "0.010", "0.015"),
            *("0.020", "0.025", "0.050", "0.075", "0.100", "0.120"),
        ),
        "precut stainless shims as a seller lists them (orderwithme.com)",
    ),
    "din-988": ShimSet("mm", ("0.1", "0.15", "0.2", "0.25", "0.3", "0.5", "1.0"), "shim rings of DIN 988, from memory"),
}
"""Offered by name only: no set is ever taken for granted."""


def take_shim_set(name: str, count: int) -> Stock:
    """The named set as a stock with ``count`` pieces of each thickness, which only the shelf can tell.

    Raises WrongUse for a name that is not known.
    """
    if name not in SHIM_SETS:
        close = difflib.get_close_matches(name, SHIM_SETS, n=1)
        meant = f"Did you mean {close[0]}?" if close else f"Known are {', '.join(SHIM_SETS)}."
        raise WrongUse(f"There is no shim set named {quoted(name)}.", meant)
    chosen = SHIM_SETS[name]
    return parse_stock([f"{thickness} {chosen.unit} x {count}" for thickness in chosen.thicknesses])


def _trimmed(number: float, least_decimals: int) -> str:
    """A number without idle zeros, but with so many decimals at least."""
    whole, _, decimals = f"{number:.5f}".partition(".")
    return f"{whole}.{decimals.rstrip('0').ljust(least_decimals, '0')}"
