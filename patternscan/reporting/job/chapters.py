"""What a job's record says, chapter by chapter, the same on the page and on paper."""

from __future__ import annotations

import platform
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from PIL import Image

from patternscan.calibration import SAME_PACK_MM
from patternscan.frame import Flank, percent
from patternscan.measuring.interval import Interval
from patternscan.reporting.documents.provenance import versions_line
from patternscan.reporting.job.charts import Chart, limit_chart, shift_charts
from patternscan.reporting.job.record import DEEDS, FlankShown, JobRecord, PatternShown, PhotoPlace, TrialShown
from patternscan.reporting.job.tables import (
    limits_table,
    log_table,
    machine_table,
    photos_table,
    signature_table,
    states_table,
)
from patternscan.reporting.pictures.kept_flank import draw_kept_flank
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.job_actions import action_reason, action_sentence
from patternscan.reporting.text.job_events import event_sentence
from patternscan.reporting.text.number_tables import NO_READING, NUMBER_NAMES
from patternscan.reporting.text.report import LIMIT, SAFETY, caution_lines
from patternscan.reporting.text.table import Table
from patternscan.reporting.text.wording import MOVE_WORDS, as_markdown, shift_with_range, with_range
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import FlankPrint, Note, Pattern
from patternscan.setting.rules.action import Priority
from patternscan.setting.state.checks import Check
from patternscan.units import fine_length_words, length_words


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A flank laid flat, with its caption and in words what it shows."""

    flank: Flank
    image: Image.Image
    caption: str
    words: str


@dataclass(frozen=True, slots=True, eq=False)
class Chapter:
    """A heading with pictures, charts, tables and lines in the reports' Markdown; any of them may be missing."""

    title: str
    lines: Sequence[str] = ()
    tables: Sequence[Table] = ()
    plates: Sequence[Plate] = ()
    charts: Sequence[Chart] = ()
    small: bool = False

    @property
    def empty(self) -> bool:
        """Whether there is nothing under the heading."""
        return not (self.lines or self.tables or self.plates or self.charts)


@dataclass(frozen=True, slots=True)
class Opening:
    """What stands on top of the record: the job in one sentence, and why or what is open."""

    answer: str
    why: str


def opening(record: JobRecord) -> Opening:
    """Whether the job is finished, and what comes next if not."""
    signed = record.state.signed_off
    due = as_markdown(action_sentence(record.open_actions[0])) if record.open_actions else "It is not signed off."
    if signed is None:
        return Opening("Not finished: record of a setting job so far", f"**Next:** {due}")
    words = f"{as_markdown(event_sentence(signed.event).removesuffix('.'))} on {signed.at:%Y-%m-%d}."
    if record.finished:
        return Opening("Record of a finished setting job", words)
    return Opening("Signed off with open points: record of a setting job", f"{words} {due}")


def chapters(record: JobRecord) -> list[Chapter]:
    """All chapters in their order, those with nothing to say left out."""
    found = chain(
        [_open(record), _cautions(record), _states(record)],
        [Chapter("The machine", tables=[machine_table(record.sheet)])],
        [Chapter("Before the first trial", list(map(_told, record.prepared)))],
        (_trial(trial) for trial in record.trials),
        [_shifts(record), _limits(record), _photos(record), _log(record), _sources(record)],
        [Chapter("Safety", SAFETY), Chapter("Signatures", [LIMIT], [signature_table(record)])],
    )
    return [chapter for chapter in found if not chapter.empty]


def _open(record: JobRecord) -> Chapter:
    if record.finished:
        return Chapter("What is still open", ["Nothing: every reading counts, and the job is signed off."])
    return Chapter(
        "What is still open",
        [f"{as_markdown(action_sentence(s))} {as_markdown(action_reason(s))}" for s in record.open_actions],
    )


