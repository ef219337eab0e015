"""What can happen in a setting job: each kind of event a record, as it stands in a line of the log."""

from __future__ import annotations

import math
import re
from typing import Annotated, get_args

from msgspec import Meta, Struct

from patternscan.frame import Compound, End, Marking, Medium
from patternscan.judging.advice import Move
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval
from patternscan.setting.log.pattern_parts import FlankPrint, PhotoLink
from patternscan.setting.log.replies import QUESTIONS, REPLIES, AskedBack
from patternscan.setting.log.words import (
    Bolts,
    Drag,
    Geometry,
    Height,
    Joint,
    Occasion,
    OilWork,
    Part,
    Reply,
    Shaft,
    ShimPlace,
)
from patternscan.setting.machine.stock import Shims

Size = Annotated[float, Meta(ge=-1e5, le=1e5)]
Count = Annotated[int, Meta(ge=-(10**6), le=10**6)]
"""What stands in a log is no larger, in mm, degrees or pieces: a line changed by hand that says so is damaged."""


SAME_PLACE = 5e-4
"""Results are rounded to four digits."""


def _kind(name: str) -> str:
    """The word for a kind of event: "shim-change" for ShimChange."""
    return re.sub(r"(?<!^)(?=[A-Z])", "-", name).lower()


class _Logged(Struct, frozen=True, omit_defaults=True, tag_field="kind", tag=_kind):
    """What every kind of event is: a record that its word in the log tells from the others.

    A value that was not given does not stand in the line.
    """


class Secured(_Logged, frozen=True):
    """A named person has hung the car and landed the counterweight (or the load), then isolated, locked and tried."""

    name: str


class ShimsFound(_Logged, frozen=True):
    """Thickness found under the upper and the lower bolts of a place, mm (the same where it makes no difference)."""

    place: ShimPlace
    upper_mm: Size
    lower_mm: Size


class ShimChange(_Logged, frozen=True):
    """Thickness added (negative: removed) under the upper and the lower bolts of a place, mm."""

    place: ShimPlace
    upper_mm: Size
    lower_mm: Size


class PackPieces(_Logged, frozen=True):
    """The single shims that lie under these bolts of a place, each kind with how many."""

    place: ShimPlace
    bolts: Bolts
    pieces: tuple[Shims, ...]


class EccentricsFound(_Logged, frozen=True):
    """Holes in which the marks of the two eccentric carriers stand."""

    hole_a: Count
    hole_b: Count


class EccentricChange(_Logged, frozen=True):
    """Holes by which the marks of the two carriers were moved, positive toward higher numbers."""

    holes_a: Count
    holes_b: Count


class EndPlay(_Logged, frozen=True):
    """End play of a shaft as read on the dial, mm; with how much drag and at how many degrees Celsius, if noted."""

    shaft: Shaft
    reading_mm: Size
    drag: Drag | None = None
    temperature_c: Size | None = None


class Backlash(_Logged, frozen=True):
    """Dial readings at several positions of the wheel, mm, taken at ``radius_mm`` from its axis."""

    readings_mm: tuple[Size, ...]
    radius_mm: Size
    drag: Drag | None = None
    temperature_c: Size | None = None


class LostMotion(_Logged, frozen=True):
    """Free turn of the worm with the wheel held, degrees, at several positions of the wheel."""

    angles_deg: tuple[Size, ...]
    drag: Drag | None = None
    temperature_c: Size | None = None


class Alignment(_Logged, frozen=True):
    """How far the outboard bearing is out of line, mm: whether it stands high or low, and on which side, if noted.

    ``side`` is the side of its stand toward that end of the wheel; None means both sides alike.
    """

    reading_mm: Size
    stands: Height | None = None
    side: End | None = None
    temperature_c: Size | None = None


class Measured(_Logged, frozen=True):
    """What was measured on housing, seat or worm, mm."""

    what: Geometry
    reading_mm: float


