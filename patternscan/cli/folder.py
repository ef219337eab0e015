"""``patternscan read`` and ``judge`` over many photos: a folder, or a list of photos."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from patternscan.cli.folder_tables import MACHINES, SUMMARY, as_json, in_words, is_table, tables_of, tell, write_tables
from patternscan.cli.load import Setup, load_setup
from patternscan.cli.options import chosen_flank, several
from patternscan.errors import CannotWrite, PatternscanError, WrongUse

if TYPE_CHECKING:
    from patternscan.cli.errands import Errand, Outcome
    from patternscan.workflow.batch.photo_list import Entry

LIST = "photos.csv"
SERVES_MANY = {
    *("photos", "photo", "flank_name", "end_a", "tip", "marking", "compound", "sheet_path", "max_megapixels"),
    *("as_json", "folder", "overwrite", "csv_style", "workers", "scheduler", "snap"),
}
"""Arguments and options that have a meaning for many photos."""

folder_options: Callable[[Any], Any] = several(
    click.option("--csv-style", type=click.Choice(["point", "comma"]), default="point", show_default=True,
                 help="With many photos: how the tables are written. 'comma' = decimal commas and semicolons."),
    click.option("--workers", type=click.IntRange(min=1), metavar="NUMBER",
                 help="With many photos: how many are read at the same time.  [default: one for each core, up to 4]"),
    click.option("--scheduler", metavar="ADDRESS",
                 help="With many photos: let the Dask cluster with this scheduler do the work. Its workers must see "
                      "the same folders."),
)  # fmt: skip


def holds_many(path: Path) -> bool:
    """Whether a path stands for many photos: a folder, or a list of photos as a CSV file."""
    return path.suffix.casefold() == ".csv" or path.is_dir()


def read_many(source: Path, options: dict[str, Any]) -> None:
    """Read all photos of a folder or list, each into a folder of its own, and write one table."""
    from patternscan.cli.errands import Errand, read_photo, stopped
    from patternscan.workflow.batch.photo_list import with_flanks

    entries, out = _opened(source, options)
    asked = options["flank_name"] or options["end_a"]
    flank = chosen_flank(options["flank_name"], options["end_a"], options["tip"]) if asked else None
    setups, names = Setups(options), FolderNames()
    plans: list[Errand | Outcome] = []
    for entry in entries:
        try:
            for one in with_flanks(entry, flank):
                folder = out / "photos" / names.fresh(f"{one.photo.name}.{one.flank}")
                title = f"{one.name} ({one.flank} flank)"
                plans.append(Errand(title, (one,), setups.of([one]), folder, options["overwrite"]))
        except PatternscanError as stop:
            plans.append(stopped(entry.name, [entry], stop))
    _carry_out(plans, read_photo, out, options)


def judge_many(source: Path, options: dict[str, Any]) -> None:
    """Judge every machine of a folder or list, each into a folder of its own, and write one table more."""
    from patternscan.cli.errands import Errand, judge_machine, stopped
    from patternscan.workflow.batch.photo_list import by_machine

    entries, out = _opened(source, options)
    setups, names = Setups(options), FolderNames()
    plans: list[Errand | Outcome] = []
    for machine, own in by_machine(entries).items():
        shots, strays = _shots_and_strays(own)
        plans.extend(stopped(entry.name, [entry], stop) for entry, stop in strays)
        try:
            if not shots:
                raise strays[0][1]
            folder = out / "machines" / names.fresh(machine)
            plans.append(Errand(machine, tuple(shots), setups.of(own), folder, options["overwrite"]))
        except PatternscanError as stop:
            plans.append(stopped(machine, shots, stop, machine=True))
    _carry_out(plans, judge_machine, out, options)


class Setups:
    """What holds for the photos of one sheet and marking, loaded once for each."""

    def __init__(self, options: dict[str, Any]) -> None:
        self._options = options
        self._loaded: dict[tuple[str | None, Path | None], Setup] = {}

    def of(self, entries: Sequence[Entry]) -> Setup:
        """The setup of entries that go together; the list goes before the options. Raises WrongUse, among others."""
        wanted = {
            (one.marking or self._options["marking"], one.sheet or self._options["sheet_path"]) for one in entries
        }
        if len(wanted) > 1:
            raise WrongUse(
                "The list names different sheets or markings for photos of one machine.",
                "Give each line of a machine the same sheet and marking.",
            )
        ((marking, sheet),) = wanted
        if (marking, sheet) not in self._loaded:
            about = (marking, self._options["compound"], sheet, self._options["max_megapixels"])
            setup = load_setup(*about, self._options["snap"])
            self._loaded[marking, sheet] = setup
        return self._loaded[marking, sheet]


class FolderNames:
    """Names for folders, no two alike on any disk: further ones of the same name get a number."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def fresh(self, words: str) -> str:
        """A name that is not taken yet, with an underscore for what a file system may not like."""
        plain = re.sub(r"[^\w.-]+", "_", words).strip("._") or "unnamed"
        names = (plain, *(f"{plain}.{number}" for number in range(2, len(self._taken) + 3)))
        name = next(name for name in names if name.casefold() not in self._taken)
        self._taken.add(name.casefold())
        return name


