"""What can happen in a setting job: each kind of event a record."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patternscan.frame import Compound, Marking
from patternscan.judging.advice import Move
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval


class Shaft(StrEnum):
    """A shaft whose end play is read."""

    WORM = "worm"
    WHEEL = "wheel"


class ShimPlace(StrEnum):
    """A place that can hold shims."""

    CARRIER_A = "carrier-A"
    CARRIER_B = "carrier-B"
    WORM = "worm"
    OUTBOARD = "outboard"


class Part(StrEnum):
    """A part that can be replaced."""

    WORM = "worm"
    WHEEL = "wheel"
    WORM_BEARINGS = "worm-bearings"
    WHEEL_BEARINGS = "wheel-bearings"


class Occasion(StrEnum):
    """What a pattern was taken for: the old wheel as found, the maker's own print, or a trial of this job."""

    AS_FOUND = "as-found"
    MAKER = "maker"
    TRIAL = "trial"


@dataclass(frozen=True, slots=True)
class ShimsFound:
    """Thickness found under the upper and the lower bolts of a place, mm (the same where it makes no difference)."""

    place: ShimPlace
    upper_mm: float
    lower_mm: float


@dataclass(frozen=True, slots=True)
class ShimChange:
    """Thickness added (negative: removed) under the upper and the lower bolts of a place, mm."""

    place: ShimPlace
    upper_mm: float
    lower_mm: float


@dataclass(frozen=True, slots=True)
class EccentricsFound:
    """Holes in which the marks of the two eccentric carriers stand."""

    hole_a: int
    hole_b: int


@dataclass(frozen=True, slots=True)
class EccentricChange:
    """Holes by which the marks of the two carriers were moved, positive toward higher numbers."""

    holes_a: int
    holes_b: int


@dataclass(frozen=True, slots=True)
class EndPlay:
    """End play of a shaft as read on the dial, mm."""

    shaft: Shaft
    reading_mm: float


@dataclass(frozen=True, slots=True)
class Backlash:
    """Dial readings at several positions of the wheel, mm, taken at ``radius_mm`` from its axis."""

    readings_mm: tuple[float, ...]
    radius_mm: float


@dataclass(frozen=True, slots=True)
class LostMotion:
    """Free turn of the worm with the wheel held, degrees, at several positions of the wheel."""

    angles_deg: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Alignment:
    """How far the outboard bearing is out of line, mm."""

    reading_mm: float


@dataclass(frozen=True, slots=True)
class Replaced:
    """A part was replaced."""

    part: Part


@dataclass(frozen=True, slots=True)
class PhotoLink:
    """A photo by its file name and the SHA-256 of its bytes, 64 hexadecimal digits."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class FlankPrint:
    """One flank of a pattern, pooled over its teeth; all numbers are fractions of face width, height or area."""

    teeth: int
    along: Interval
    up: Interval
    coverage: Interval
    length: Interval
    height: Interval


@dataclass(frozen=True, slots=True)
class Pattern:
    """A pattern as ``judge`` read it. A flank without reading is None, and the shifts are then None too.

    ``step_mm`` is the first step of shims that the gear data bear out, without sign; None when they bear out none.
    ``folder`` is where its pictures lie, relative to the job's folder, with slashes. ``grave`` holds the messages of
    the cautions that forbid a direction.
    """

    occasion: Occasion
    move: Move
    step_mm: float | None
    shared: Interval | None
    opposed: Interval | None
    left: FlankPrint | None
    right: FlankPrint | None
    target: Target
    marking: Marking
    compounds: tuple[Compound, ...]
    film: str | None
    grave: tuple[str, ...]
    photos: tuple[PhotoLink, ...]
    folder: str | None
    tool: str


@dataclass(frozen=True, slots=True)
class Closed:
    """The housing was closed; what follows is read through the inspection port."""


@dataclass(frozen=True, slots=True)
class Note:
    """Something worth keeping, in a person's own words."""

    text: str


@dataclass(frozen=True, slots=True)
class SignOff:
    """A named person ends the job."""

    name: str


@dataclass(frozen=True, slots=True)
class Struck:
    """An earlier entry was wrong and no longer counts; it stays in the log."""

    entry: int
    because: str


Event = (
    ShimsFound
    | ShimChange
    | EccentricsFound
    | EccentricChange
    | EndPlay
    | Backlash
    | LostMotion
    | Alignment
    | Replaced
    | Pattern
    | Closed
    | Note
    | SignOff
    | Struck
)
KINDS: dict[str, type[Event]] = {
    "shims-found": ShimsFound,
    "shim-change": ShimChange,
    "eccentrics-found": EccentricsFound,
    "eccentric-change": EccentricChange,
    "end-play": EndPlay,
    "backlash": Backlash,
    "lost-motion": LostMotion,
    "alignment": Alignment,
    "replaced": Replaced,
    "pattern": Pattern,
    "closed": Closed,
    "note": Note,
    "sign-off": SignOff,
    "struck": Struck,
}
"""Every kind of event by the word that stands for it in the log."""
