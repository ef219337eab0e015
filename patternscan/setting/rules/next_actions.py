"""What must be done now in a setting job, what comes after, and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patternscan.setting.log.events import SignOff
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.rules.action import WORK, Action, Points, Priority, Rule, point
from patternscan.setting.rules.backlash_rules import BACKLASH_RULES
from patternscan.setting.rules.crossed_rules import CROSSED_RULES
from patternscan.setting.rules.found_rules import FOUND_RULES
from patternscan.setting.rules.pattern_rules import PATTERN_RULES, counts_again, not_answered
from patternscan.setting.rules.reading_rules import LIMIT_RULES, PLAY_RULES
from patternscan.setting.rules.shim_rules import SHIM_RULES, STOP_RULES
from patternscan.setting.rules.strip_down_rules import SECURE
from patternscan.setting.state.job_state import JobState


def _close(state: JobState, _: Sheet) -> Points:
    if state.closed is None:
        yield point("close-housing")
        yield point("through-the-port")


def _sign(state: JobState, _: Sheet) -> Points:
    if state.closed is not None:
        yield point("clean-and-sign")


def _signed(state: JobState, sheet: Sheet) -> Points:
    entry = state.signed_off
    if entry is not None and isinstance(entry.event, SignOff):
        early = open_actions(state, sheet) or any(not_answered(state, sheet)) or any(_fell_since(state, sheet))
        code = "signed-off-early" if early else "signed-off"
        yield point(code, name=entry.event.name, date=f"{entry.at:%Y-%m-%d}", entry=entry.number)


def _fell_since(state: JobState, sheet: Sheet) -> Points:
    """That a pattern fell after the sign-off, by which an earlier one counts again."""
    if state.signed_off is not None:
        yield from (one for one in counts_again(state, sheet) if int(str(one["by"])) > state.signed_off.number)


def _still_open(state: JobState, sheet: Sheet) -> Points:
    still = open_actions(state, sheet)
    if still:
        yield point("open-at-sign-off")
        for action in still:
            yield from action.points


def open_actions(state: JobState, sheet: Sheet) -> list[Action]:
    """What stands between the job and its end, in the order of work, whether it is signed off or not."""
    return [action for action in _due((*WORK_RULES, CLOSE), state, sheet) if action.priority in WORK]


WORK_RULES: tuple[Rule, ...] = (
    *FOUND_RULES,
    *PLAY_RULES,
    *PATTERN_RULES,
    *STOP_RULES,
    *SHIM_RULES,
    *CROSSED_RULES,
    *BACKLASH_RULES,
    *LIMIT_RULES,
)
"""Rules while the job runs, in the order of work."""
CLOSE = Rule("close-up", Priority.DO_NOW, _close)
LAST_RULES: tuple[Rule, ...] = (CLOSE, Rule("sign-off", Priority.DO_NOW, _sign))
"""Rules that apply only when nothing else is left to do."""
SIGNED_RULES: tuple[Rule, ...] = (
    Rule("signed-off", Priority.DONE, _signed),
    Rule("not-answered", Priority.ASK, not_answered),
    Rule("fell-since", Priority.WARNING, _fell_since),
    Rule("still-open", Priority.WARNING, _still_open),
)
"""The only rules that apply once the job is signed off."""
SAFETY = Rule("land-the-load", Priority.CAUTION, lambda *_: iter((point("land-the-load"),)))
"""Said in every answer."""
ORDER = dict.fromkeys((Priority.ASK, *WORK), 0) | {
    Priority.DONE: 0,
    Priority.WARNING: 1,
    Priority.NO_LIMIT: 2,
    Priority.MET: 3,
    Priority.CAUTION: 4,
}
"""Questions and work first, in the order of their rules; then what to mind, what is missing on the sheet, and what is
right."""


def next_actions(state: JobState, sheet: Sheet) -> tuple[Action, ...]:
    """All actions that are due; the first is what must be done or looked up now, or says that the job is done."""
    if state.signed_off is not None:
        actions = _due(SIGNED_RULES, state, sheet)
    else:
        actions = _due(WORK_RULES, state, sheet)
        if any(action.priority in WORK for action in actions):
            actions = [*_due((SECURE,), state, sheet), *actions]
        else:
            actions += _due(LAST_RULES, state, sheet)
    actions += _due((SAFETY,), state, sheet)
    return tuple(sorted(actions, key=lambda action: ORDER[action.priority]))


def first_deed(actions: Sequence[Action]) -> Action:
    """The first action that is no question."""
    return next(action for action in actions if action.priority is not Priority.ASK)


def _due(rules: Iterable[Rule], state: JobState, sheet: Sheet) -> list[Action]:
    return [action for rule in rules if (action := rule.action(state, sheet)) is not None]
