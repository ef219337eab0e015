"""The machine sheet: what is known of one machine, in a TOML file that a person writes."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

from patternscan.errors import WrongUse
from patternscan.frame import FLANK_CENTRE, Compound, End, Marking
from patternscan.gearing.contact import trim_hob
from patternscan.gearing.pair import Hand, Profile, WormPair
from patternscan.judging.advice import Move, ShimRule
from patternscan.judging.comparison import Target
from patternscan.setting.machine.sheet_fields import ALONE, NOT_KNOWN, module_from_centres, sheet_faults
from patternscan.setting.mechanics.shims import Stock, parse_stock
from patternscan.units import parse_length


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
class Limit:
    """The maker's least and most, mm."""

    least_mm: float
    most_mm: float

    def holds(self, reading_mm: float) -> bool:
        """Whether a reading is within the limit, ends included."""
        return self.least_mm <= reading_mm <= self.most_mm


@dataclass(frozen=True, slots=True)
class Limits:
    """The [limits] table: the maker's limits. None where the sheet gives none; nothing is put in its place."""

    worm_end_play: Limit | None = None
    wheel_end_play: Limit | None = None
    backlash: Limit | None = None
    outboard_alignment_mm: float | None = None


@dataclass(frozen=True, slots=True)
class SideShims:
    """The [shims] table: the carrier that holds the side shims, the thickest pack it takes, the shims on hand.

    ``alone``: whether this carrier by itself holds the shaft endways, so that its shims leave the end play as it is;
    False when both carriers hold it, None when the sheet does not say.
    """

    carrier: End | None = None
    rule: ShimRule | None = None
    thickest_mm: float | None = None
    stock: Stock = field(default_factory=Stock)
    alone: bool | None = None


@dataclass(frozen=True, slots=True)
class Eccentrics:
    """The [eccentrics] table. ``more_backlash`` is +1 when higher hole numbers give more backlash, -1 when lower.

    ``widest_hole`` is the hole at which the centres are widest. ``clockwise``: hole numbers rise clockwise, seen from
    end A with the worm below.
    """

    holes: int | None = None
    throw_mm: float | None = None
    span_mm: float | None = None
    widest_hole: float | None = None
    more_backlash: int | None = None
    clockwise: bool | None = None


@dataclass(frozen=True, slots=True)
class Dial:
    """The [dial] table: where the gauge touches, and at how many positions of the wheel backlash is read."""

    radius_mm: float | None = None
    positions: int = 4


TEETH_PER_FLANK = 3
"""Teeth to blue and photograph on each flank unless the sheet says otherwise (common practice)."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A machine sheet. Everything is optional; an empty sheet changes nothing. ``film_um`` is in micrometres.

    ``end_a`` tells in a person's words where end A is, so that a new wheel gets its letter on the same side.
    ``centre_distance_mm`` is what the sheet gives, to be shown; reckoning goes by the module.
    """

    machine: str | None = None
    gear: Gear = field(default_factory=Gear)
    marking: Marking | None = None
    compound: Compound | None = None
    film: str | None = None
    film_um: float | None = None
    teeth_per_flank: int = TEETH_PER_FLANK
    target: Target = field(default_factory=Target)
    shims: SideShims = field(default_factory=SideShims)
    eccentrics: Eccentrics | None = None
    dial: Dial = field(default_factory=Dial)
    limits: Limits = field(default_factory=Limits)
    end_a: str | None = None
    centre_distance_mm: float | None = None

    @property
    def shim_rule(self) -> ShimRule | None:
        """What adding a shim does, None when that is not yet known."""
        return self.shims.rule


def read_sheet(path: Path) -> Sheet:
    """Read and check a machine sheet; every fault is named at once. Raises WrongUse."""
    content = _toml(path)
    faults = list(sheet_faults(content))
    if faults:
        raise WrongUse(f"The machine sheet {path.name} has faults: {'; '.join(faults)}.", "Correct the sheet.")
    photos, target = content.get("photos", {}), content.get("target", {})
    eccentrics = content.get("eccentrics")
    return Sheet(
        machine=content.get("machine", {}).get("name"),
        end_a=content.get("machine", {}).get("end_a"),
        gear=_gear(content.get("gear", {})),
        centre_distance_mm=content.get("gear", {}).get("centre_distance_mm"),
        marking=Marking(photos["marking"]) if "marking" in photos else None,
        compound=Compound(photos["compound"]) if "compound" in photos else None,
        film=photos.get("film"),
        film_um=photos.get("film_um"),
        teeth_per_flank=photos.get("teeth_per_flank", TEETH_PER_FLANK),
        target=Target(
            float(target.get("left_along", FLANK_CENTRE.along)), float(target.get("right_along", FLANK_CENTRE.along))
        ),
        shims=_shims(content.get("shims", {})),
        eccentrics=None if eccentrics is None else _eccentrics(eccentrics),
        dial=_dial(content.get("dial", {})),
        limits=_limits(content.get("limits", {})),
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


def _gear(table: dict[str, Any]) -> Gear:
    known = {name: value for name, value in table.items() if name != "centre_distance_mm"}
    module_mm = module_from_centres(table)
    return Gear(**({} if module_mm is None else {"module_mm": module_mm}) | known)


def _shims(table: dict[str, Any]) -> SideShims:
    carrier = End(table["carrier"]) if "carrier" in table else None
    moves = table.get("adding_moves_wheel", NOT_KNOWN)
    rule = None
    if carrier is not None and moves != NOT_KNOWN:
        rule = ShimRule(carrier, End.A if moves == Move.TOWARD_A.value else End.B)
    alone = None if "holds_shaft" not in table else table["holds_shaft"] == ALONE
    return SideShims(carrier, rule, _length(table.get("thickest")), parse_stock(table.get("stock", ())), alone)


def _eccentrics(table: dict[str, Any]) -> Eccentrics:
    more = {"higher": 1, "lower": -1}.get(table.get("more_backlash", NOT_KNOWN))
    clockwise = None if "numbers_rise" not in table else table["numbers_rise"] == "clockwise"
    throw, span = _length(table.get("throw")), _length(table.get("span"))
    return Eccentrics(table.get("holes"), throw, span, table.get("widest_hole"), more, clockwise)


def _dial(table: dict[str, Any]) -> Dial:
    return Dial(_length(table.get("radius")), table.get("positions", Dial().positions))


def _limits(table: dict[str, Any]) -> Limits:
    pairs = {name: Limit(*map(parse_length, table[name])) for name in table if name != "outboard_alignment"}
    return Limits(**pairs, outboard_alignment_mm=_length(table.get("outboard_alignment")))


def _length(text: str | None) -> float | None:
    return None if text is None else parse_length(text)
