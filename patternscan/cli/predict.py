"""``patternscan predict``: the pattern that a worm pair must show, computed from its gear data."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.answered import AllowedNumber
from patternscan.cli.options.gear import GearOptions
from patternscan.cli.options.records import option, takes
from patternscan.cli.options.shared import OutputOptions
from patternscan.cli.show import hand_over, write
from patternscan.gearing.pair import Placement
from patternscan.setting.machine.allowed import number
from patternscan.setting.machine.sheet import Gear
from patternscan.workflow.outputs.prediction import prediction_answer, prediction_files
from patternscan.workflow.predict import PredictRequest, predict_pattern

SETTING_MM, SETTING_DEG = (AllowedNumber(number(-most, most, unit)) for most, unit in ((5.0, " mm"), (2.0, " degrees")))
"""Errors of setting beyond these are no errors of setting."""
FILM_UM = AllowedNumber(number(0.5, 100.0, " micrometres"))
"""The thinnest film has no place to be; gaps beyond 0.1 mm are not kept."""

FILM = "Thickness of the compound.  [default: film_um under [photos] on the sheet, else 10]"
WHEEL = "How far the wheel stands toward end A of where it was cut; negative = toward B."
CENTRE = "How much too far apart the axes are; negative = too close together."
ANGLE = (
    "How far the worm is turned out of square, clockwise when you look from the wheel toward the worm; negative = "
    "anticlockwise."
)
MOVE = "Also show the pattern after a move of the wheel: positive toward end A, negative toward B."
READING = "A result of 'judge --json', to show what was read from photos beside what is computed."
SHEET = "The machine sheet (a TOML file); its [gear] table gives what no option gives."


@dataclass(frozen=True, slots=True)
class PlacementOptions:
    """How the wheel stands, and what is to be shown beside that."""

    film_um: Annotated[float | None, option("--film", FILM, type=FILM_UM, metavar="MICROMETRES")]
    wheel_mm: Annotated[float, option("--wheel-toward-a", WHEEL, type=SETTING_MM, default=0.0, metavar="MM")]
    centre_mm: Annotated[float, option("--centre-error", CENTRE, type=SETTING_MM, default=0.0, metavar="MM")]
    angle_deg: Annotated[float, option("--shaft-angle-error", ANGLE, type=SETTING_DEG, default=0.0, metavar="DEGREES")]
    move_mm: Annotated[float | None, option("--move-wheel", MOVE, type=SETTING_MM, metavar="MM")]
    reading: Annotated[Path | None, option("--reading", READING)]


@dataclass(frozen=True, slots=True)
class PredictOptions:
    """What the command takes."""

    gear: GearOptions
    sheet: Annotated[Path | None, option("--sheet", SHEET)]
    place: PlacementOptions
    output: OutputOptions

    @property
    def request(self) -> PredictRequest:
        """What is to be computed."""
        place = self.place
        stands = Placement(place.wheel_mm, place.centre_mm, place.angle_deg)
        return PredictRequest(
            Gear(**asdict(self.gear)), self.sheet, place.film_um, stands, place.move_mm, place.reading
        )


@click.command()
@takes(PredictOptions)
def predict(given: PredictOptions) -> None:
    """Compute the pattern that both flanks show without load, from the gear data of a cylindrical worm pair.

    Take the gear data from the machine sheet or from the options; an option goes before the sheet. Say how the
    wheel stands, and what a move of the wheel would do: 0.10 mm is 0.004 in.

    Example: patternscan predict --sheet goods_lift.toml --wheel-toward-a 0.1 --move-wheel -0.1 --out computed
    """
    request = given.request
    result = predict_pattern(request)
    answer = prediction_answer(result)
    if given.output.folder is not None:
        write(prediction_files(given.output.folder, result, answer), given.output.overwrite, request.files)
    hand_over(answer, given.output.as_json)
