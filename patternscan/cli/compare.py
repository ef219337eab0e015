"""``patternscan compare``: two states of one machine."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.group import SAFETY_HELP
from patternscan.cli.options.judging import Paths, photo_inputs
from patternscan.cli.options.records import Parameter, argument, option, takes
from patternscan.cli.options.shared import BY, FILM, FULL, TIPS, OutputOptions, PhotoOptions
from patternscan.cli.show import hand_over, write
from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.reporting.kept.judgement import JUDGEMENT_NAME
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.workflow.compare import CompareRequest, State, compare_results
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.photo_list import PHOTO_ENDINGS, holds_photos
from patternscan.workflow.inputs.settings import load_settings, with_film
from patternscan.workflow.judge import JudgeRequest
from patternscan.workflow.outputs.comparison import comparison_answer, comparison_with_files

OUTLINES = "Outline file of each of these photos, in the same order."


def photos_of(state: str, flank: Flank) -> Parameter:
    """The option for the photos of a flank in one state."""
    told = f"Photo of a {flank} flank {state} the move; repeat for further teeth."
    return option(f"--{state}-{flank}", told, metavar="PHOTO")


@dataclass(frozen=True, slots=True)
class StatePhotos:
    """The photos of both states, by their options."""

    before_left: Annotated[Paths, photos_of("before", Flank.LEFT)]
    before_right: Annotated[Paths, photos_of("before", Flank.RIGHT)]
    after_left: Annotated[Paths, photos_of("after", Flank.LEFT)]
    after_right: Annotated[Paths, photos_of("after", Flank.RIGHT)]
    before_left_outline: Annotated[Paths, option("--before-left-outline", OUTLINES, metavar="FILE")]
    before_right_outline: Annotated[Paths, option("--before-right-outline", OUTLINES, metavar="FILE")]
    after_left_outline: Annotated[Paths, option("--after-left-outline", OUTLINES, metavar="FILE")]
    after_right_outline: Annotated[Paths, option("--after-right-outline", OUTLINES, metavar="FILE")]
    tip: Annotated[PictureSide | None, TIPS]

    def of(self, state: str) -> list[PhotoInput]:
        """The photos ``before`` or ``after`` the move. Raises WrongUse where the outlines are not one for each."""
        inputs: list[PhotoInput] = []
        for flank in Flank:
            name = f"{state}_{flank}"
            photos: Paths = getattr(self, name)
            tips = (self.tip,) * len(photos)
            option_name = f"--{state}-{flank}-outline"
            inputs += photo_inputs(flank, photos, getattr(self, f"{name}_outline"), tips, option_name)
        return inputs


@dataclass(frozen=True, slots=True)
class CompareOptions:
    """What the command takes."""

    results: Annotated[tuple[Path, ...], argument(nargs=-1, metavar="[BEFORE] [AFTER]")]
    states: StatePhotos
    reading: PhotoOptions
    film: Annotated[str | None, FILM]
    output: OutputOptions
    by: Annotated[str | None, BY]
    full: Annotated[bool, FULL]


@click.command(epilog=SAFETY_HELP)
@takes(CompareOptions)
def compare(given: CompareOptions) -> None:
    """Compare two states of one machine: BEFORE and AFTER a move of the wheel.

    Each is a folder written by 'judge --out', or a result written by 'judge --json'. The pictures of what changed need
    the folders.

    Example: patternscan compare before after --out change

    Instead of a result, the photos of a state may be given.

    Example: patternscan compare before --after-left left.jpg --after-right right.jpg --marking transfer --out change
    """
    request = _request(given)
    result = compare_results(request)
    if given.output.folder is None:
        answer = comparison_answer(result)
    else:
        answer, files = comparison_with_files(given.output.folder, result)
        write(files, given.output.overwrite, request.files)
    hand_over(answer, given.output.as_json, full=given.full)


def _request(given: CompareOptions) -> CompareRequest:
    """Both states, each from its result or from its photos. Results fill the places for which no photo was given."""
    for one in given.results:
        _refuse_photos(one)
    photos = (given.states.of("before"), given.states.of("after"))
    missing = sum(not one for one in photos)
    if len(given.results) != missing:
        raise WrongUse(
            "A state to compare is missing."
            if len(given.results) < missing
            else "More than two states were given to compare.",
            "Give BEFORE and AFTER: each as a result, or by its photos with --before-left, --after-left and so on.",
        )
    if missing == len(photos):
        _refuse_unused(given)
    results = iter(given.results)
    before, after = (_photo_state(one, given) if one else next(results) for one in photos)
    return CompareRequest(before, after, given.by)


def _refuse_photos(result: Path) -> None:
    """Raise WrongUse for a photo, or a folder of photos, in the place of a result."""
    if result.suffix.casefold() in PHOTO_ENDINGS:
        raise WrongUse(
            f"{result} is a photo, not a result.",
            "Give each photo with what it shows: --before-left, --before-right, --after-left or --after-right.",
        )
    if result.is_dir() and not (result / JUDGEMENT_NAME).exists() and holds_photos(result):
        raise WrongUse(
            f"The folder {result} holds photos, not a result.",
            "Judge each visit first (patternscan judge FOLDER --marking HOW --out RESULT), then compare both results.",
        )


def _photo_state(photos: list[PhotoInput], given: CompareOptions) -> State:
    return JudgeRequest(tuple(photos), with_film(load_settings(given.reading.request), given.film))


def _refuse_unused(given: CompareOptions) -> None:
    """Refuse to pass over in silence what is only of use with photos."""
    reading, told = given.reading, given.reading.photographed.told
    about = {"film": given.film, "marking": reading.marking, "compound": reading.compound, "sheet": reading.sheet}
    about |= {"proof": reading.proof, "medium": told.medium, "seen": told.seen}
    for name, value in about.items():
        if value is not None:
            raise WrongUse(
                f"--{name} says how photos are to be read, but no photo was given.",
                "Leave it out: the results say themselves how they were made. To change that, judge the photos again.",
            )
