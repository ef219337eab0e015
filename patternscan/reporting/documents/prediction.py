"""The computed pattern of a worm pair as the wheel stands and after a proposed move, and its document."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank
from patternscan.gearing.contact import FlankContact, PairContact
from patternscan.gearing.pair import WormPair
from patternscan.judging.judged_state import FlankState, JudgedState
from patternscan.version import __version__

PREDICTION = "patternscan-prediction"
VERSION = 1
DIGITS = 4

LIMITS = (
    "It holds for cylindrical worms only, not for globoid (hourglass) worms and not for worms of two leads.",
    "It is without load: under load parts bend, and the pattern grows and moves.",
    "It takes worm, wheel and housing as rigid and unworn, and the worm as long enough to cover the whole mesh.",
    "How much is marked hangs on the thickness of the film: compare places, not coverage.",
)

Document = dict[str, Any]


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


def prediction_document(prediction: Prediction) -> Document:
    """What ``predict --json`` prints."""
    return {
        "format": PREDICTION,
        "version": VERSION,
        "tool": f"patternscan {__version__}",
        "machine": prediction.machine,
        "pair": _pair(prediction.pair),
        "assumed": dict(prediction.assumed),
        "film_um": prediction.film_um,
        **_state(prediction, prediction.stands),
        "well_set": _state(prediction, prediction.well_set),
        "move": _move(prediction),
        "measured": _measured(prediction),
        "limits": list(LIMITS),
    }


def _pair(pair: WormPair) -> Document:
    given = ("module_mm", "starts", "teeth", "worm_diameter_mm", "pressure_angle_deg", "face_width_mm", "hob_oversize")
    return {
        **{name: getattr(pair, name) for name in given},
        "hand": pair.hand.value,
        "profile": pair.profile.value,
        "hob_trim_deg": _rounded(pair.hob_trim_deg),
        "centre_distance_mm": _rounded(pair.centre_distance_mm),
        "lead_angle_deg": _rounded(pair.lead_angle_deg),
    }


def _state(prediction: Prediction, state: PairContact) -> Document:
    """One placement and what it shows."""
    film, placement = prediction.film_um, state.placement
    return {
        "placement": {
            "wheel_toward_a_mm": _rounded(placement.wheel_toward_a_mm),
            "centre_error_mm": _rounded(placement.centre_error_mm),
            "shaft_angle_error_deg": _rounded(placement.shaft_angle_error_deg),
        },
        **{flank.value: _flank(flank_of(state, flank), film) for flank in Flank},
        "shared_shift": {"along": _rounded(state.shared_shift(film))},
        "opposed_shift": {"along": _rounded(state.opposed_shift(film))},
        "backlash_change_mm": _rounded(prediction.backlash_change_mm(state)),
    }


def _flank(contact: FlankContact, film_um: float) -> Document:
    centroid = contact.centroid(film_um)
    return {
        "along": None if centroid is None else _rounded(centroid.along),
        "up": None if centroid is None else _rounded(centroid.up),
        "coverage": _rounded(contact.coverage(film_um)),
    }


def _move(prediction: Prediction) -> Document | None:
    if prediction.moved is None:
        return None
    return {"wheel_toward_a_mm": _rounded(prediction.move_mm), "after": _state(prediction, prediction.moved)}


def _measured(prediction: Prediction) -> Document | None:
    if prediction.measured is None:
        return None
    return {flank.value: _read(prediction.read_from_photos(flank)) for flank in Flank}


def _read(state: FlankState | None) -> Document | None:
    if state is None:
        return None
    numbers = {name: getattr(state, name) for name in ("along", "up", "coverage")}
    return {name: {key: getattr(one, key) for key in ("value", "low", "high")} for name, one in numbers.items()}


def _rounded(number: float | None) -> float | None:
    """Rounded to a ten-thousandth, never -0."""
    return None if number is None else round(float(number), DIGITS) + 0.0