def _cautions(record: JobRecord) -> Chapter:
    lines = caution_lines(record.log.damage)
    said = [action for action in record.actions if action.priority in (Priority.WARNING, Priority.NO_LIMIT)]
    lines += [as_markdown(action_sentence(action)) for action in said if action not in record.open_actions]
    lines += _old_doubts("As found", record.as_found)
    lines += _old_doubts("The maker's pattern", record.maker)
    lines += [
        f"Trial {trial.number}: {as_markdown(one)}" for trial in record.trials for one in trial.shown.pattern.grave
    ]
    lines += [
        f"{as_markdown(photo.link.name)} (entry {shown.entry.number}) is {photo.place}: its SHA-256 is another one."
        for shown in record.patterns
        for photo in shown.photos
        if photo.place is PhotoPlace.CHANGED
    ]
    return Chapter("Cautions", list(dict.fromkeys(lines)))


def _old_doubts(name: str, shown: PatternShown | None) -> list[str]:
    """Every doubt of a pattern that has no chapter of its own."""
    return [] if shown is None else [f"{name}: {as_markdown(one)}" for one in (*shown.pattern.grave, *shown.doubts)]


def _states(record: JobRecord) -> Chapter:
    shown = [("As found", record.as_found), ("The maker's pattern", record.maker)]
    if record.trials:
        void = "" if record.state.counts(Check.PATTERN) else ", counts no more"
        shown.append((f"{record.left_name} ({record.trials[-1].name.lower()}{void})", record.trials[-1].shown))
    plates, missing = list[Plate](), list[str]()
    for name, one in shown:
        if one is not None:
            drawn = list(_plates(name, one))
            plates += drawn
            missing += _missing(name, one, drawn)
    return Chapter(f"As found and {record.left_name.lower()}", missing, [states_table(record)], plates)


def _plates(name: str, shown: PatternShown) -> Iterator[Plate]:
    for one in shown.flanks:
        image = draw_kept_flank(one.flat, one.contact)
        if image is not None:
            caption = f"{name}: {one.flank} flank, tip above, end A on the left; the line runs round the contact."
            yield Plate(one.flank, image, caption, f"{name}, {one.flank} flank laid flat. {_flank_words(one)}")


def _flank_words(one: FlankShown) -> str:
    if one.numbers is None:
        return "No reading."
    return (
        f"Middle of the pattern {with_range(one.numbers.along)} from end A, touched "
        f"{with_range(one.numbers.coverage)} of the flank."
    )


def _missing(name: str, shown: PatternShown, plates: Sequence[Plate]) -> Iterator[str]:
    drawn = {plate.flank for plate in plates}
    for one in shown.flanks:
        if one.numbers is not None and one.flank not in drawn:
            yield f"{name}: the picture of the {one.flank} flank is missing or damaged; its numbers stand in the log."


def _trial(trial: TrialShown) -> Chapter:
    shown, pattern, name = trial.shown, trial.shown.pattern, trial.name
    lines = [f"**Advised:** {MOVE_WORDS[pattern.move]}{_step_words(pattern)}."]
    if pattern.shared is not None:
        lines.append(f"Both flanks together were off their target by {shift_with_range(pattern.shared)}.")
    if pattern.opposed is not None:
        lines.append(f"Against each other the left flank lay {shift_with_range(pattern.opposed)}, the right opposite.")
    plates = list(_plates(name, shown))
    doubts = [f"**Doubt:** {as_markdown(words)}" for words in dict.fromkeys((*pattern.grave, *shown.doubts))]
    lines += [*doubts, *_then(trial), _taken(shown), *_missing(name, shown, plates)]
    title = f"{name}, {shown.entry.at:%Y-%m-%d} (entry {shown.entry.number})"
    return Chapter(title, lines, [_numbers(shown)], plates)


def _step_words(pattern: Pattern) -> str:
    if pattern.step_mm is None:
        return ""
    return f", with {fine_length_words(pattern.step_mm)} of shims as a first step"


def _told(entry: Entry) -> str:
    return f"{as_markdown(event_sentence(entry.event))} (Entry {entry.number}.)"


