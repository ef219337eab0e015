"""What must be done now in a setting job, what comes after, and why."""

from __future__ import annotations

from patternscan.setting.log.event_words import one_line
from patternscan.setting.log.events import SignOff
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import WORK, Action, Priority, Rule
from patternscan.setting.rules.backlash_rules import BACKLASH_RULES
from patternscan.setting.rules.found_rules import FOUND_RULES
from patternscan.setting.rules.pattern_rules import CROSSED, PATTERN_RULES
from patternscan.setting.rules.reading_rules import LIMIT_RULES, PLAY_RULES
from patternscan.setting.rules.shim_rules import SHIM_RULES, STOP_RULES
from patternscan.setting.state.job_state import JobState


def _close(state: JobState, _: Sheet) -> str | None:
    if state.closed is not None:
        return None
    return "Close the housing and note it, then read the pattern and backlash once more through the inspection port."


def _sign(state: JobState, _: Sheet) -> str | None:
    if state.closed is None:
        return None
    return "Clean off all compound, put guards and oil back, then sign off."


def _signed(state: JobState, sheet: Sheet) -> str | None:
    entry = state.signed_off
    if entry is None or not isinstance(entry.event, SignOff):
        return None
    signed = f"igned off by {one_line(entry.event.name)} on {entry.at:%Y-%m-%d} (entry {entry.number})"
    return (
        f"S{signed}, but not everything was in order." if open_actions(state, sheet) else f"Nothing to do: s{signed}."
    )


def _still_open(state: JobState, sheet: Sheet) -> str | None:
    still = open_actions(state, sheet)
    return f"At sign-off this was still open: {' '.join(action.words for action in still)}" if still else None


def open_actions(state: JobState, sheet: Sheet) -> list[Action]:
    """What stands between the job and its end, in the order of work, whether it is signed off or not."""
    return [action for action in _applying((*WORK_RULES, CLOSE), state, sheet) if action.priority in WORK]


def _land_the_load(_: JobState, __: Sheet) -> str:
    return (
        "Land the load and isolate the machine first; turn by hand, fingers clear of the mesh. "
        "The maker's manual and the local code decide."
    )


WORK_RULES: tuple[Rule, ...] = (
    *FOUND_RULES,
    *PLAY_RULES,
    *PATTERN_RULES,
    *STOP_RULES,
    CROSSED,
    *SHIM_RULES,
    *BACKLASH_RULES,
    *LIMIT_RULES,
)
"""Rules while the job runs, in the order of work."""
CLOSE = Rule(
    "close-up",
    Priority.DO_NOW,
    "All readings count and none lies beyond a limit that the sheet gives; tightening can still move the parts.",
    _close,
)
LAST_RULES: tuple[Rule, ...] = (
    CLOSE,
    Rule(
        "sign-off",
        Priority.DO_NOW,
        "All readings count, taken after closing; compound left inside spoils the oil.",
        _sign,
    ),
)
"""Rules that apply only when nothing else is left to do."""
SIGNED_RULES: tuple[Rule, ...] = (
    Rule("signed-off", Priority.DONE, "A signed job is done until something is changed.", _signed),
    Rule("still-open", Priority.WARNING, "A job ends when every reading counts.", _still_open),
)
"""The only rules that apply once the job is signed off."""
SAFETY = Rule("land-the-load", Priority.CAUTION, "The brake alone does not hold a gear that is open.", _land_the_load)
"""Said in every answer."""
ORDER = dict.fromkeys(WORK, 0) | {
    Priority.DONE: 0,
    Priority.WARNING: 1,
    Priority.NO_LIMIT: 2,
    Priority.MET: 3,
    Priority.CAUTION: 4,
}
"""Work first, in the order of its rules; then what to mind, what is missing on the sheet, and what is right."""


def next_actions(state: JobState, sheet: Sheet) -> tuple[Action, ...]:
    """All actions that are due; the first is what must be done now, or says that the job is done."""
    if state.signed_off is not None:
        actions = _applying(SIGNED_RULES, state, sheet)
    else:
        actions = _applying(WORK_RULES, state, sheet)
        if not any(action.priority in WORK for action in actions):
            actions += _applying(LAST_RULES, state, sheet)
    actions += _applying((SAFETY,), state, sheet)
    return tuple(sorted(actions, key=lambda action: ORDER[action.priority]))


def _applying(rules: tuple[Rule, ...], state: JobState, sheet: Sheet) -> list[Action]:
    return [step for rule in rules if (step := rule.action(state, sheet)) is not None]
