"""``patternscan read`` and ``judge`` over many photos: a folder, or a list of photos."""

from __future__ import annotations

import json
import os
import re
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from patternscan.cli.load import Setup, load_setup
from patternscan.cli.options import chosen_flank, several
from patternscan.errors import CannotWrite, PatternscanError, WrongUse

if TYPE_CHECKING:
    from patternscan.cli.errands import Errand, Outcome
    from patternscan.survey.photo_list import Entry
    from patternscan.survey.summary import Row

LIST, SUMMARY, MACHINES = "photos.csv", "summary.csv", "machines.csv"
MOST_NAMED = 10
"""Stops that are told again at the end; the table has them all."""
SERVES_MANY = {
    *("photos", "photo", "flank_name", "end_a", "tip", "marking", "compound", "sheet_path", "max_megapixels"),
    *("as_json", "folder", "overwrite", "csv_style", "workers", "scheduler"),
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
    from patternscan.survey.photo_list import with_flanks

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
    from patternscan.survey.photo_list import by_machine

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
    from patternscan.reporting.delivery import deliver
    from patternscan.survey.photo_list import find_photos, list_bytes, read_list, starting_list
    from patternscan.survey.spreadsheet import CsvStyle

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
    if not os.path.lexists(table) or overwrite:
        return
    try:
        ours = table.read_text(encoding="utf-8-sig").startswith(
            ("photo,machine", "photo;machine", "machine,code", "machine;code")
        )
    except (OSError, UnicodeDecodeError):
        ours = False
    if not ours:
        raise CannotWrite(f"{table} is already there and no table of this tool.", "Give another folder with --out.")


def _shots_and_strays(entries: Iterable[Entry]) -> tuple[list[Entry], list[tuple[Entry, PatternscanError]]]:
    """The photos whose flank is said, and those where it is not, each with the reason."""
    from patternscan.survey.photo_list import with_flanks

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
    from patternscan.cli.errands import work_off
    from patternscan.survey.crew import cluster_crew, own_crew

    begun, chosen = time.perf_counter(), options["workers"]
    with own_crew(chosen) if options["scheduler"] is None else cluster_crew(options["scheduler"], chosen) as crew:
        outcomes = work_off(plans, work, crew, _tell)
        workers = crew.workers
    click.echo(f"Took {time.perf_counter() - begun:.1f} s, {workers} at the same time.", err=True)
    tables = _tables(outcomes, work.__name__ == "judge_machine")
    _write_tables(tables, out, options)
    click.echo(_as_json(tables) if options["as_json"] else _in_words(outcomes, tables, options["folder"]))
    stops = [outcome.stop for outcome in outcomes]
    if all(stops) and stops[0] is not None:
        click.get_current_context().exit(int(stops[0]["code"] or 1))


def _tables(outcomes: Iterable[Outcome], machines: bool) -> dict[str, list[Row]]:
    """The lines of each table by its name."""
    from patternscan.survey.summary import FLANK_COLUMNS, MACHINE_COLUMNS, whole_row

    tables = {SUMMARY: [whole_row(row, FLANK_COLUMNS) for outcome in outcomes for row in outcome.flanks]}
    if machines:
        judged = [outcome.machine for outcome in outcomes if outcome.machine is not None]
        tables[MACHINES] = [whole_row(row, MACHINE_COLUMNS) for row in judged]
    return tables


def _write_tables(tables: dict[str, list[Row]], out: Path, options: dict[str, Any]) -> None:
    from patternscan.reporting.delivery import deliver
    from patternscan.survey.spreadsheet import CsvStyle
    from patternscan.survey.summary import table_bytes

    style = CsvStyle(options["csv_style"])
    deliver({out / name: table_bytes(rows, style) for name, rows in tables.items()}, True)


def _as_json(tables: dict[str, list[Row]]) -> str:
    named = {"flanks": tables[SUMMARY]} | ({"machines": tables[MACHINES]} if MACHINES in tables else {})
    return json.dumps({"format": "patternscan-summary", "version": 1, **named}, indent=1, allow_nan=False)


def _in_words(outcomes: Sequence[Outcome], tables: dict[str, list[Row]], out: Path) -> str:
    """How many, what each machine needs, and what was in the way."""
    read = sum(row["code"] == 0 for row in tables[SUMMARY])
    lines = [f"Flanks read: {read}. Not read: {len(tables[SUMMARY]) - read}."]
    if MACHINES in tables:
        from patternscan.judging.advice import Move
        from patternscan.reporting.wording import MOVE_WORDS

        judged = [row for row in tables[MACHINES] if row["code"] == 0]
        lines.append(f"Machines judged: {len(judged)}. Not judged: {len(tables[MACHINES]) - len(judged)}.")
        lines += [f"- {row['machine'] or 'The machine'}: {MOVE_WORDS[Move(str(row['move']))]}." for row in judged]
    stops = [outcome.stop for outcome in outcomes if outcome.stop is not None]
    if stops:
        lines += ["", "What was in the way:"]
        lines += [
            f"- {row.get('photo') or row.get('machine')}: {row['reason']} {row['remedy']}" for row in stops[:MOST_NAMED]
        ]
        lines += [f"- and {len(stops) - MOST_NAMED} more, in the table."] if len(stops) > MOST_NAMED else []
    lines += ["", *(f"Table: {out / name}" for name in tables)]
    return "\n".join(lines)


def _tell(done: int, number: int, title: str, outcome: Outcome) -> None:
    """One line about what is finished, on standard error."""
    stop = outcome.stop
    if stop is not None:
        fate = f"{stop['reason']} {stop['remedy']}"
    else:
        fate = "read" if outcome.machine is None else f"judged, {outcome.machine['move']}"
        fate += ", already in an earlier run" if outcome.reused else ""
    click.echo(f"[{done}/{number}] {title or 'The machine'}: {fate}", err=True)
