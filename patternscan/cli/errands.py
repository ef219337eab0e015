"""One piece of work of a survey, done where its worker runs: a photo to read, or a machine to judge."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from patternscan.cli.load import Setup, Shot, read_shot
from patternscan.cli.show import judgement_files, reading_files
from patternscan.errors import InconsistentInputs, PatternscanError
from patternscan.frame import Flank
from patternscan.workflow.batch.cache import fingerprint, keep, recall
from patternscan.workflow.batch.photo_list import Entry
from patternscan.workflow.batch.summary import Row, flank_row, machine_row, stop_row

if TYPE_CHECKING:
    from concurrent.futures import Future

    from patternscan.judging.judgement import Judgement
    from patternscan.measuring.reading import Reading
    from patternscan.workflow.batch.crew import Crew


@dataclass(frozen=True, slots=True)
class Errand:
    """What is to be done: photos by their paths, each with its flank, and the folder for the result. It can be sent."""

    title: str
    entries: tuple[Entry, ...]
    setup: Setup
    folder: Path
    overwrite: bool = False

    @property
    def shots(self) -> list[Shot]:
        """The photos as they are read; a flank that is not said is a fault of the caller."""
        return [Shot(entry.photo, Flank(str(entry.flank)), entry.outline, entry.tip or "up") for entry in self.entries]

    @property
    def by_folder(self) -> bool:
        """Whether the machine goes by no more than the name of its folder."""
        return all(entry.by_folder for entry in self.entries)

    def fingerprint(self, whole_sheet: bool) -> str:
        """Known again by what is in the files, the names of the photos and the settings that count, wherever they lie.

        A photo is read without regard to most of the sheet, so that shims and targets may be entered later.
        """
        setup = replace(self.setup, max_megapixels=0.0)
        shots = [(shot.photo.name, shot.flank, shot.tip) for shot in self.shots]
        settings = (
            shots,
            (setup, self.title, self.by_folder)
            if whole_sheet
            else (setup.pair, setup.marking, setup.compound, setup.cautions, setup.snap),
        )
        return fingerprint((path for shot in self.shots for path in (shot.photo, shot.outline)), settings)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What comes back, small enough to be sent: lines of the tables, and whether an earlier run had done it all."""

    flanks: tuple[Row, ...]
    machine: Row | None = None
    reused: bool = False

    @property
    def title(self) -> str:
        """The machine, or else the photo."""
        line = self.machine or self.flanks[0]
        return str(line.get("photo") or line["machine"])

    @property
    def stop(self) -> Row | None:
        """The line that tells why the machine could not be judged, or else the photo not read; None when it could."""
        line = self.machine or self.flanks[0]
        return line if line["code"] else None


Files = Mapping[Path, bytes]
Made = tuple[list[list[Row]], Row | None, Files]
"""Lines for each photo, the line of the machine, and the files by their names."""


def read_photo(errand: Errand) -> Outcome:
    """Read the one photo of an errand and lay its report and pictures down; what an earlier run kept is reused."""
    return _done_once(errand, _read)


def judge_machine(errand: Errand) -> Outcome:
    """Judge the photos of one machine and lay report and pictures down; what an earlier run kept is reused.

    A photo that cannot be read is left out, and the judgement carries a caution. Inputs that contradict each other
    stop the machine.
    """
    return _done_once(errand, _judge)


def work_off(
    plans: Sequence[Errand | Outcome],
    work: Callable[[Errand], Outcome],
    crew: Crew,
    tell: Callable[[int, int, str, Outcome], None],
) -> list[Outcome]:
    """Let a crew do all errands; gives the outcomes in the order of the plans.

    ``tell`` hears of each that is finished: how many are, of how many, which one, and what came of it. An errand on
    which the work itself fails, or whose worker dies, has an outcome that says so.
    """
    done = {number: plan for number, plan in enumerate(plans) if isinstance(plan, Outcome)}
    for count, outcome in enumerate(done.values(), 1):
        tell(count, len(plans), outcome.title, outcome)
    numbers = {id(plan): number for number, plan in enumerate(plans)}
    with closing(crew.each(work, (plan for plan in plans if isinstance(plan, Errand)))) as finished:
        for errand, future in finished:
            outcome = _fetched(errand, future, work is judge_machine)
            done[numbers[id(errand)]] = outcome
            tell(len(done), len(plans), errand.title, outcome)
    return [done[number] for number in range(len(plans))]


def stopped(title: str, entries: Sequence[Entry], stop: PatternscanError, machine: bool = False) -> Outcome:
    """The outcome of what could not be done at all: a photo, or a machine and its photos."""
    line = stop_row(stop)
    lines = tuple(_named(line, entry, "") for entry in entries)
    return Outcome(lines, {**line, "machine": title} if machine else None)


