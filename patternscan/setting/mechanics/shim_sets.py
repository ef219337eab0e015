"""Shim sets as they are sold, offered by name only: no set is ever taken for granted."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from patternscan.errors import WrongUse
from patternscan.setting.mechanics.shims import Stock, parse_stock


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


def take_shim_set(name: str, count: int) -> Stock:
    """The named set as a stock with ``count`` pieces of each thickness, which only the shelf can tell.

    Raises WrongUse for a name that is not known.
    """
    if name not in SHIM_SETS:
        close = difflib.get_close_matches(name, SHIM_SETS, n=1)
        meant = f"Did you mean {close[0]}?" if close else f"Known are {', '.join(SHIM_SETS)}."
        raise WrongUse(f"There is no shim set named {name!r}.", meant)
    chosen = SHIM_SETS[name]
    return parse_stock([f"{thickness} {chosen.unit} x {count}" for thickness in chosen.thicknesses])
