"""``patternscan compare``: two states of one machine."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.judge import inspect_shots, shots_of
from patternscan.cli.load import Setup, Shot, load_setup
from patternscan.cli.options import PATH, SIDES, output_options, photo_options, several
from patternscan.cli.show import Delivery, comparison_files, hand_over
from patternscan.cli.standard import film_option
from patternscan.errors import WrongUse
from patternscan.frame import Flank

if TYPE_CHECKING:
    from patternscan.judging.change import Change
    from patternscan.reporting.documents.kept_result import KeptResult

STATES = ("before", "after")

state_options: Callable[[Any], Any] = several(
    *(
        click.option(f"--{state}-{flank}", multiple=True, type=PATH, metavar="PHOTO",
                     help=f"Photo of a {flank} flank {state} the move; repeat for further teeth.")
        for state in STATES for flank in Flank
    ),
    *(
        click.option(f"--{state}-{flank}-outline", multiple=True, type=PATH, metavar="FILE",
                     help="Outline file of each of these photos, in the same order.")
        for state in STATES for flank in Flank
    ),
    click.option("--tip", type=SIDES, default="up", show_default=True, help="Where the tips point, in every photo."),
)  # fmt: skip


@click.command(short_help="Compare two judgements, before and after a move.")
@click.argument("results", nargs=-1, type=PATH, metavar="[BEFORE] [AFTER]")
@state_options
@photo_options
@film_option
@output_options
def compare(results: tuple[Path, ...], **options: Any) -> None:
    """Compare two states of one machine: BEFORE and AFTER a move of the wheel.

    Each is a folder written by 'judge --out', or a result written by 'judge --json'. The pictures of what changed need
    the folders.

    Example: patternscan compare before after --out change

    Instead of a result, the photos of a state may be given.

    Example: patternscan compare before --after-left left.jpg --after-right right.jpg --marking transfer --out change
    """
    from patternscan.judging.change import compare_states
    from patternscan.reporting.documents.result import comparison_document
    from patternscan.reporting.text.change_report import change_report

    before, after = _states(results, options)
    change = compare_states(before.state, after.state)
    document, report = comparison_document(change), partial(change_report, change)
    if options["folder"] is not None:
        pictures, words = _pictures(change, before, after)
        report = partial(change_report, change, words)
        files = {options["folder"] / name: content for name, content in pictures.items()}
        Delivery(options["overwrite"], _originals(results, options)).write(
            files | comparison_files(options["folder"], document, report())
        )
    hand_over(document, report, options["as_json"])


def _states(results: tuple[Path, ...], options: dict[str, Any]) -> tuple[KeptResult, KeptResult]:
    """Both states, each from its result or from its photos. Results fill the places for which no photo was given."""
    from patternscan.reporting.documents.kept_result import read_kept

    shots = {state: _shots(state, options) for state in STATES}
    missing = [state for state in STATES if not shots[state]]
    if len(results) != len(missing):
        few = len(results) < len(missing)
        raise WrongUse(
            "A state to compare is missing." if few else "More than two states were given to compare.",
            "Give BEFORE and AFTER: each as a result, or by its photos with --before-left, --after-left and so on.",
        )
    _refuse_unused(missing, options)
    kept = {state: read_kept(path) for state, path in zip(missing, results, strict=True)}
    for state in STATES:
        if state not in kept:
            kept[state] = _judged(shots[state], options)
    return kept["before"], kept["after"]


def _refuse_unused(missing: list[str], options: dict[str, Any]) -> None:
    """Refuse to pass over in silence what is only of use with photos."""
    about_photos = {"film": "film", "marking": "marking", "compound": "compound", "sheet_path": "sheet"}
    given = [name for key, name in about_photos.items() if options[key] is not None]
    if given and len(missing) == len(STATES):
        raise WrongUse(
            f"--{given[0]} says how photos are to be read, but no photo was given.",
            "Leave it out: the results say themselves how they were made. To change that, judge the photos again.",
        )


def _shots(state: str, options: dict[str, Any]) -> list[Shot]:
    """The photos given for one state."""
    own = {name.removeprefix(f"{state}_"): value for name, value in options.items() if name.startswith(state)}
    own |= {"tip": options["tip"], "left_tip": (), "right_tip": ()}
    return [shot for flank in Flank for shot in shots_of(flank, own)]


def _judged(shots: list[Shot], options: dict[str, Any]) -> KeptResult:
    from patternscan.reporting.documents.kept_result import kept_inspection

    return kept_inspection(inspect_shots(shots, _setup(options)))


def _pictures(change: Change, before: KeptResult, after: KeptResult) -> tuple[dict[str, bytes], list[str]]:
    """The page and the picture of each flank by file name, and what the report says: which pictures, or why none."""
    from patternscan.reporting.pages.comparison_page import comparison_page
    from patternscan.reporting.pictures.change_picture import draw_changes, no_picture_lines
    from patternscan.reporting.pictures.encoding import png_bytes

    pictures = {f"{flank}_change.png": image for flank, image in draw_changes(change, before, after).items()}
    words = [f"{name}: before, after, and where contact was gained and lost." for name in pictures]
    files = {name: png_bytes(image) for name, image in pictures.items()}
    files["page.html"] = comparison_page(change, before, after).encode()
    return files, no_picture_lines(before, after) or words


def _originals(results: tuple[Path, ...], options: dict[str, Any]) -> tuple[Path, ...]:
    from patternscan.reporting.documents.kept_result import judgement_path

    shots = [shot for state in STATES for shot in _shots(state, options)]
    given = [path for shot in shots for path in (shot.photo, shot.outline) if path is not None]
    return (*(judgement_path(path) for path in results), *given)


def _setup(options: dict[str, Any]) -> Setup:
    about = (options["marking"], options["compound"], options["sheet_path"], options["max_megapixels"])
    setup = load_setup(*about, options["snap"])
    return replace(setup, sheet=replace(setup.sheet, film=options["film"] or setup.sheet.film))
