"""What a job's record says, chapter by chapter, the same on the page and on paper."""

from __future__ import annotations

import platform
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from PIL import Image

from patternscan.frame import Flank
from patternscan.reporting.documents.provenance import versions_line
from patternscan.reporting.job.charts import limit_chart, shift_charts
from patternscan.reporting.job.kept_patterns import PatternShown, PhotoPlace
from patternscan.reporting.job.record import DEEDS, JobRecord, TrialShown
from patternscan.reporting.job.tables import photos_table, states_table
from patternscan.reporting.pictures.charts import Chart
from patternscan.reporting.pictures.kept_flank import draw_kept_flank
from patternscan.reporting.text.cautions import caution_lines
from patternscan.reporting.text.job.actions import action_reason, action_sentence
from patternscan.reporting.text.job.events import event_sentence
from patternscan.reporting.text.job.machine import machine_table
from patternscan.reporting.text.job.pattern import (
    added_words,
    entry_sentence,
    learned_lines,
    pattern_lines,
    pattern_table,
    print_words,
    taken_sentence,
)
from patternscan.reporting.text.job.readings import log_table, signature_table
from patternscan.reporting.text.job.reply_words import asked_words
from patternscan.reporting.text.safety import LIMIT, SAFETY
from patternscan.reporting.text.table import Table
from patternscan.reporting.text.wording import as_markdown
from patternscan.setting.log.events import Note
from patternscan.setting.log.words import Occasion
from patternscan.setting.rules.action import Priority
from patternscan.setting.state.checks import Check
from patternscan.setting.state.open_questions import answers_about

OCCASION_NAMES = {
    Occasion.AS_FOUND: "As found",
    Occasion.MAKER: "The maker's pattern",
    Occasion.TRIAL: "A trial that does not count",
}


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
        [Chapter("Signatures", [LIMIT], [signature_table(record.state.signed_off)])],
        [_open(record), _cautions(record), _states(record)],
        [Chapter("The machine", tables=[machine_table(record.sheet)])],
        [Chapter("Before the first trial", list(map(entry_sentence, record.prepared)))],
        (_trial(trial, record) for trial in record.trials),
        [_shifts(record), _limits(record), _photos(record), _log(record), Chapter("Safety", SAFETY), _sources(record)],
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
    lines += [f"{name}: {as_markdown(one)}" for shown, name in _named(record) for one in _asked(shown, record)]
    lines += [
        f"{as_markdown(photo.link.name)} (entry {shown.entry.number}) is {photo.place}: its SHA-256 is another one."
        for shown in record.patterns
        for photo in shown.photos
        if photo.place is PhotoPlace.CHANGED
    ]
    return Chapter("Cautions", list(dict.fromkeys(lines)))


def _named(record: JobRecord) -> Iterator[tuple[PatternShown, str]]:
    """The patterns that were not struck, in the order of the log, with what they are called."""
    trials = {trial.shown.entry.number: f"Trial {trial.number}" for trial in record.trials}
    for shown in record.patterns:
        number, occasion = shown.entry.number, shown.pattern.occasion
        if number not in record.struck:
            yield shown, trials.get(number, f"{OCCASION_NAMES[occasion]} (entry {number})")


def _asked(shown: PatternShown, record: JobRecord) -> Iterator[str]:
    """What only a person can tell of a pattern, each with what was answered."""
    answers = answers_about(shown.entry, record.state.entries)
    return (asked_words(one, answers) for one in shown.pattern.questions)


def _old_doubts(name: str, shown: PatternShown | None) -> list[str]:
    """Every doubt of a pattern that has no chapter of its own, but those that ask."""
    if shown is None:
        return []
    doubts = [one for one in shown.doubts if not any(asked.told.startswith(one) for asked in shown.pattern.questions)]
    return [f"{name}: {as_markdown(one)}" for one in (*shown.pattern.grave, *doubts)]


