"""``patternscan judge``: both flanks, and which way to move the wheel."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.folder import folder_options, judge_many
from patternscan.cli.keep_pattern import job_sheet, keep_options, keep_pattern, leave_amount_to_job, tell_next
from patternscan.cli.load import Setup, Shot, load_setup, read_shot
from patternscan.cli.options import PATH, SIDES, output_options, photo_options
from patternscan.cli.show import Delivery, hand_over, judgement_files, progress
from patternscan.cli.standard import held_against, refuse_for_many, standard_options, with_standard
from patternscan.errors import InconsistentInputs, NoCompound, NoTrustworthyOutline, PatternscanError, WrongUse
from patternscan.frame import Flank

if TYPE_CHECKING:
    from patternscan.judging.judgement import Declined, Judgement
    from patternscan.measuring.reading import Reading


@click.command(short_help="Judge both flanks and advise which way to move the wheel.")
@click.argument("photos", type=PATH, required=False)
@click.option("--left", multiple=True, type=PATH, help="Photo of a left flank; repeat for further teeth.")
@click.option("--right", multiple=True, type=PATH, help="Photo of a right flank; repeat for further teeth.")
@click.option("--left-outline", multiple=True, type=PATH, help="Outline file of each left photo, in the same order.")
@click.option("--right-outline", multiple=True, type=PATH, help="Outline file of each right photo, same order.")
@click.option("--tip", type=SIDES, default="up", show_default=True, help="Where the tips point, in every photo.")
@click.option("--left-tip", multiple=True, type=SIDES, help="Where the tip points in each left photo, same order.")
@click.option("--right-tip", multiple=True, type=SIDES, help="Where the tip points in each right photo, same order.")
@photo_options
@standard_options
@output_options
@folder_options
@keep_options
def judge(photos: Path | None, **options: Any) -> None:
    """Judge both flanks and advise which way to move the wheel.

    Example: patternscan judge --left left.jpg --left-outline left.outline.json --right right.jpg
    --right-outline right.outline.json --marking transfer --out report

    PHOTOS is a folder of photos, with outline files beside them, or a list of photos (a CSV file with the columns
    photo, flank, outline, tip, machine, sheet, marking). Every machine is judged, and a table tells what came of each.

    Example: patternscan judge site_photos --marking transfer --out site
    """
    sheet_path = job_sheet(options, many=photos is not None)
    if photos is not None:
        refuse_for_many(options)
        judge_many(photos, options)
        return
    about = (options["marking"], options["compound"], sheet_path, options["max_megapixels"])
    setup = load_setup(*about, options["snap"])
    setup = held_against(setup, options)
    shots = [*shots_of(Flank.LEFT, options), *shots_of(Flank.RIGHT, options)]
    if not shots:
        raise WrongUse("No photo was given.", "Give at least one photo with --left and one with --right.")
    judgement = with_standard(inspect_shots(shots, setup), options)

    from patternscan.reporting.documents.result import judgement_document

    if setup.pair is not None and judgement.comparison.shared is not None:
        from patternscan.workflow.judge import estimate_wheel

        with progress("Computing how far the wheel is off") as done:
            judgement = estimate_wheel(judgement, setup.pair, setup.sheet.gear.hob_oversize is not None, done)
    judgement = leave_amount_to_job(options, judgement)
    document = judgement_document(judgement)

    def report() -> str:
        from patternscan.reporting.text.report import judgement_report

        return judgement_report(judgement)

    def files(folder: Path) -> dict[Path, bytes]:
        return judgement_files(folder, judgement, document, report())

    if options["folder"] is not None:
        originals = [path for shot in shots for path in (shot.photo, shot.outline) if path is not None]
        delivery = Delivery(options["overwrite"], (*originals, *_sheet_path(options)))
        delivery.write(files(options["folder"]))
    if options["job"] is not None:
        keep_pattern(options, judgement, files, [shot.photo for shot in shots])
    hand_over(document, report, options["as_json"])
    tell_next(options)


def shots_of(flank: Flank, options: dict[str, Any]) -> list[Shot]:
    """The photos given for one flank, each with its outline file and tip direction."""
    photos = options[flank.value]
    outlines = _one_each(photos, options[f"{flank}_outline"], f"--{flank}-outline", None)
    tips = _one_each(photos, options[f"{flank}_tip"], f"--{flank}-tip", options["tip"])
    return [Shot(photo, flank, outline, tip) for photo, outline, tip in zip(photos, outlines, tips, strict=True)]


def inspect_shots(shots: list[Shot], setup: Setup) -> Judgement:
    """Read every photo and compare the two flanks."""
    readings, declined = read_all(shots, setup)
    from patternscan.workflow.judge import judge_pair

    left, right = ([one for one in readings if one.outline.flank is flank] for flank in Flank)
    return judge_pair(left, right, setup.sheet, declined)


def read_all(shots: list[Shot], setup: Setup) -> tuple[list[Reading], list[Declined]]:
    """Read every photo. Photos without compound or findable outline are declined; when all are, the first is raised.

    An outline that a person gave is never passed over in silence: when it cannot be used, that is raised.
    """
    from patternscan.judging.judgement import Declined

    readings: list[Reading] = []
    declined: list[Declined] = []
    for shot in shots:
        try:
            readings.extend(read_shot(shot, setup))
        except (NoTrustworthyOutline, NoCompound, InconsistentInputs) as error:
            if isinstance(error, InconsistentInputs) or (isinstance(error, NoTrustworthyOutline) and shot.outline):
                raise _naming(shot, error) from error
            declined.append(Declined(shot.photo.name, shot.flank, error))
    if not readings:
        raise _naming(shots[0], declined[0].reason)
    return readings, declined


def _naming(shot: Shot, error: PatternscanError) -> PatternscanError:
    """The same stop with the photo's name in it, for a person who gave several."""
    name = shot.photo.name
    return error if name in error.found else type(error)(f"{name} ({shot.flank} flank): {error.found}", error.remedy)


def _one_each(photos: tuple[Path, ...], given: tuple[Any, ...], option: str, missing: Any) -> tuple[Any, ...]:
    if not given:
        return (missing,) * len(photos)
    if len(given) != len(photos):
        raise WrongUse(
            f"{option} is there {_times(len(given))}, but the number of photos is {len(photos)}.",
            f"Give {option} once for each photo, in the same order, or leave it out.",
        )
    return given


def _times(number: int) -> str:
    return "once" if number == 1 else f"{number} times"


def _sheet_path(options: dict[str, Any]) -> tuple[Path, ...]:
    return () if options["sheet_path"] is None else (options["sheet_path"],)
