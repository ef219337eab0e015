"""``patternscan predict``: the pattern that a worm pair must show, computed from its gear data."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.gear_options import chosen_gear, gear_options, number_within
from patternscan.cli.options import PATH, output_options, several
from patternscan.cli.show import Delivery, hand_over, prediction_files
from patternscan.errors import WrongUse

if TYPE_CHECKING:
    from patternscan.gearing.pair import Placement, WormPair
    from patternscan.judging.judged_state import JudgedState
    from patternscan.reporting.documents.prediction import Prediction

FURTHEST_MM, WIDEST_DEG = 5.0, 2.0
"""Errors of setting beyond these are no errors of setting."""
THINNEST_UM, THICKEST_UM = 0.5, 100.0
"""Films of compound run from 6 to 12 micrometres (ISO/TR 10064-4, from memory); gaps beyond 0.1 mm are not kept."""
USUAL_FILM_UM = 10.0


setting_options = several(
    click.option("--film", "film_um", callback=number_within(THINNEST_UM, THICKEST_UM, "micrometres"),
                 metavar="MICROMETRES",
                 help="Thickness of the compound.  [default: film_um under [photos] on the sheet, else 10]"),
    click.option("--wheel-toward-a", "wheel_mm", callback=number_within(-FURTHEST_MM, FURTHEST_MM, "mm"), default="0",
                 metavar="MM", help="How far the wheel stands toward end A of where it was cut; negative = toward B."),
    click.option("--centre-error", "centre_mm", callback=number_within(-FURTHEST_MM, FURTHEST_MM, "mm"), default="0",
                 metavar="MM", help="How much too far apart the axes are; negative = too close together."),
    click.option("--shaft-angle-error", "angle_deg", callback=number_within(-WIDEST_DEG, WIDEST_DEG, "degrees"),
                 default="0", metavar="DEGREES",
                 help="How far the worm is turned out of square, clockwise when you look from the wheel toward the "
                      "worm; negative = anticlockwise."),
    click.option("--move-wheel", "move_mm", callback=number_within(-FURTHEST_MM, FURTHEST_MM, "mm"), metavar="MM",
                 help="Also show the pattern after a move of the wheel: positive toward end A, negative toward B."),
    click.option("--reading", "reading_path", type=PATH,
                 help="A result of 'judge --json', to show what was read from photos beside what is computed."),
)  # fmt: skip


@click.command(short_help="Compute the pattern from the gear data, before and after a move.")
@gear_options
@setting_options
@output_options
def predict(**options: Any) -> None:
    """Compute the pattern that both flanks show without load, from the gear data of a cylindrical worm pair.

    Take the gear data from the machine sheet or from the options; an option goes before the sheet. Say how the
    wheel stands, and what a move of the wheel would do: 0.10 mm is 0.004 in.

    Example: patternscan predict --sheet goods_lift.toml --wheel-toward-a 0.1 --move-wheel -0.1 --out computed
    """
    prediction = compute(options)

    from patternscan.reporting.documents.prediction import prediction_document

    document = prediction_document(prediction)

    def report() -> str:
        from patternscan.reporting.text.predicted_report import prediction_report

        return prediction_report(prediction)

    if options["folder"] is not None:
        originals = tuple(path for path in (options["sheet_path"], options["reading_path"]) if path is not None)
        files = prediction_files(options["folder"], prediction, document, report())
        Delivery(options["overwrite"], originals).write(files)
    hand_over(document, report, options["as_json"])


def compute(options: dict[str, Any]) -> Prediction:
    """The prediction that was asked for. Raises WrongUse when gear data are missing or impossible."""
    from patternscan.gearing.contact import roll_pair
    from patternscan.gearing.pair import Placement
    from patternscan.reporting.documents.prediction import Prediction
    from patternscan.setting.machine.sheet import Sheet
    from patternscan.setting.machine.sheet_file import read_sheet

    sheet = read_sheet(options["sheet_path"]) if options["sheet_path"] is not None else Sheet()
    measured = _reading(options["reading_path"])
    gear = chosen_gear(options, sheet.gear)
    pair, stands, moved = gear.worm_pair(), *_placements(options)
    for placement in (stands, moved):
        refuse_impossible(pair, placement)
    rolled = {place: roll_pair(pair, place) for place in {Placement(), stands, moved}}
    return Prediction(
        film_um=next(film for film in (options["film_um"], sheet.film_um, USUAL_FILM_UM) if film is not None),
        stands=rolled[stands],
        well_set=rolled[Placement()],
        moved=None if options["move_mm"] is None else rolled[moved],
        assumed=gear.assumed,
        machine=sheet.machine,
        measured=measured,
    )


def refuse_impossible(pair: WormPair, placement: Placement) -> None:
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


def _placements(options: dict[str, Any]) -> tuple[Placement, Placement]:
    """How the wheel stands, and how it stands after the proposed move."""
    from patternscan.gearing.pair import Placement

    errors = options["centre_mm"], options["angle_deg"]
    return Placement(options["wheel_mm"], *errors), Placement(
        options["wheel_mm"] + (options["move_mm"] or 0.0), *errors
    )


def _reading(path: Path | None) -> JudgedState | None:
    if path is None:
        return None
    from patternscan.reporting.documents.kept_result import read_judgement

    return read_judgement(path)
