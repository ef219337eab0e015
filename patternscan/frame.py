"""The shared words: flank, end, marking, compound, and places on a flank.

A place on a flank is ``along`` (0 at end A, 1 at end B, a fraction of the face width) and
``up`` (0 at the root edge, 1 at the tip edge, a fraction of the local flank height).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class Flank(StrEnum):
    """The two working sides of a tooth, named as in ISO 1122-1 with end face A as the reference face.

    Look at end face A with the tooth tip up: the right flank is on your right hand.
    """

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> Flank:
        """The opposite flank of a tooth."""
        return Flank.RIGHT if self is Flank.LEFT else Flank.LEFT


class End(StrEnum):
    """The two end faces of the wheel. The fitter paints A on one of them."""

    A = "A"
    B = "B"

    @property
    def other(self) -> End:
        """The opposite end face."""
        return End.B if self is End.A else End.A


class Marking(StrEnum):
    """How the compound shows contact."""

    TRANSFER = "transfer"
    """The worm was painted and printed compound onto a clean flank: compound is contact."""
    RUB_OFF = "rub-off"
    """The flank was painted and rubbed bare where the worm touched: bare metal is contact."""

    @property
    def other(self) -> Marking:
        """The other way of marking."""
        return Marking.RUB_OFF if self is Marking.TRANSFER else Marking.TRANSFER


class Compound(StrEnum):
    """Colour of the marking compound. Red covers orange and red lead, violet is layout dye."""

    BLUE = "blue"
    YELLOW = "yellow"
    WHITE = "white"
    RED = "red"
    VIOLET = "violet"


class Medium(StrEnum):
    """What was photographed."""

    FLANK = "flank"
    """The flank itself."""
    TAPE = "tape"
    """The film lifted off on clear tape."""
    PAPER = "paper"
    """The film pressed off onto paper."""


class Seen(StrEnum):
    """Which side of tape or paper the picture shows."""

    TOUCHED = "touched"
    """The side that touched the tooth: the picture shows the flank as in a mirror."""
    THROUGH = "through"
    """The film is seen through the tape or paper, the way one looks at the flank."""


@dataclass(frozen=True, slots=True)
class Lift:
    """A print off the flank: on ``medium`` tape or paper, and which side of it the picture shows."""

    medium: Medium
    seen: Seen

    @property
    def mirrored(self) -> bool:
        """Whether the picture shows the flank as in a mirror.

        >>> Lift(Medium.PAPER, Seen.TOUCHED).mirrored, Lift(Medium.TAPE, Seen.THROUGH).mirrored
        (True, False)
        """
        return self.seen is Seen.TOUCHED

    @property
    def usual(self) -> bool:
        """Whether it is seen as it mostly is: tape on a card through its back, paper on the side that touched."""
        return self.mirrored is (self.medium is Medium.PAPER)


@dataclass(frozen=True, slots=True)
class FlankOffset:
    """A step on a flank, in fractions of face width (toward B) and of flank height (toward the tip)."""

    along: float
    up: float

    def __neg__(self) -> FlankOffset:
        return FlankOffset(-self.along, -self.up)

    def __add__(self, other: FlankOffset) -> FlankOffset:
        if not isinstance(other, FlankOffset):
            return NotImplemented
        return FlankOffset(self.along + other.along, self.up + other.up)


@dataclass(frozen=True, slots=True)
class FlankPoint:
    """A place on a flank. Point minus point is an offset; two places cannot be added.

    >>> FlankPoint(0.75, 0.5) - FlankPoint(0.5, 0.5)
    FlankOffset(along=0.25, up=0.0)
    """

    along: float
    up: float

    def __sub__(self, other: FlankPoint) -> FlankOffset:
        if not isinstance(other, FlankPoint):
            return NotImplemented
        return FlankOffset(self.along - other.along, self.up - other.up)

    def __add__(self, other: FlankOffset) -> FlankPoint:
        if not isinstance(other, FlankOffset):
            return NotImplemented
        return FlankPoint(self.along + other.along, self.up + other.up)


@dataclass(frozen=True, slots=True)
class Made:
    """When a result was made, in local time with its offset, and by whom, None when nobody said."""

    at: datetime
    by: str | None = None

    @classmethod
    def now(cls, by: str | None = None) -> Made:
        """Made this second."""
        return cls(datetime.now().astimezone().replace(microsecond=0), by)


def percent(fraction: float) -> str:
    """A fraction in whole percent, without sign.

    >>> percent(-0.342)
    '34 %'
    """
    return f"{abs(fraction) * 100:.0f} %"


FLANK_CENTRE = FlankPoint(0.5, 0.5)
"""Middle of the face width, half-way from root to tip: the default target."""