class PartNumber(_Logged, frozen=True):
    """The part or serial number that is stamped on a part."""

    part: Part
    stamped: str


class Oil(_Logged, frozen=True):
    """Oil was drained or filled: which, and how many litres, if noted."""

    work: OilWork
    oil: str | None = None
    litres: Size | None = None


class Torque(_Logged, frozen=True):
    """The torque to which the bolts of a joint were tightened, Nm."""

    joint: Joint
    torque_nm: Size


class TeethPhotographed(_Logged, frozen=True):
    """Numbers of the teeth that were blued and photographed, counted round the wheel from a marked one."""

    teeth: tuple[Count, ...]


class Accepted(_Logged, frozen=True):
    """A named person leaves it as it is, measured or not."""

    what: Geometry
    name: str


class Replaced(_Logged, frozen=True):
    """A part was replaced."""

    part: Part


class Pattern(_Logged, frozen=True):
    """A pattern as ``judge`` read it. A flank without reading is None, and the shifts are then None too.

    ``step_mm`` is the first step of shims that the gear data bear out, without sign; None when they bear out none.
    ``centres_mm`` and ``shaft_angle_deg`` each explain by the gear data what pulls the flanks apart, if the other is
    right; None when they are not known, or it does not.
    ``folder`` is where its pictures lie, relative to the job's folder, with slashes. ``grave`` holds the words of
    the cautions that forbid a direction (older logs do not say what to do), ``asked`` those that ask back (older logs
    hold their words alone).
    """

    occasion: Occasion
    move: Move
    step_mm: Size | None
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
    centres_mm: Interval | None = None
    shaft_angle_deg: Interval | None = None
    media: tuple[Medium, ...] = ()
    asked: tuple[AskedBack | str, ...] = ()

    @property
    def questions(self) -> tuple[AskedBack, ...]:
        """What it asks back, however it was kept."""
        return tuple(AskedBack("", one) if isinstance(one, str) else one for one in self.asked)

    def is_reference(self, target: Target) -> bool:
        """Whether a target that names a reference was taken from this pattern."""
        if target.reference is None or self.left is None or self.right is None:
            return False
        places = ((self.left.along.value, target.left), (self.right.along.value, target.right))
        return all(math.isclose(*both, abs_tol=SAME_PLACE) for both in places)


class Replied(_Logged, frozen=True):
    """A named person answers what the pattern of an earlier entry asks back, by the code of the caution that asks.

    The pattern stands then, or counts no more (``replies``). Raises ValueError for an answer to another question.
    """

    entry: Count
    question: str
    reply: Reply
    name: str

    def __post_init__(self) -> None:
        if QUESTIONS[self.reply] != self.question:
            raise ValueError(f"{self.reply} is no answer to {self.question}")

    @property
    def stands(self) -> bool:
        """Whether the pattern stands by it."""
        return self.reply is REPLIES[self.question].stands


class Closed(_Logged, frozen=True):
    """The housing was closed, seen by ``witness``; what follows is read through the inspection port."""

    witness: str | None = None


class Note(_Logged, frozen=True):
    """Something worth keeping, in a person's own words."""

    text: str


class SignOff(_Logged, frozen=True):
    """A named person ends the job."""

    name: str


class Struck(_Logged, frozen=True):
    """An earlier entry was wrong and no longer counts; it stays in the log."""

    entry: Count
    because: str


Event = (
    Secured
    | ShimsFound
    | PackPieces
    | ShimChange
    | EccentricsFound
    | EccentricChange
    | EndPlay
    | Backlash
    | LostMotion
    | Alignment
    | Measured
    | Accepted
    | PartNumber
    | Oil
    | Torque
    | TeethPhotographed
    | Replaced
    | Pattern
    | Replied
    | Closed
    | Note
    | SignOff
    | Struck
)
KINDS: dict[str, type[Event]] = {str(kind.__struct_config__.tag): kind for kind in get_args(Event)}
"""Every kind of event by the word that stands for it in the log."""
