"""The document of ``predict --json``: the computed pattern of a worm pair."""

from __future__ import annotations

from functools import partial

from msgspec import Struct
from msgspec.structs import asdict

from patternscan.frame import Made
from patternscan.gearing.contact import FlankContact, PairContact
from patternscan.gearing.pair import Hand, Placement, Profile, Rim
from patternscan.judging.prediction import Prediction
from patternscan.judging.states.judged_state import FlankState
from patternscan.reporting.documents.parts import Document, copied, head, perhaps, rounded
from patternscan.reporting.text.model_limits import LIMITS


class PairPart(Struct, frozen=True, kw_only=True):
    """The gear data, given and assumed, and what follows from them."""

    module_mm: float
    starts: int
    teeth: int
    worm_diameter_mm: float
    pressure_angle_deg: float
    face_width_mm: float
    hob_oversize: float
    hand: Hand
    profile: Profile
    rim: Rim
    hob_trim_deg: float
    centre_distance_mm: float
    lead_angle_deg: float


class PatternPart(Struct, frozen=True):
    """One flank's computed pattern; ``along`` and ``up`` are None without contact."""

    along: float | None
    up: float | None
    coverage: float


class PlainShift(Struct, frozen=True):
    """A computed shift along the face, fraction of the face width; None where a flank has no contact."""

    along: float | None


class StatePart(Struct, frozen=True, kw_only=True):
    """One placement of the wheel and what it shows; backlash is counted from the well-set pair."""

    placement: Placement
    left: PatternPart
    right: PatternPart
    shared_shift: PlainShift
    opposed_shift: PlainShift
    backlash_change_mm: float | None


class MovePart(Struct, frozen=True):
    """A proposed move toward end A and what it leads to."""

    wheel_toward_a_mm: float
    after: StatePart


class MeasuredPart(Struct, frozen=True):
    """What was read of both flanks, None where nothing was."""

    left: FlankState | None
    right: FlankState | None


class PredictionDocument(Document, frozen=True, kw_only=True, tag="patternscan-prediction"):
    """What ``predict --json`` prints: the wheel as it stands, and beside it well set and after a move."""

    machine: str | None
    pair: PairPart
    assumed: dict[str, float | str]
    film_um: float
    placement: Placement
    left: PatternPart
    right: PatternPart
    shared_shift: PlainShift
    opposed_shift: PlainShift
    backlash_change_mm: float | None
    well_set: StatePart
    move: MovePart | None
    measured: MeasuredPart | None
    limits: tuple[str, ...]


def prediction_document(prediction: Prediction, made: Made) -> PredictionDocument:
    """The document of a computed pattern."""
    state = partial(_state, prediction)
    document = PredictionDocument(
        **head(made),
        machine=prediction.machine,
        pair=copied(PairPart, prediction.pair),
        assumed=dict(prediction.assumed),
        film_um=prediction.film_um,
        **asdict(state(prediction.stands)),
        well_set=state(prediction.well_set),
        move=perhaps(partial(MovePart, prediction.move_mm), perhaps(state, prediction.moved)),
        measured=perhaps(partial(copied, MeasuredPart), prediction.measured),
        limits=LIMITS,
    )
    return rounded(document)


def _state(prediction: Prediction, state: PairContact) -> StatePart:
    film = prediction.film_um
    return StatePart(
        placement=state.placement,
        left=_pattern(state.left, film),
        right=_pattern(state.right, film),
        shared_shift=PlainShift(state.shared_shift(film)),
        opposed_shift=PlainShift(state.opposed_shift(film)),
        backlash_change_mm=prediction.backlash_change_mm(state),
    )


def _pattern(contact: FlankContact, film_um: float) -> PatternPart:
    centroid = contact.centroid(film_um)
    along, up = (None, None) if centroid is None else (centroid.along, centroid.up)
    return PatternPart(along, up, contact.coverage(film_um))
