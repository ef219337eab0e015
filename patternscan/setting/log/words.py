"""The words that an entry of the log is made of: places, parts, shafts, and what else one of a few can be."""

from __future__ import annotations

from enum import StrEnum


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


PLACE_NAMES = {
    ShimPlace.CARRIER_A: "the carrier at end A",
    ShimPlace.CARRIER_B: "the carrier at end B",
    ShimPlace.WORM: "the worm bearing cover",
    ShimPlace.OUTBOARD: "the outboard bearing",
}
"""What the places are called, where one has to be named."""


class Part(StrEnum):
    """A part that can be replaced, or has a number."""

    WORM = "worm"
    WHEEL = "wheel"
    WORM_BEARINGS = "worm-bearings"
    WHEEL_BEARINGS = "wheel-bearings"
    WHEEL_SHAFT = "wheel-shaft"
    CARRIERS = "carriers"
    OUTBOARD_BEARING = "outboard-bearing"
    SEALS = "seals"


class Bolts(StrEnum):
    """The bolts of a place that a pack lies under; those of an outboard stand are counted from the motor's side."""

    ALL = "all"
    UPPER = "upper"
    LOWER = "lower"
    FIRST = "1"
    SECOND = "2"
    THIRD = "3"
    FOURTH = "4"
    FIFTH = "5"
    SIXTH = "6"


class Joint(StrEnum):
    """What is bolted together and tightened to a torque."""

    CARRIER_A = "carrier-A"
    CARRIER_B = "carrier-B"
    WORM = "worm"
    OUTBOARD = "outboard"
    HOUSING = "housing"
    RIM = "rim"


class Geometry(StrEnum):
    """What is measured on housing, seat and worm."""

    SQUARENESS = "squareness"
    CENTRE_DISTANCE = "centre-distance"
    SEAT_RUN_OUT = "seat-run-out"
    WORM_RUN_OUT = "worm-run-out"


CROSSING = (Geometry.SQUARENESS, Geometry.CENTRE_DISTANCE)
"""What may cross a pattern."""


class Height(StrEnum):
    """Which way the outboard bearing is out of line."""

    HIGH = "high"
    LOW = "low"


class OilWork(StrEnum):
    """What was done with the oil."""

    DRAINED = "drained"
    FILLED = "filled"


class Drag(StrEnum):
    """How hard the parts were held back while something was read."""

    NONE = "none"
    LIGHT = "light"
    FIRM = "firm"


class Reply(StrEnum):
    """What a person answers to what a pattern asks back; each is an answer to one question (``replies``)."""

    RUBBED_OFF = "rubbed-off"
    NEVER_PAINTED = "never-painted"
    BOTH_CONTACT = "both-contact"
    ONE_NO_CONTACT = "one-no-contact"
    TAPE_TOUCHED = "tape-touched"
    TAPE_THROUGH = "tape-through"
    PAPER_THROUGH = "paper-through"
    PAPER_TOUCHED = "paper-touched"
    THIS_MACHINE = "this-machine"
    OTHER_MACHINE = "other-machine"
    REFERENCE_GOOD = "reference-good"
    REFERENCE_BAD = "reference-bad"
    NOTHING_CHANGED = "nothing-changed"
    SOMETHING_CHANGED = "something-changed"


class Occasion(StrEnum):
    """What a pattern was taken for: the old wheel as found, the maker's own print, or a trial of this job."""

    AS_FOUND = "as-found"
    MAKER = "maker"
    TRIAL = "trial"
