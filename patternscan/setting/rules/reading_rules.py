"""Rules for readings: each check must be read, read again when it was voided, and lie within the maker's limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from patternscan.setting.log.event_words import PLACE_WORDS
from patternscan.setting.log.events import Alignment, EccentricChange, ShimChange, ShimPlace
from patternscan.setting.machine.sheet import Limit, Sheet
from patternscan.setting.rules.action import Priority, Rule
from patternscan.setting.state.checks import CARRIER_PLACES, Check
from patternscan.setting.state.job_state import JobState
from patternscan.units import MM_PER_INCH, length_words


@dataclass(frozen=True, slots=True)
class Measure:
    """One kind of reading: its name, how it is read, why it is read when it is, its limit, how it is set."""

    check: Check
    name: str
    how: str
    because: str
    limit: Callable[[Sheet], Limit | None]
    remedy: str
    beside: str = ""


WORM_END_PLAY = Measure(
    Check.WORM_END_PLAY,
    "end play of the worm",
    "put the dial on the end of the worm shaft, turn the worm a little, push it both ways",
    "End play of the worm blurs the pattern and adds to the backlash in full, so it is set first.",
    lambda sheet: sheet.limits.worm_end_play,
    "Set it with the worm's own shims, then read it again",
)
WHEEL_END_PLAY = Measure(
    Check.WHEEL_END_PLAY,
    "end play of the wheel shaft",
    "put the dial on the end of the wheel shaft, push the shaft both ways",
    "A wheel shaft that floats puts the pattern now here, now there, so its end play is set before blueing.",
    lambda sheet: sheet.limits.wheel_end_play,
    "Set it as the maker's manual says; where both carriers have shims, change both alike, then read it again",
)
ALIGNMENT = Measure(
    Check.ALIGNMENT,
    "alignment of the outboard bearing",
    "measure how far the bearing is out of line, and look at its shims",
    "An outboard bearing out of line bends the shaft, and the pattern with it.",
    lambda sheet: _up_to(sheet.limits.outboard_alignment_mm),
    "Bring it into line with its own shims, then read it again",
    " and look at its shims",
)
BACKLASH = Measure(
    Check.BACKLASH,
    "backlash",
    "land the load, hold the worm, rock the wheel both ways with the dial at the same radius each time",
    "Backlash depends on where the wheel sits, so it comes after the pattern.",
    lambda sheet: sheet.limits.backlash,
    "",
)
MEASURES = (WORM_END_PLAY, WHEEL_END_PLAY, ALIGNMENT, BACKLASH)


def has_outboard(state: JobState, sheet: Sheet) -> bool:
    """Whether the machine is known to have an outboard bearing."""
    noted = ShimPlace.OUTBOARD in state.found or any(isinstance(event, Alignment) for event in state.events)
    return noted or sheet.limits.outboard_alignment_mm is not None


def missing_words(measure: Measure) -> Callable[[JobState, Sheet], str | None]:
    """Says that the reading was never taken."""

    def words(state: JobState, sheet: Sheet) -> str | None:
        if state.current_readings[measure.check].entry is not None or not _asked(measure, state, sheet):
            return None
        return f"Read the {measure.name}{_where(measure, state, sheet)}: {measure.how}."

    return words


def void_words(measure: Measure) -> Callable[[JobState, Sheet], str | None]:
    """Says that the reading has to be taken again, and which entry voided it."""

    def words(state: JobState, sheet: Sheet) -> str | None:
        current = state.current_readings[measure.check]
        if current.invalidated_by is None:
            return None
        again = f"Read the {measure.name} again{_where(measure, state, sheet)}{measure.beside}"
        side = measure is WHEEL_END_PLAY and isinstance(current.invalidated_by.event, ShimChange)
        hint = _other_side(sheet) if side else ""
        return f"{again}: {current.because} (entry {current.invalidated_by.number}).{hint}"

    return words


def _other_side(sheet: Sheet) -> str:
    told = " If as much went to the other side, log that too."
    if sheet.shims.carrier is None or sheet.shims.alone is not None:
        return told
    alone = f"{PLACE_WORDS[CARRIER_PLACES[sheet.shims.carrier]]} by itself holds the shaft endways"
    return f'{told} If {alone}, write holds_shaft = "alone" under [shims] on the sheet.'


def beyond_words(measure: Measure) -> Callable[[JobState, Sheet], str | None]:
    """Says that the reading is beyond the maker's limit, and how it is set."""

    def words(state: JobState, sheet: Sheet) -> str | None:
        limit, readings = measure.limit(sheet), state.current_readings[measure.check].readings_mm
        if limit is None or not state.counts(measure.check) or limit.holds(readings):
            return None
        return f"{describe_miss(measure, readings, limit)} {measure.remedy}."

    return words


