"""The computed pattern of a worm pair as the wheel stands and after a proposed move."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank
from patternscan.gearing.contact import FlankContact, PairContact
from patternscan.gearing.pair import WormPair
from patternscan.judging.states.judged_state import FlankState, JudgedState


@dataclass(frozen=True, slots=True, eq=False)
class Prediction:
    """The contact of a pair as the wheel stands, well set (nothing out of place), and after a move if one is proposed.

    ``assumed`` are the gear data that were not given; ``measured`` is a judgement of photos to set beside it. Raises
    InconsistentInputs when that judgement is of another machine.
    """

    film_um: float
    stands: PairContact
    well_set: PairContact
    moved: PairContact | None = None
    assumed: Mapping[str, str | float] = field(default_factory=dict)
    machine: str | None = None
    measured: JudgedState | None = None

    def __post_init__(self) -> None:
        other = self.measured.machine if self.measured else None
        if self.machine and other and self.machine != other:
            raise InconsistentInputs(
                f"The machine sheet is of {self.machine}, but the reading is of {other}.",
                "Give the sheet and the reading of the same machine.",
            )

    @property
    def pair(self) -> WormPair:
        """The gear data, given and assumed."""
        return self.stands.pair

    @property
    def move_mm(self) -> float:
        """How far the wheel is moved toward end A; 0 without a move."""
        moved = self.stands if self.moved is None else self.moved
        return moved.placement.wheel_toward_a_mm - self.stands.placement.wheel_toward_a_mm

    @property
    def states(self) -> tuple[PairContact, ...]:
        """As the wheel stands and, when a move is proposed, after it."""
        return (self.stands,) if self.moved is None else (self.stands, self.moved)

    def backlash_change_mm(self, state: PairContact) -> float | None:
        """Backlash on the pitch circle against the well-set pair; None where the parts are out of reach."""
        before, now = self.well_set.backlash_change_mm, state.backlash_change_mm
        return now - before if math.isfinite(before) and math.isfinite(now) else None

    def read_from_photos(self, flank: Flank) -> FlankState | None:
        """What was measured of one flank, None where nothing was."""
        if self.measured is None:
            return None
        return self.measured.left if flank is Flank.LEFT else self.measured.right


def flank_of(contact: PairContact, flank: Flank) -> FlankContact:
    """The left or the right flank of a pair."""
    return contact.left if flank is Flank.LEFT else contact.right
