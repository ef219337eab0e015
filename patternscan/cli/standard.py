"""What a judgement is held against beside the machine sheet: a reference print, a published table, the film noted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from patternscan.cli.load import Setup
from patternscan.cli.options import PATH, several
from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.judging.acceptance import TABLES

if TYPE_CHECKING:
    from patternscan.judging.comparison import Target
    from patternscan.judging.judged_state import JudgedState
    from patternscan.judging.judgement import Judgement

film_option: Callable[[Any], Any] = click.option(
    "--film", metavar="WORDS",
    help="How the film of compound was: how thick, how laid on. Kept with the result; how much was touched is compared "
         "only between equal films.",
)  # fmt: skip

standard_options: Callable[[Any], Any] = several(
    click.option("--reference", type=PATH, metavar="RESULT",
                 help="Judge against this pattern instead of the middle: a judgement of the maker's or as-found print "
                      "(its file, or its folder)."),
    film_option,
    click.option("--table", type=click.Choice(list(TABLES)),
                 help="Also give the class of contact by this published table. Needs the film. The maker's limits "
                      "outrank it."),
)  # fmt: skip


def held_against(setup: Setup, options: dict[str, Any]) -> Setup:
    """The setup with the film and the target that the options name; the film named here outranks the sheet's.

    Raises WrongUse for a table without a film, and for a reference beside a target on the sheet.
    """
    sheet = setup.sheet if options["film"] is None else replace(setup.sheet, film=options["film"].strip() or None)
    if options["table"] is not None and sheet.film is None and sheet.film_um is None:
        raise WrongUse(
            f"The table {options['table']} says nothing as long as the film of compound is not known.",
            "Note with --film how it was laid on, for example --film 'thin, brushed out'.",
        )
    if options["reference"] is not None:
        sheet = replace(sheet, target=_target(options["reference"], setup))
    return replace(setup, sheet=sheet)


def with_standard(judgement: Judgement, options: dict[str, Any]) -> Judgement:
    """The judgement with the class of the chosen table. Raises InconsistentInputs for another wheel's reference."""
    from patternscan.judging.acceptance import find_classes

    if options["reference"] is not None:
        _refuse_foreign_reference(_read_reference(options["reference"]), judgement)
    if options["table"] is None or judgement.film is None:
        return judgement
    return replace(judgement, acceptance=find_classes(judgement.comparison, options["table"], judgement.film))


def refuse_for_many(options: dict[str, Any]) -> None:
    """Refuse what belongs to one judgement when a folder or list of photos is given."""
    given = [name for name in ("reference", "film", "table") if options[name] is not None]
    if given:
        raise WrongUse(
            f"--{given[0]} belongs to one machine and cannot be given for many photos at once.",
            "Judge that machine by itself, or note the film on its machine sheet.",
        )


def _read_reference(path: Path) -> JudgedState:
    from patternscan.reporting.documents.kept_result import read_judgement

    return read_judgement(path)


def _target(path: Path, setup: Setup) -> Target:
    """Where the pattern of the reference lies, with its doubt."""
    from patternscan.judging.comparison import Target

    if setup.sheet.target != Target():
        raise WrongUse(
            "Both a reference and the [target] of the machine sheet say where the pattern should lie.",
            "Leave out --reference, or take [target] out of the sheet.",
        )
    state = _read_reference(path)
    if state.left is None or state.right is None or state.grave_cautions:
        why = "does not show both flanks" if not state.grave_cautions else "rests on a photo that is too poor"
        raise InconsistentInputs(f"The reference {path.name} {why}.", "Give a judgement of both flanks, well seen.")
    left, right = state.left.along, state.right.along
    return Target(left.value, right.value, _doubt(left), _doubt(right), _name(path))


def _doubt(along: Any) -> float:
    """The longer side of an interval."""
    return float(max(along.value - along.low, along.high - along.value))


def _name(path: Path) -> str:
    """The reference as a report names it, with the folder that tells judgements of the same file name apart."""
    folder = path.resolve().parent.name
    return f"{folder}/{path.name}" if path.name == "judgement.json" and folder else path.resolve().name


def _refuse_foreign_reference(reference: JudgedState, judgement: Judgement) -> None:
    from patternscan.judging.identity import refuse_strangers

    refuse_strangers(reference.identity, judgement.identity)
    if reference.identity.photos & judgement.identity.photos:
        raise InconsistentInputs(
            "A photo to be judged is also one of the reference's own.",
            "Either the reference is the judgement of this very print, or an old photo was given: check both.",
        )