def within_words(measure: Measure) -> Callable[[JobState, Sheet], str | None]:
    """Says that the reading is within the maker's limit."""

    def words(state: JobState, sheet: Sheet) -> str | None:
        limit, readings = measure.limit(sheet), state.current_readings[measure.check].readings_mm
        if limit is None or not state.counts(measure.check) or not readings or not limit.holds(readings):
            return None
        limits = span_words((limit.least_mm, limit.most_mm))
        return f"The {measure.name} is {span_words(readings)}, within the maker's {limits}."

    return words


def describe_miss(measure: Measure, readings_mm: Sequence[float], limit: Limit) -> str:
    """One sentence that says how a reading misses its limit, the worst first."""
    over, under = max(readings_mm) - limit.most_mm, limit.least_mm - min(readings_mm)
    worst, bound, side = (
        (max(readings_mm), limit.most_mm, "more than the maker's most")
        if over >= under
        else (min(readings_mm), limit.least_mm, "less than the maker's least")
    )
    just = "just " if length_words(worst) == length_words(bound) else ""
    return f"The {measure.name} is {length_words(worst)}, {just}{side}, {length_words(bound)}."


def span_words(lengths_mm: Sequence[float]) -> str:
    """Least to largest in mm, with inches beside them; one number when they print the same.

    >>> span_words([0.08, 0.13])
    '0.08 to 0.13 mm (0.003 to 0.005 in)'
    """
    least, most = min(lengths_mm), max(lengths_mm)
    if length_words(least) == length_words(most):
        return length_words(most)
    thin, thick = (f"{length / MM_PER_INCH:.3f}" for length in (least, most))
    return f"{least:.2f} to {most:.2f} mm ({thin if thin == thick else f'{thin} to {thick}'} in)"


def _asked(measure: Measure, state: JobState, sheet: Sheet) -> bool:
    return measure.check is not Check.ALIGNMENT or has_outboard(state, sheet)


def _where(measure: Measure, state: JobState, sheet: Sheet) -> str:
    if measure.check is not Check.BACKLASH:
        return ""
    port = " through the inspection port" if state.closed is not None else ""
    places = sheet.dial.positions
    return f"{port} at {places} places round the wheel" if places > 1 else port


def _up_to(most_mm: float | None) -> Limit | None:
    return None if most_mm is None else Limit(0.0, most_mm)


def _no_limits(state: JobState, sheet: Sheet) -> str | None:
    names = list(_without_limit(state, sheet))
    if not names:
        return None
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    verb = "limit for" if len(names) == 1 else "limits for"
    are = "is" if len(names) == 1 else "are"
    return (
        f"The maker's {verb} {listed} {are} not on the sheet, so no one can say here whether the readings are right: "
        "take them from the maker's manual."
    )


def _without_limit(state: JobState, sheet: Sheet) -> Iterator[str]:
    for measure in MEASURES:
        if measure.limit(sheet) is None and _asked(measure, state, sheet):
            yield measure.name


def _outboard_unseen(state: JobState, sheet: Sheet) -> str | None:
    turned = any(isinstance(event, EccentricChange) for event in state.events)
    if not turned or has_outboard(state, sheet):
        return None
    return "If the machine has an outboard bearing, read its alignment and look at its shims: the carriers were turned."


def _reading_rules(measure: Measure) -> tuple[Rule, ...]:
    code = measure.check.value
    return (
        Rule(f"{code}-missing", Priority.READ, measure.because, missing_words(measure)),
        Rule(f"{code}-void", Priority.REDO, measure.because, void_words(measure)),
        Rule(f"{code}-beyond", Priority.NOT_MET, measure.because, beyond_words(measure)),
        Rule(f"{code}-within", Priority.MET, measure.because, within_words(measure)),
    )


PLAY_RULES: tuple[Rule, ...] = (
    *_reading_rules(WORM_END_PLAY),
    *_reading_rules(WHEEL_END_PLAY),
    *_reading_rules(ALIGNMENT),
)
"""What is set before blueing, in the order of work (common practice)."""
LIMIT_RULES: tuple[Rule, ...] = (
    Rule(
        "outboard-unseen",
        Priority.WARNING,
        "Turning the carriers moves the shaft in its outboard bearing too.",
        _outboard_unseen,
    ),
    Rule(
        "limits-missing", Priority.NO_LIMIT, "Only the maker's own limits count, and none is built in here.", _no_limits
    ),
)