def _opened(source: Path, options: dict[str, Any]) -> tuple[list[Entry], Path]:
    """The photos and the folder for results. From a folder of photos a starting list is written where there is none."""
    from patternscan.reporting.documents.delivery import deliver
    from patternscan.workflow.batch.photo_list import find_photos, list_bytes, read_list, starting_list
    from patternscan.workflow.batch.spreadsheet import CsvStyle

    _refuse_single_options()
    out: Path | None = options["folder"]
    if not holds_many(source):
        raise WrongUse(
            f"{source} is neither a folder of photos nor a list of photos, which is a CSV file.",
            "Name single photos with options.",
        )
    entries = find_photos(source, out) if source.is_dir() else read_list(source)
    if out is None:
        raise WrongUse("For many photos a folder for the results is needed.", "Give one with --out.")
    for table in (out / SUMMARY, out / MACHINES):
        _refuse_foreign(table, options["overwrite"])
    if source.is_dir() and not os.path.lexists(out / LIST):
        style = CsvStyle(options["csv_style"])
        deliver({out / LIST: list_bytes(starting_list(entries), out, style)}, False)
        click.echo(
            f"Written: {out / LIST}, a list of the photos that you may fill in and give instead of the folder", err=True
        )
    out = out.resolve()
    return [
        replace(
            entry,
            photo=entry.photo.absolute(),
            outline=entry.outline and entry.outline.absolute(),
            tip=entry.tip or options["tip"],
        )
        for entry in entries
    ], out


def _refuse_single_options() -> None:
    """Raise WrongUse for an option that says something of one photo or one machine."""
    context = click.get_current_context()
    for parameter in context.command.params:
        name = str(parameter.name)
        if name not in SERVES_MANY and context.get_parameter_source(name) is ParameterSource.COMMANDLINE:
            raise WrongUse(
                f"{parameter.opts[0]} does not go together with a folder or list of photos.",
                "Leave it out, or name the photos one by one.",
            )


def _refuse_foreign(table: Path, overwrite: bool) -> None:
    """Raise CannotWrite where something else has the name of a table; tables are renewed by every run."""
    if os.path.lexists(table) and not overwrite and not is_table(table):
        raise CannotWrite(f"{table} is already there and no table of this tool.", "Give another folder with --out.")


def _shots_and_strays(entries: Iterable[Entry]) -> tuple[list[Entry], list[tuple[Entry, PatternscanError]]]:
    """The photos whose flank is said, and those where it is not, each with the reason."""
    from patternscan.workflow.batch.photo_list import with_flanks

    shots: list[Entry] = []
    strays: list[tuple[Entry, PatternscanError]] = []
    for entry in entries:
        try:
            shots.extend(with_flanks(entry))
        except PatternscanError as stop:
            strays.append((entry, stop))
    return shots, strays


def _carry_out(
    plans: Sequence[Errand | Outcome], work: Callable[[Errand], Outcome], out: Path, options: dict[str, Any]
) -> None:
    """Do the work, tell how it goes, write the tables. Ends with the first stop's code when nothing could be done."""
    from patternscan.cli.errands import judge_machine, work_off
    from patternscan.workflow.batch.crew import cluster_crew, own_crew

    begun, chosen = time.perf_counter(), options["workers"]
    with own_crew(chosen) if options["scheduler"] is None else cluster_crew(options["scheduler"], chosen) as crew:
        outcomes = work_off(plans, work, crew, tell)
        workers = crew.workers
    click.echo(f"Took {time.perf_counter() - begun:.1f} s, {workers} at the same time.", err=True)
    tables = tables_of(outcomes, work is judge_machine)
    write_tables(tables, out, options["csv_style"])
    click.echo(as_json(tables) if options["as_json"] else in_words(tables, options["folder"]))
    stops = [outcome.stop for outcome in outcomes]
    if all(stops) and stops[0] is not None:
        click.get_current_context().exit(int(stops[0]["code"] or 1))
