"""Computed patterns of plain blocks, so that every place and share is known beforehand."""

from __future__ import annotations

import numpy as np

from patternscan.frame import Flank
from patternscan.gearing.contact import FlankContact, PairContact
from patternscan.gearing.pair import Hand, Placement, Profile, WormPair
from patternscan.judging.prediction import Prediction
from patternscan.judging.states.judged_state import FlankState, Identity, JudgedState
from patternscan.measuring.interval import Interval

Block = tuple[float, float, float, float]
"""Along from, along to, up from, up to."""

ROWS, COLUMNS = 40, 100
PAIR = WormPair(6.3, 1, 40, 63.0, 45.0, 20.0, Hand.RIGHT, Profile.ZI, 0.03)
MIDDLE: Block = (0.4, 0.6, 0.25, 0.75)


def flank_contact(flank: Flank, block: Block | None, lag: float = 0.0) -> FlankContact:
    """A flank that touches all over one block and is out of reach elsewhere."""
    gap = np.full((ROWS, COLUMNS), np.nan)
    if block is not None:
        left, right, low, high = block
        gap[round((1 - high) * ROWS) : round((1 - low) * ROWS), round(left * COLUMNS) : round(right * COLUMNS)] = 0.0
    return FlankContact(flank, gap, np.full(4, lag))


def contact(left: Block | None, right: Block | None, placement: Placement, lag: float = 0.0) -> PairContact:
    """Both flanks."""
    return PairContact(PAIR, placement, flank_contact(Flank.LEFT, left, lag), flank_contact(Flank.RIGHT, right, lag))


WELL_SET = contact(MIDDLE, MIDDLE, Placement())
TOWARD_A = contact((0.6, 0.8, 0.25, 0.75), (0.7, 0.9, 0.25, 0.75), Placement(0.1), -0.0001)
"""The wheel 0.1 mm toward A, so both patterns toward B, middles at 70 and 80 %; less backlash."""


def prediction(moved: PairContact | None = None, measured: JudgedState | None = None) -> Prediction:
    """The wheel stands toward A; perhaps it is moved, perhaps photos were read."""
    return Prediction(10.0, TOWARD_A, WELL_SET, moved, {}, None, measured)


def read_state(left: float, right: float | None, machine: str | None = None) -> JudgedState:
    """What was read of both flanks, or of the left one only."""
    return JudgedState(None, None, flank_state(left), flank_state(right), None, frozenset(), identity=Identity(machine))


def flank_state(along: float | None) -> FlankState | None:
    """Plain numbers of one flank, up 30 %."""
    if along is None:
        return None
    up, coverage, extent = Interval.around(0.3, 0.1), Interval.around(0.2, 0.05), Interval.around(0.5, 0.1)
    return FlankState(Interval.around(along, 0.05), up, coverage, extent, extent)
