"""The machine sheet: what is known of one machine, in a TOML file that a person writes."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from patternscan.errors import WrongUse
from patternscan.frame import FLANK_CENTRE, Compound, End, Marking
from patternscan.gearing.contact import trim_hob
from patternscan.gearing.pair import Hand, Profile, WormPair
from patternscan.judging.advice import Move, ShimRule
from patternscan.judging.comparison import Target


@dataclass(frozen=True, slots=True)
class Gear:
    """The [gear] table; every value is None when the sheet does not give it. Lengths in mm, angles in degrees."""

    module_mm: float | None = None
    starts: int | None = None
    teeth: int | None = None
    worm_diameter_mm: float | None = None
    pressure_angle_deg: float | None = None
    hand: str | None = None
    face_width_mm: float | None = None
    profile: str | None = None
    hob_oversize: float | None = None

    @property
    def missing(self) -> tuple[str, ...]:
        """Names of the values without which no worm pair can be computed."""
        return tuple(name for name in PAIR_NEEDS if getattr(self, name) is None)

    @property
    def assumed(self) -> dict[str, str | float]:
        """What ``worm_pair`` puts in place of values that are not given but can be guessed."""
        return {name: value for name, value in PAIR_GUESSES.items() if getattr(self, name) is None}

    def worm_pair(self) -> WormPair:
        """The worm pair, its hob trimmed as a cutter would. Raises WrongUse when values are missing or impossible."""
        if self.missing:
            raise WrongUse(
                f"The gear data lack {', '.join(self.missing)}.", "Give them, here or in the [gear] table of the sheet."
            )
        known = {item.name: getattr(self, item.name) for item in fields(self)} | self.assumed
        known |= {"hand": Hand(known["hand"]), "profile": Profile(known["profile"])}
        return trim_hob(WormPair(**known))


PAIR_NEEDS = ("module_mm", "starts", "teeth", "worm_diameter_mm", "face_width_mm", "hand")
PAIR_GUESSES: dict[str, str | float] = {"pressure_angle_deg": 20.0, "profile": Profile.ZI.value, "hob_oversize": 0.04}
"""Usual values (common practice); hobs for hoisting wheels are guessed to be 2 to 8 % oversize, so 4 %."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A machine sheet. Everything is optional; an empty sheet changes nothing."""

    machine: str | None = None
    gear: Gear = field(default_factory=Gear)
    marking: Marking | None = None
    compound: Compound | None = None
    target: Target = field(default_factory=Target)
    shim_rule: ShimRule | None = None


Check = Callable[[Any], str | None]
"""Says what was expected instead, or None when the value is right."""


def _number(low: float, high: float, unit: str = "") -> Check:
    def check(value: Any) -> str | None:
        right = isinstance(value, (int, float)) and not isinstance(value, bool) and low <= value <= high
        return None if right else f"a number from {low:g} to {high:g}{unit}"

    return check


def _whole(low: int, high: int) -> Check:
    def check(value: Any) -> str | None:
        right = isinstance(value, int) and not isinstance(value, bool) and low <= value <= high
        return None if right else f"a whole number from {low} to {high}"

    return check


def _one_of(*words: str) -> Check:
    def check(value: Any) -> str | None:
        return None if isinstance(value, str) and value in words else " or ".join(f'"{word}"' for word in words)

    return check


def _text(value: Any) -> str | None:
    return None if isinstance(value, str) and value.strip() else "some text"


TABLES: dict[str, dict[str, Check]] = {
    "machine": {"name": _text},
    "gear": {
        "module_mm": _number(0.5, 40, " mm"),
        "starts": _whole(1, 12),
        "teeth": _whole(10, 400),
        "worm_diameter_mm": _number(5, 1000, " mm"),
        "pressure_angle_deg": _number(10, 35, " degrees"),
        "hand": _one_of("right", "left"),
        "face_width_mm": _number(3, 1000, " mm"),
        "profile": _one_of("za", "zi", "zn"),
        "hob_oversize": _number(0, 0.2, " (0.02 is 2 %)"),
    },
    "photos": {
        "marking": _one_of(*(marking.value for marking in Marking)),
        "compound": _one_of(*(compound.value for compound in Compound)),
    },
    "target": {"left_along": _number(0, 1), "right_along": _number(0, 1)},
    "shims": {
        "carrier": _one_of(*(end.value for end in End)),
        "adding_moves_wheel": _one_of(Move.TOWARD_A.value, Move.TOWARD_B.value),
    },
}
"""Every table and key of a sheet, each with its check."""


def read_sheet(path: Path) -> Sheet:
    """Read and check a machine sheet; every fault is named at once. Raises WrongUse."""
    content = _toml(path)
    faults = list(_faults(content))
    if faults:
        raise WrongUse(f"The machine sheet {path.name} has faults: {'; '.join(faults)}.", "Correct the sheet.")
    photos, target = content.get("photos", {}), content.get("target", {})
    return Sheet(
        machine=content.get("machine", {}).get("name"),
        gear=Gear(**content.get("gear", {})),
        marking=Marking(photos["marking"]) if "marking" in photos else None,
        compound=Compound(photos["compound"]) if "compound" in photos else None,
        target=Target(
            float(target.get("left_along", FLANK_CENTRE.along)), float(target.get("right_along", FLANK_CENTRE.along))
        ),
        shim_rule=_shim_rule(content.get("shims")),
    )


def _toml(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise WrongUse(
            f"The machine sheet {path} cannot be read: {error.strerror or error}.", "Check its name and place."
        ) from error
    except UnicodeDecodeError as error:
        raise WrongUse(f"The machine sheet {path.name} is not plain text.", "Save it as text in UTF-8.") from error
    except ValueError as error:
        raise WrongUse(
            f"The machine sheet {path.name} is not a TOML file: {error}.", "Write it as text, one 'key = value' a line."
        ) from error


def _faults(content: dict[str, Any]) -> list[str]:
    faults: list[str] = []
    for table, entries in content.items():
        if table not in TABLES:
            faults.append(f"[{table}] is not known{_nearest(table, TABLES)}")
        elif not isinstance(entries, dict):
            faults.append(f"{table} is not a table; write [{table}] on a line of its own")
        else:
            faults.extend(_entry_faults(table, entries))
    shims = content.get("shims")
    if isinstance(shims, dict) and len(shims.keys() & TABLES["shims"].keys()) == 1:
        faults.append("[shims] needs both carrier and adding_moves_wheel")
    return faults


def _entry_faults(table: str, entries: dict[str, Any]) -> list[str]:
    faults: list[str] = []
    for key, value in entries.items():
        if key not in TABLES[table]:
            faults.append(f"{table}.{key} is not known{_nearest(key, TABLES[table])}")
        elif (expected := TABLES[table][key](value)) is not None:
            faults.append(f"{table}.{key} is {value!r}, expected {expected}")
    return faults


def _nearest(word: str, known: dict[str, Any]) -> str:
    close = difflib.get_close_matches(word, known, n=1)
    return f" (did you mean {close[0]}?)" if close else ""


def _shim_rule(shims: dict[str, Any] | None) -> ShimRule | None:
    if not shims:
        return None
    toward = End.A if shims["adding_moves_wheel"] == Move.TOWARD_A.value else End.B
    return ShimRule(End(shims["carrier"]), toward)