def _then(trial: TrialShown) -> Iterator[str]:
    if trial.added_mm is not None:
        yield f"Shims under the carrier then: {_added(trial.added_mm)}."
    for entry in trial.followed:
        yield f"{'' if isinstance(entry.event, Note) else '**Then:** '}{_told(entry)}"
    if not any(isinstance(entry.event, DEEDS) for entry in trial.followed):
        yield "Nothing was changed after it, as far as the log says."


def _added(added_mm: float) -> str:
    if abs(added_mm) <= SAME_PACK_MM:
        return "as found"
    return f"{fine_length_words(abs(added_mm))} {'more' if added_mm > 0 else 'less'} than as found"


def _taken(shown: PatternShown) -> str:
    pattern = shown.pattern
    compounds = " and ".join(pattern.compounds)
    film = "" if pattern.film is None else f", film: {pattern.film}"
    by = "" if shown.entry.by is None else f" by {shown.entry.by}"
    return as_markdown(f"Marked {compounds}, {pattern.marking}{film}. Read with {pattern.tool}{by}.")


def _numbers(shown: PatternShown) -> Table:
    left, right = (one.numbers for one in shown.flanks)
    target = shown.pattern.target
    rows = [("Target from end A", percent(target.left), percent(target.right))]
    rows += [(name, _number(left, key), _number(right, key)) for key, name in NUMBER_NAMES.items()]
    teeth = [str(0 if numbers is None else numbers.teeth) for numbers in (left, right)]
    rows.append(("Teeth read", teeth[0], teeth[1]))
    return Table("In brackets what holds in 9 cases out of 10", ("", *map(_flank_head, Flank)), tuple(rows))


def _flank_head(flank: Flank) -> str:
    return f"{flank.capitalize()} flank"


def _number(numbers: FlankPrint | None, key: str) -> str:
    return NO_READING if numbers is None else with_range(getattr(numbers, key))


def _shifts(record: JobRecord) -> Chapter:
    charts = shift_charts(record)
    lines = []
    if charts:
        lines.append("The pale band is what is too little to move the wheel for; bars hold in 9 cases out of 10.")
    if len({trial.series for trial in record.trials}) > 1:
        lines.append("Between some trials a part was changed or a carrier turned: these do not compare by shims alone.")
    lines += _learned(record)
    return Chapter("How the pattern moved", lines, charts=charts)


def _learned(record: JobRecord) -> Iterator[str]:
    if record.learned is None:
        return
    response, trials = record.learned.response, record.learned.trials
    effect = response.effect_per_mm
    per_tenth = Interval(effect.value / 10, effect.low / 10, effect.high / 10)
    yield (
        f"By trials {', '.join(map(str, trials))} of this very machine, {length_words(0.1)} more of shims move the "
        f"pattern {shift_with_range(per_tenth)}."
    )
    if response.wrong_way is not None:
        yield as_markdown(f"{caution_message(response.wrong_way)} {caution_remedy(response.wrong_way)}")


def _limits(record: JobRecord) -> Chapter:
    return Chapter("Backlash and end play", (), [limits_table(record)], charts=limit_chart(record))


def _photos(record: JobRecord) -> Chapter:
    table = photos_table(record)
    return Chapter("Photos", tables=[table] if table.rows else [], small=True)


def _log(record: JobRecord) -> Chapter:
    if not record.log.entries:
        return Chapter("The log in full", ["The log holds no entry."])
    return Chapter("The log in full", tables=[log_table(record)])


def _sources(record: JobRecord) -> Chapter:
    lines = [f"Log of {len(record.log.entries)} entries, log.jsonl: SHA-256 {record.log_sha256}"]
    if record.sheet_sha256 is not None:
        lines.append(f"Machine sheet, machine.toml: SHA-256 {record.sheet_sha256}")
    lines.append("A log that was added to or changed since has another SHA-256: compare it with 'sha256sum log.jsonl'.")
    lines += [f"Written down {record.made_at:%Y-%m-%d %H:%M} on {platform.system()}.", versions_line()]
    return Chapter("Files and versions", lines, small=True)
