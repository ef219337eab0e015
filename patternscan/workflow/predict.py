"""The pattern that a worm pair must show, computed from its gear data."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from patternscan.errors import WrongUse
from patternscan.frame import Made
from patternscan.gearing.contact import roll_pair
from patternscan.gearing.pair import Placement, WormPair
from patternscan.judging.prediction import Prediction
from patternscan.reporting.kept.judgement import read_judgement
from patternscan.setting.machine.sheet import Gear, Sheet
from patternscan.setting.machine.sheet_file import read_sheet

USUAL_FILM_UM = 10.0
"""Films of compound run from 6 to 12 micrometres (ISO/TR 10064-4, from memory)."""

GEAR_WORDS = {
    "module_mm": ("the module", "--module"),
    "starts": ("the number of starts", "--starts"),
    "teeth": ("the number of wheel teeth", "--teeth"),
    "worm_diameter_mm": ("the pitch diameter of the worm", "--worm-diameter"),
    "pressure_angle_deg": ("the pressure angle", "--pressure-angle"),
    "face_width_mm": ("the face width", "--face-width"),
    "hand": ("the hand", "--hand"),
    "profile": ("the thread form", "--profile"),
    "hob_oversize": ("the oversize of the hob", "--oversize"),
    "rim": ("the rim", "--rim"),
}
"""Keys of the [gear] table, what they are, and the option that goes before the sheet."""


@dataclass(frozen=True, slots=True)
class PredictRequest:
    """Gear data (what is None is taken from the sheet), how the wheel stands, and a move of it toward end A in mm.

    ``film_um`` is the thickness of the compound in micrometres. ``reading`` is a judgement of photos to set beside.
    """

    gear: Gear = field(default_factory=Gear)
    sheet: Path | None = None
    film_um: float | None = None
    stands: Placement = field(default_factory=Placement)
    move_mm: float | None = None
    reading: Path | None = None

    @property
    def files(self) -> tuple[Path, ...]:
        """The files that are read and never written over."""
        return tuple(path for path in (self.sheet, self.reading) if path is not None)


@dataclass(frozen=True, slots=True, eq=False)
class PredictResult:
    """A computed pattern, and when it was computed."""

    prediction: Prediction
    made: Made


def predict_pattern(request: PredictRequest) -> PredictResult:
    """Compute what was asked for. Raises WrongUse when gear data are missing or impossible."""
    sheet = read_sheet(request.sheet) if request.sheet is not None else Sheet()
    measured = None if request.reading is None else read_judgement(request.reading)
    gear = _complete(request.gear, sheet.gear)
    film_um = next(film for film in (request.film_um, sheet.film_um, USUAL_FILM_UM) if film is not None)
    prediction = predict(gear.worm_pair(), request.stands, request.move_mm, film_um)
    prediction = replace(prediction, assumed=gear.assumed, machine=sheet.machine, measured=measured)
    return PredictResult(prediction, Made.now())


def predict(
    pair: WormPair, stands: Placement | None = None, move_mm: float | None = None, film_um: float = USUAL_FILM_UM
) -> Prediction:
    """The pattern of a pair as the wheel stands (None: well set), and after a move of so many mm toward end A.

    ``film_um`` is the thickness of the compound in micrometres: the worm touches where the gap is no wider. Raises
    WrongUse for a place where the wheel cannot stand.
    """
    stands = stands or Placement()
    moved = replace(stands, wheel_toward_a_mm=stands.wheel_toward_a_mm + (move_mm or 0.0))
    for placement in (stands, moved):
        _refuse_impossible(pair, placement)
    rolled = {place: roll_pair(pair, place) for place in {Placement(), stands, moved}}
    return Prediction(
        film_um=film_um,
        stands=rolled[stands],
        well_set=rolled[Placement()],
        moved=None if move_mm is None else rolled[moved],
    )


def _complete(given: Gear, on_sheet: Gear) -> Gear:
    """The gear data as given, else from the sheet. Raises WrongUse, naming all that is missing and how to give it."""
    options = {key: value for key, value in asdict(given).items() if key in GEAR_WORDS}
    gear = replace(on_sheet, **{key: value for key, value in options.items() if value is not None})
    if gear.missing:
        lacking = [f"{GEAR_WORDS[key][0]} ({GEAR_WORDS[key][1]} or {key})" for key in gear.missing]
        raise WrongUse(
            f"To compute the pattern these gear data are missing: {', '.join(lacking)}.",
            "Give them as options, or by their second name under [gear] on the machine sheet (--sheet).",
        )
    return gear


def _refuse_impossible(pair: WormPair, placement: Placement) -> None:
    """Raises WrongUse for a wheel beside the worm and for axes so near that tooth and thread would not fit."""
    if abs(placement.wheel_toward_a_mm) > pair.face_width_mm / 2:
        raise WrongUse(
            f"The wheel would stand {abs(placement.wheel_toward_a_mm):g} mm off its place, more than half its face "
            f"width of {pair.face_width_mm:g} mm.",
            "Give where the wheel stands, and its move, in millimetres.",
        )
    if placement.centre_error_mm < -pair.module_mm:
        raise WrongUse(
            f"Axes {-placement.centre_error_mm:g} mm too close together cannot be, with teeth of module "
            f"{pair.module_mm:g} mm.",
            "Give the error of the centre distance in millimetres.",
        )
