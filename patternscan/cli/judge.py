"""``patternscan judge``: both flanks, and which way to move the wheel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.batch import finish, opened, refuse_beside_folder, tell
from patternscan.cli.group import QUOTES, SAFETY_HELP
from patternscan.cli.marking import pages_of_lacking, pages_to_mark
from patternscan.cli.options.batch import BatchOptions
from patternscan.cli.options.job import due_now, effects_lines
from patternscan.cli.options.judging import FlankPhotos, KeepOptions, ReferenceOptions
from patternscan.cli.options.records import argument, takes
from patternscan.cli.options.shared import BY, FULL, OutputOptions, PhotoOptions
from patternscan.cli.show import hand_over, progress, say, write
from patternscan.errors import WrongUse
from patternscan.reporting.kept.judgement import JUDGEMENT_NAME
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.job.held import held_sentences
from patternscan.workflow import batch, disk
from patternscan.workflow.batch.request import holds_many
from patternscan.workflow.batch.untold import refuse_untold
from patternscan.workflow.inputs.machine_folder import MachineFolder, find_machine
from patternscan.workflow.inputs.settings import load_settings, with_film
from patternscan.workflow.job.pattern import FilesOf, PatternRequest, log_judgement
from patternscan.workflow.judge import JudgeRequest, JudgeResult, judge_photos
from patternscan.workflow.outputs.judgement import judgement_answer, judgement_files


@dataclass(frozen=True, slots=True)
class JudgeOptions:
    """What the command takes."""

    sources: Annotated[tuple[Path, ...], argument(nargs=-1, metavar="[FOLDER]")]
    flanks: FlankPhotos
    reading: PhotoOptions
    held_against: ReferenceOptions
    output: OutputOptions
    batch: BatchOptions
    keep: KeepOptions
    by: Annotated[str | None, BY]
    full: Annotated[bool, FULL]

    @property
    def source(self) -> Path | None:
        """The folder or list, if one is given. Raises WrongUse for photos whose flank is not said, and for several."""
        if not self.sources:
            return None
        refuse_sheet(self.sources)
        if len(self.sources) > 1:
            refuse_several(self.sources)
        if len(self.sources) > 1 or (self.sources[0].is_file() and not holds_many(self.sources[0])):
            raise WrongUse(
                "It is not said which flank each photo shows.",
                "Give each with its flank: patternscan judge --left LEFT.jpg --right RIGHT.jpg.",
            )
        return self.sources[0]


def refuse_sheet(sources: Sequence[Path]) -> None:
    """Raise WrongUse for a machine sheet among the folders and photos."""
    sheet = next((one for one in sources if one.suffix.casefold() == ".toml"), None)
    if sheet is not None:
        raise WrongUse(f"{sheet} is a machine sheet, not a photo or folder.", f"Name it as the sheet: --sheet {sheet}.")


def refuse_several(sources: Sequence[Path]) -> None:
    """Raise WrongUse for several folders or lists, and for a name that was typed in pieces."""
    for one in sources:
        if not (one.exists() or one.suffix):
            raise WrongUse(f"There is no folder or file {one}.", f"Check its name and folder. {QUOTES}")
        if holds_many(one):
            raise WrongUse(
                f"{sources[0]} and {sources[1]} cannot be judged together.",
                "Give one folder or list at a time; the folders in a folder are looked through too.",
            )


@click.command(epilog=SAFETY_HELP)
@takes(JudgeOptions)
def judge(given: JudgeOptions) -> None:
    """Judge both flanks and advise which way to move the wheel.

    Example: patternscan judge --left left.jpg --left-outline left.outline.json --right right.jpg
    --right-outline right.outline.json --marking transfer --out report

    FOLDER may hold the photos of one machine, named such as lift_left.jpg and lift_right2.jpg, their outline files and
    the machine sheet: they are judged as if they were given by options.

    Example: patternscan judge lift --marking transfer --out report

    Many machines: give a folder of folders, or a list of photos (a CSV file with the columns photo, flank, outline,
    tip, machine, sheet, marking). Every machine is judged, and a table tells what came of each.

    Example: patternscan judge site_photos --marking transfer --out site
    """
    given.keep.refuse_without_job()
    source = given.source
    if source is not None:
        refuse_beside_folder(given.flanks.by_option)
    machine = None if source is None else find_machine(source, given.output.folder)
    if source is not None and machine is None:
        _judge_many(given, source)
        return
    if given.output.folder is not None:
        disk.delivery.refuse_used(given.output.folder, JUDGEMENT_NAME, given.output.overwrite)
    request = _request(given, machine)
    marking = pages_to_mark(request.photos, request.settings, given.output.folder, by_folder=request.by_folder)
    with marking, progress("Computing how far the wheel is off") as done:
        result = judge_photos(request, done)
    answer = judgement_answer(result)
    files = partial(judgement_files, result=result, answer=answer)
    if given.output.folder is not None:
        write(files(given.output.folder, {}), given.output.overwrite, (*request.files, *given.reading.files))
    told = [] if given.keep.job is None else _log(given.keep, given.keep.job, request, result, files)
    if given.output.folder is not None or not given.output.as_json:
        told += pages_of_lacking(result.judgement, request, given.output.folder)
    hand_over(answer, given.output.as_json, full=given.full)
    for line in told:
        click.echo(line, err=True)


def _judge_many(given: JudgeOptions, source: Path) -> None:
    if given.keep.job is not None:
        raise WrongUse("A job takes one pattern at a time, not a folder.", "Give the photos with --left and --right.")
    given.held_against.refuse_for_many()
    if given.output.folder is None:
        refuse_untold(source)
    refuse_beside_folder({"--by": given.by})
    request = given.batch.request(source, given.reading.request, given.output, None, given.flanks.tip)
    finish(batch.machines.judge_batch(opened(request), tell), given.output)


def _request(given: JudgeOptions, machine: MachineFolder | None) -> JudgeRequest:
    """What is to be judged: the photos by their options, or those of the one machine in a folder."""
    photos = given.flanks.inputs if machine is None else machine.inputs(given.flanks.tip)
    sheet = given.keep.sheet_beside(given.reading.sheet)
    if machine is not None:
        sheet = sheet or machine.sheet
    settings = with_film(load_settings(replace(given.reading.request, sheet=sheet)), given.held_against.film)
    return JudgeRequest(
        photos,
        settings,
        given.held_against.reference,
        given.held_against.table,
        title=None if machine is None else machine.title,
        by_folder=machine is not None,
        amount=not given.keep.job_tells_amount,
        by=given.by,
    )


def _log(keep: KeepOptions, job: Path, request: JudgeRequest, result: JudgeResult, files: FilesOf) -> list[str]:
    """Keep the judgement in the log of its job, say so on standard error; gives what is to be said after the answer."""
    pattern = PatternRequest(job, keep.occasion, keep.copies, request.by)
    kept = log_judgement(pattern, result.judgement, files, [photo.photo for photo in request.photos])
    words = event_sentence(kept.entry.event)
    for line in held_sentences(kept.bare_copies, kept.whole_copies):
        say(f"Copied: {line}")
    say(f"Entry {kept.entry.number}: {words} Pictures: {kept.folder}")
    return [*effects_lines(kept.effects), due_now(job)]
