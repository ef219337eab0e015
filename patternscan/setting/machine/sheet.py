"""The machine sheet: what is known of one machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields

from patternscan import gearing
from patternscan.errors import WrongUse
from patternscan.frame import Compound, End, Marking, Medium, Seen
from patternscan.gearing.pair import Hand, Profile, Rim, WormPair
from patternscan.judging.advice import ShimRule
from patternscan.judging.comparison import Target
from patternscan.setting.machine.fields import GEAR
from patternscan.setting.machine.stock import Stock


@dataclass(frozen=True, slots=True)
class Gear:
    """The [gear] table; every value is None when the sheet does not give it. Lengths in mm, angles in degrees.

    ``rim`` is "throated", as wheels are unless the sheet says otherwise, or "straight" for one turned to a plain
    cylinder.
    """

    module_mm: float | None = None
    starts: int | None = None
    teeth: int | None = None
    worm_diameter_mm: float | None = None
    pressure_angle_deg: float | None = None
    hand: str | None = None
    face_width_mm: float | None = None
    profile: str | None = None
    hob_oversize: float | None = None
    rim: str | None = None

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
        rim = Rim.THROATED if self.rim is None else Rim(self.rim)
        known |= {"hand": Hand(known["hand"]), "profile": Profile(known["profile"]), "rim": rim}
        return gearing.contact.trim_hob(WormPair(**known))


PAIR_NEEDS = ("module_mm", "starts", "teeth", "worm_diameter_mm", "face_width_mm", "hand")
PAIR_GUESSES = {field.key: field.guess for field in GEAR.fields if field.guess is not None}
"""Usual values; hobs for hoisting wheels are guessed to be 2 to 8 % oversize, so 4 %."""

SMALL_MM = 1e-4
"""Numbers that differ by no more are the same: what reckoning in inches and back leaves over."""


@dataclass(frozen=True, slots=True)
class Limit:
    """The maker's least and most, mm."""

    least_mm: float
    most_mm: float

    def holds(self, readings_mm: Sequence[float]) -> bool:
        """Whether all readings are within the limit, ends included."""
        return all(self.least_mm - SMALL_MM <= reading <= self.most_mm + SMALL_MM for reading in readings_mm)


@dataclass(frozen=True, slots=True)
class Limits:
    """The [limits] table: the maker's limits. None where the sheet gives none; nothing is put in its place.

    That for backlash counts at ``backlash_radius_mm`` from the wheel's axis, at the pitch radius when None; with
    ``backlash_of_teeth`` it counts without the worm's end play.
    """

    worm_end_play: Limit | None = None
    wheel_end_play: Limit | None = None
    backlash: Limit | None = None
    outboard_alignment_mm: float | None = None
    backlash_radius_mm: float | None = None
    backlash_of_teeth: bool | None = None
    squareness_mm: float | None = None
    seat_run_out_mm: float | None = None
    worm_run_out_mm: float | None = None


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

    ``widest_hole`` is the hole at end A at which the centres are widest. ``clockwise``: the numbers at end A rise
    clockwise, seen before that end with the worm below; ``clockwise_b``: those at end B, seen before end B.
    """

    holes: int | None = None
    throw_mm: float | None = None
    span_mm: float | None = None
    widest_hole: float | None = None
    more_backlash: int | None = None
    clockwise: bool | None = None
    clockwise_b: bool | None = None

    @property
    def sense_b(self) -> int:
        """-1 where the numbers at end B must fall when those at end A rise, for both carriers to turn the same way.

        Seen from one side, numbers that rise clockwise before either end turn opposite ways. 1 when it is not known.
        """
        return -1 if self.clockwise is not None and self.clockwise is self.clockwise_b else 1


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
    ``in_inch``: its lengths are written in inches, so that numbers without unit are meant so when they are asked for.
    ``tag_pair`` is the number of its printed tags. ``medium`` and ``seen``: what is photographed as a rule.
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
    in_inch: bool = False
    tag_pair: int | None = None
    medium: Medium | None = None
    seen: Seen | None = None

    @property
    def limit_radius_mm(self) -> float | None:
        """How far from the wheel's axis the maker's limit for backlash counts; None when that is not known."""
        gear = self.gear
        if self.limits.backlash_radius_mm is not None or gear.module_mm is None or gear.teeth is None:
            return self.limits.backlash_radius_mm
        return gear.module_mm * gear.teeth / 2

    @property
    def shim_rule(self) -> ShimRule | None:
        """What adding a shim does, None when that is not yet known."""
        return self.shims.rule
