"""Which single shims come out of a pack and which go in, for a change of its thickness."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patternscan.calibration.setting import PACK_TOLERANCE_MM
from patternscan.setting.machine.stock import THICKEST_MM, Stock, gather_stock
from patternscan.setting.mechanics.shim_pack import find_pack


@dataclass(frozen=True, slots=True)
class Swap:
    """What comes out and what goes in, under one set of bolts."""

    out: Stock
    into: Stock


def find_swap(change_mm: float, pack: Stock, shelf: Stock, places: int) -> Swap | None:
    """The swap that changes a pack by so much at each of ``places`` alike; None when these shims make none.

    Nothing but taking out or putting in is preferred; else the fewest pieces make the new pack.
    """
    spare = gather_stock(replace(kind, count=kind.count // places) for kind in shelf.kinds)
    if abs(change_mm) <= PACK_TOLERANCE_MM:
        return Swap(Stock(), Stock())
    if change_mm < 0 and (out := _made(-change_mm, pack)) is not None:
        return Swap(out, Stock())
    if change_mm > 0 and (into := _made(change_mm, spare)) is not None:
        return Swap(Stock(), into)
    new = _made(pack.total_mm + change_mm, gather_stock((*pack.kinds, *spare.kinds)))
    return None if new is None else Swap(_beyond(pack, new), _beyond(new, pack))


def _made(wanted_mm: float, stock: Stock) -> Stock | None:
    return find_pack(wanted_mm, stock).found if 0 <= wanted_mm <= THICKEST_MM else None


def _beyond(one: Stock, other: Stock) -> Stock:
    """What the one has more than the other."""
    held = {(kind.steps, kind.in_inch): kind.count for kind in other.kinds}
    left = (replace(kind, count=max(0, kind.count - held.get((kind.steps, kind.in_inch), 0))) for kind in one.kinds)
    return gather_stock(left)