def _states(record: JobRecord) -> Chapter:
    shown = [("As found", record.as_found), ("The maker's pattern", record.maker)]
    if record.trials:
        invalidated = "" if record.state.counts(Check.PATTERN) else ", counts no more"
        shown.append((f"{record.left_name} ({record.trials[-1].name.lower()}{invalidated})", record.trials[-1].shown))
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
            yield Plate(one.flank, image, caption, f"{name}, {one.flank} flank laid flat. {print_words(one.numbers)}")


def _missing(name: str, shown: PatternShown, plates: Sequence[Plate]) -> Iterator[str]:
    drawn = {plate.flank for plate in plates}
    for one in shown.flanks:
        if one.numbers is not None and one.flank not in drawn:
            yield f"{name}: the picture of the {one.flank} flank is missing or damaged; its numbers stand in the log."


def _trial(trial: TrialShown, record: JobRecord) -> Chapter:
    shown, pattern, name = trial.shown, trial.shown.pattern, trial.name
    plates = list(_plates(name, shown))
    advised = pattern_lines(pattern, record.sheet.shim_rule)
    lines = [*advised, *_doubts(shown, record), *_then(trial), taken_sentence(pattern, shown.entry.by)]
    lines += _missing(name, shown, plates)
    title = f"{name}, {shown.entry.at:%Y-%m-%d} (entry {shown.entry.number})"
    return Chapter(title, lines, [pattern_table(pattern)], plates)


def _doubts(shown: PatternShown, record: JobRecord) -> list[str]:
    """The doubts of a trial, what was asked with its answer first."""
    asked = [*_asked(shown, record)]
    others = [one for one in (*shown.pattern.grave, *shown.doubts) if not any(each.startswith(one) for each in asked)]
    return [f"**Doubt:** {as_markdown(words)}" for words in dict.fromkeys((*asked, *others))]


def _then(trial: TrialShown) -> Iterator[str]:
    if trial.added_mm is not None:
        yield f"Shims under the carrier then: {added_words(trial.added_mm)}."
    for entry in trial.followed:
        yield f"{'' if isinstance(entry.event, Note) else '**Then:** '}{entry_sentence(entry)}"
    if not any(isinstance(entry.event, DEEDS) for entry in trial.followed):
        yield "Nothing was changed after it, as far as the log says."


def _shifts(record: JobRecord) -> Chapter:
    charts = shift_charts(record)
    lines = []
    if charts:
        lines.append("The pale band is what is too little to move the wheel for; bars hold in 9 cases out of 10.")
    if len({trial.series for trial in record.trials}) > 1:
        lines.append("Between some trials a part was changed or a carrier turned: these do not compare by shims alone.")
    if record.learned is not None:
        lines += learned_lines(record.learned.response, record.learned.trials)
    return Chapter("How the pattern moved", lines, charts=charts)


def _limits(record: JobRecord) -> Chapter:
    return Chapter("Backlash and end play", charts=limit_chart(record))


def _photos(record: JobRecord) -> Chapter:
    table = photos_table(record)
    return Chapter("Photos", tables=[table] if table.rows else [], small=True)


def _log(record: JobRecord) -> Chapter:
    if not record.log.entries:
        return Chapter("The log in full", ["The log holds no entry."])
    return Chapter("The log in full", tables=[log_table(record.log.entries, record.gone)], small=True)


def _sources(record: JobRecord) -> Chapter:
    lines = [f"Log of {len(record.log.entries)} entries, log.jsonl: SHA-256 {record.log_sha256}"]
    if record.sheet_sha256 is not None:
        lines.append(f"Machine sheet, machine.toml: SHA-256 {record.sheet_sha256}")
    lines.append("A log that was added to or changed since has another SHA-256: compare it with 'sha256sum log.jsonl'.")
    lines += [f"Written down {record.made_at:%Y-%m-%d %H:%M} on {platform.system()}.", versions_line()]
    return Chapter("Files and versions", lines, small=True)