def _fetched(errand: Errand, future: Future[Outcome], machine: bool) -> Outcome:
    """What a worker brought, or a stop when it failed where no stop was foreseen."""
    try:
        return future.result()
    except Exception as error:
        stop = PatternscanError(
            f"patternscan itself failed: {type(error).__name__}: {error}.", "Please report this with the photo."
        )
        return stopped(errand.title, errand.entries, stop, machine)


def _done_once(errand: Errand, make: Callable[[Errand], Made]) -> Outcome:
    from patternscan.seeing.image.threads import use_one_thread

    use_one_thread()
    try:
        mark = errand.fingerprint(whole_sheet=make is _judge)
        kept = recall(errand.folder, mark, errand.overwrite)
        if kept is not None:
            return _outcome(errand, kept["flanks"], kept["machine"], True)
        flanks, machine, files = make(errand)
        if files:
            keep(errand.folder, files, mark, {"flanks": flanks, "machine": machine})
        return _outcome(errand, flanks, machine, False)
    except PatternscanError as stop:
        return stopped(errand.title, errand.entries, stop, make is _judge)


def _outcome(errand: Errand, flanks: list[list[Row]], machine: Row | None, reused: bool) -> Outcome:
    """The lines with their names, which are the list's and no part of what is kept."""
    failed = machine is not None and machine["code"]
    place = "" if failed else f"{errand.folder.parent.name}/{errand.folder.name}"
    lines = [
        _named(line, entry, "" if line["code"] else place)
        for entry, own in zip(errand.entries, flanks, strict=True)
        for line in own
    ]
    if machine is not None:
        machine = {**machine, "machine": errand.title, "folder": place}
    return Outcome(tuple(lines), machine, reused)


def _named(line: Row, entry: Entry, place: str) -> Row:
    flank = {"flank": str(entry.flank)} if entry.flank else {}
    return {**flank, **line, "photo": entry.name, "machine": entry.machine, "folder": place}


def _read(errand: Errand) -> Made:
    from patternscan.reporting.documents.result import reading_document
    from patternscan.reporting.text.report import reading_report

    readings = read_shot(errand.shots[0], errand.setup)
    document = reading_document(readings[0].photo, readings)
    files = reading_files(Path(), readings, document, reading_report(readings))
    return [[flank_row(flank) for flank in document["flanks"]]], None, files


def _judge(errand: Errand) -> Made:
    from patternscan.reporting.documents.result import judgement_document, reading_document
    from patternscan.reporting.text.report import judgement_report

    results = [_readings_or_stop(shot, errand.setup) for shot in errand.shots]
    flanks = [
        [stop_row(one)]
        if isinstance(one, PatternscanError)
        else [flank_row(reading_document(reading.photo, [reading])["flanks"][0]) for reading in one]
        for one in results
    ]
    try:
        judgement = inspect_machine(errand, results)
    except PatternscanError as stop:
        return flanks, stop_row(stop), {}
    document = judgement_document(judgement)
    return flanks, machine_row(document), judgement_files(Path(), judgement, document, judgement_report(judgement))


def inspect_machine(errand: Errand, results: Sequence[list[Reading] | PatternscanError]) -> Judgement:
    """Both flanks of one machine from what became of its photos. Raises the first stop that must stop it."""
    from patternscan.judging.judgement import Declined
    from patternscan.workflow.judge import estimate_wheel, judge_pair

    stops = [
        (entry, one) for entry, one in zip(errand.entries, results, strict=True) if isinstance(one, PatternscanError)
    ]
    for entry, stop in stops:
        if isinstance(stop, InconsistentInputs) or len(stops) == len(results):
            named = entry.photo.name in stop.found
            raise type(stop)(stop.found if named else f"{entry.photo.name}: {stop.found}", stop.remedy)
    readings = [reading for one in results if not isinstance(one, PatternscanError) for reading in one]
    left, right = ([one for one in readings if one.outline.flank is flank] for flank in Flank)
    declined = [Declined(entry.photo.name, Flank(str(entry.flank)), stop) for entry, stop in stops]
    sheet = errand.setup.sheet
    judgement = judge_pair(left, right, sheet, declined)
    if sheet.machine is None and errand.title:
        identity = replace(judgement.identity, machine=None if errand.by_folder else errand.title)
        judgement = replace(judgement, machine=errand.title, identity=identity, machine_by_folder=errand.by_folder)
    if errand.setup.pair is None or judgement.comparison.shared is None:
        return judgement
    return estimate_wheel(judgement, errand.setup.pair, sheet.gear.hob_oversize is not None, _in_silence)


def _in_silence(_: float) -> None:
    """Progress that nobody looks at."""


def _readings_or_stop(shot: Shot, setup: Setup) -> list[Reading] | PatternscanError:
    try:
        return read_shot(shot, setup)
    except PatternscanError as stop:
        return stop
