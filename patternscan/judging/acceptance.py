"""Contact classes of published tables, for those who have chosen one and noted the film.

Only tables for worm gears whose numbers were looked up are offered. ISO/TR 10064-4 and the cylindrical columns of other
documents are not: they are for cylindrical gears, whose flanks touch otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from patternscan.frame import Flank
from patternscan.measuring.interval import Interval

if TYPE_CHECKING:
    from patternscan.judging.comparison import Comparison, PooledFlank

AT_LIMIT = 1e-9
"""A number that differs from a limit by rounding alone reaches it."""


@dataclass(frozen=True, slots=True)
class ClassLimit:
    """A class and the least length and height of contact it asks for, fractions of effective length and height."""

    name: str
    length: float
    height: float


@dataclass(frozen=True, slots=True)
class AcceptanceTable:
    """The classes of a published table, best first."""

    limits: tuple[ClassLimit, ...]

    def reached(self, length: float = 1.0, height: float = 1.0) -> str | None:
        """The best class whose length and height are both reached, None below the last class."""
        for limit in self.limits:
            if length >= limit.length - AT_LIMIT and height >= limit.height - AT_LIMIT:
                return limit.name
        return None

    def worse(self, names: Sequence[str | None]) -> str | None:
        """The worst of several classes, None (no class reached) being the worst of all."""
        order = [limit.name for limit in self.limits]
        return None if None in names else max((name for name in names if name is not None), key=order.index)


TABLES = {
    "jgma-1002": AcceptanceTable(
        (ClassLimit("A", 0.50, 0.40), ClassLimit("B", 0.35, 0.30), ClassLimit("C", 0.20, 0.20)),
    ),
}
"""Tables by the name a person gives: JGMA 1002-01 (2003), worm wheels, as quoted in the KHK gear guide, table 8.4."""


@dataclass(frozen=True, slots=True)
class FlankClass:
    """The class of one flank, None below the last class: by length, by height, and the worse of the two.

    ``at_worst`` and ``at_best`` are the classes at the ends of the intervals of length and height.
    """

    flank: Flank
    length: Interval
    height: Interval
    by_length: str | None
    by_height: str | None
    reached: str | None
    at_worst: str | None
    at_best: str | None


@dataclass(frozen=True, slots=True)
class Acceptance:
    """What a table says of both flanks; ``flanks`` lacks a flank that was not read."""

    name: str
    film: str
    flanks: tuple[FlankClass, ...]

    @property
    def table(self) -> AcceptanceTable:
        """The table that was chosen."""
        return TABLES[self.name]

    @property
    def complete(self) -> bool:
        """Whether both flanks were read; otherwise no class is given for the pair."""
        return len(self.flanks) == len(Flank)

    @property
    def reached(self) -> str | None:
        """The class of the pair: the worse of both flanks. None below the last class, or when a flank is missing."""
        return self.table.worse([one.reached for one in self.flanks]) if self.complete else None


def find_classes(comparison: Comparison, name: str, film: str) -> Acceptance:
    """The classes that both flanks reach in the table of that name.

    Length and height hang on the thickness of the film, so ``film`` has to say how it was. The maker's own limits
    outrank every table. Raises KeyError for a table that is not in TABLES.
    """
    table = TABLES[name]
    flanks = tuple(_flank_class(table, one) for one in (comparison.left, comparison.right) if one is not None)
    return Acceptance(name, film, flanks)


def _flank_class(table: AcceptanceTable, pooled: PooledFlank) -> FlankClass:
    length, height = pooled.length, pooled.height
    return FlankClass(
        flank=pooled.flank,
        length=length,
        height=height,
        by_length=table.reached(length=length.value),
        by_height=table.reached(height=height.value),
        reached=table.reached(length.value, height.value),
        at_worst=table.reached(length.low, height.low),
        at_best=table.reached(length.high, height.high),
    )
