"""A question that a pattern asks back: answered, by which answer it stands, and what rests on it until then."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from msgspec import structs

from patternscan.cautions import ASKED_BACK
from patternscan.errors import WrongUse
from patternscan.judging.advice import Move
from patternscan.setting.log.entries import gone_entries, kept_entries
from patternscan.setting.log.events import Closed, Event, Pattern, Replied, Struck
from patternscan.setting.log.replies import QUESTIONS, REPLIES, AskedBack
from patternscan.setting.log.words import Occasion, Reply
from patternscan.setting.rules.action import Priority
from patternscan.setting.rules.effects import effects_of
from patternscan.setting.rules.next_actions import first_deed
from patternscan.setting.rules.pattern_rules import JUDGE_AGAIN
from patternscan.setting.state.checks import Check
from patternscan.setting.state.entry_check import refuse_impossible
from patternscan.setting.state.job_state import job_state
from tests.setting.job_entries import ASKING, CENTRED, HEAVY_AT_A, READ, SHEET, blued, log, side_move
from tests.setting.rule_jobs import (
    ASKED,
    AT_MAKER,
    BARE,
    FELL_SINCE,
    HELD,
    MAKER,
    NEAR_B,
    OF_MAKER,
    UNMOVED,
    UNPAINTED,
    actions_after,
    codes_after,
    placed,
    points_of,
)

FIRST = len(READ) + 1
"""The entry that follows READ."""
RUBBED = Replied(FIRST, "bare-to-end", Reply.RUBBED_OFF, "R. Moss")


def asking(*codes: str, shared: float = 0.18) -> Pattern:
    """A pattern off toward B that asks these questions."""
    return blued(shared, Move.TOWARD_B, asked=tuple(one for one in ASKING if one.code in codes))


def replied(entry: int, reply: Reply) -> Replied:
    """An answer to the question that the word belongs to."""
    return Replied(entry, QUESTIONS[reply], reply, "R. Moss")


def test_every_question_has_two_answers_and_every_answer_its_question() -> None:
    assert REPLIES.keys() == ASKED_BACK
    words = [word for one in REPLIES.values() for word in (one.stands, one.falls)]
    assert sorted(words) == sorted(Reply)


@pytest.mark.parametrize("code", sorted(REPLIES))
def test_by_one_answer_the_pattern_stands_and_is_asked_no_more(code: str) -> None:
    happened = (*READ, asking(code), replied(FIRST, REPLIES[code].stands))
    assert "pattern-asked" not in codes_after(*happened)
    state = job_state(log(*happened), SHEET)
    assert state.counts(Check.PATTERN)
    assert len(state.learning_trials) == 1
    assert first_deed(actions_after(*happened)).code == "shim-step"


@pytest.mark.parametrize("code", sorted(REPLIES))
def test_by_the_other_it_counts_no_more_and_is_to_be_taken_or_judged_again(code: str) -> None:
    happened = (*READ, asking(code), replied(FIRST, REPLIES[code].falls))
    state = job_state(log(*happened), SHEET)
    assert (state.trials, state.pattern) == ((), None)
    assert state.counts(Check.PATTERN) is False
    actions = actions_after(*happened)
    assert [one.code for one in actions if one.code.startswith(("pattern", "shim"))] == ["pattern-disowned"]
    points = points_of("pattern-disowned", *happened)
    told = {"entry": FIRST, "name": "R. Moss", "reply": REPLIES[code].falls, "by": FIRST + 1}
    assert points["pattern-disowned"] == told
    assert points.keys() - {"pattern-disowned"} == {JUDGE_AGAIN.get(REPLIES[code].falls, "blue-again")}


def test_photos_serve_again_only_where_they_were_read_the_wrong_way_round() -> None:
    assert {QUESTIONS[reply] for reply in JUDGE_AGAIN} == ASKED_BACK - {"bare-to-end", "two-places", "taken-apart"}
    assert all(REPLIES[QUESTIONS[reply]].falls is reply for reply in JUDGE_AGAIN)


@pytest.mark.parametrize("reply", sorted(JUDGE_AGAIN))
def test_photos_of_before_a_change_serve_no_more(reply: Reply) -> None:
    happened = (*READ, asking(QUESTIONS[reply]), *side_move(0.1), replied(FIRST, reply))
    assert points_of("pattern-disowned", *happened).keys() == {"pattern-disowned", "blue-again"}


def test_each_question_waits_for_its_own_answer() -> None:
    both = (*READ, asking("bare-to-end", "taken-apart"))
    first = points_of("pattern-asked", *both)
    assert first["to-answer"] == {"entry": FIRST, "stands": "nothing-changed", "falls": "something-changed"}
    left = points_of("pattern-asked", *both, replied(FIRST, Reply.NOTHING_CHANGED))
    assert left["to-answer"]["stands"] == "rubbed-off"
    assert job_state(log(*both, replied(FIRST, Reply.RUBBED_OFF)), SHEET).trials[0].waits


def test_what_is_asked_of_two_flanks_has_one_answer_and_that_is_said() -> None:
    other = AskedBack(BARE.code, "Right flank: it is bare up to end A. Was it painted?")
    happened = (*READ, structs.replace(ASKED, asked=(BARE, other)))
    (asked,) = (one for one in actions_after(*happened) if one.code == "pattern-asked")
    assert [one.code for one in asked.points] == ["asked", "asked", "one-answer-for-all", "to-answer"]
    assert "pattern-asked" not in codes_after(*happened, RUBBED)


def test_an_answer_that_is_struck_leaves_the_question_open_and_the_pattern_counting() -> None:
    happened = (*READ, ASKED, UNPAINTED, Struck(FIRST + 1, "asked the wrong man"))
    assert gone_entries(log(*happened)) == {FIRST + 1: FIRST + 2}
    assert points_of("pattern-asked", *happened)["asked"] == {"told": BARE.told}


def test_a_new_pattern_ends_what_was_said_of_the_one_before() -> None:
    assert "pattern-disowned" not in codes_after(*READ, ASKED, UNPAINTED, CENTRED)
    assert "pattern-disowned" not in codes_after(*READ, ASKED, CENTRED, UNPAINTED)


def test_an_earlier_pattern_of_the_same_shims_counts_again() -> None:
    """As if the one that fell had been struck."""
    asked = replied(FIRST + 1, Reply.NEVER_PAINTED)
    happened = (*READ, CENTRED, ASKED, asked)
    assert job_state(log(*happened), SHEET).pattern == CENTRED
    assert "pattern-disowned" not in codes_after(*happened)
    moved = points_of("pattern-disowned", *READ, CENTRED, *side_move(0.1), ASKED, replied(FIRST + 3, asked.reply))
    assert moved.keys() == {"pattern-disowned", "blue-again"}
    assert "pattern-void" not in codes_after(*happened, *side_move(0.1))


def test_what_was_changed_between_photos_ends_the_patterns_before_it() -> None:
    """Nobody noted what it was: the earlier pattern may be of another state, and teaches nothing of shims."""
    changed = asking("taken-apart")
    happened = (*READ, CENTRED, changed, replied(FIRST + 1, Reply.SOMETHING_CHANGED))
    state = job_state(log(*happened), SHEET)
    assert state.counts(Check.PATTERN) is False
    assert state.current_readings[Check.PATTERN].invalidation == "changed-unnoted"
    assert points_of("pattern-disowned", *happened).keys() == {"pattern-disowned", "blue-again"}
    assert len(trials_of(*happened, *side_move(0.05), NEAR_B)) == 1
    struck = (*happened, Struck(FIRST + 1, "photos of another day"))
    assert points_of("pattern-void", *struck)["pattern-invalidated"]["by"] == "changed-unnoted"
    assert job_state(log(*happened, Struck(FIRST + 2, "nothing was")), SHEET).pattern == changed


def test_what_was_changed_between_the_photos_of_the_maker_s_pattern_ends_no_trial() -> None:
    maker = structs.replace(asking("taken-apart"), occasion=Occasion.MAKER)
    happened = (*READ, CENTRED, maker, replied(FIRST + 1, Reply.SOMETHING_CHANGED))
    assert job_state(log(*happened), SHEET).counts(Check.PATTERN)


def test_a_pattern_that_was_taken_after_such_a_change_counts() -> None:
    late = (*READ, CENTRED, asking("taken-apart"), HEAVY_AT_A, replied(FIRST + 1, Reply.SOMETHING_CHANGED))
    assert job_state(log(*late), SHEET).counts(Check.PATTERN)
    assert trials_of(*late) == [0.0]


def test_that_an_earlier_pattern_counts_again_is_told_at_once_and_from_then_on() -> None:
    answer = replied(FIRST + 1, Reply.NEVER_PAINTED)
    happened = (*READ, CENTRED, ASKED, answer)
    told = {"entry": FIRST + 1, "name": "R. Moss", "reply": Reply.NEVER_PAINTED, "by": FIRST + 2, "earlier": FIRST}
    assert points_of("counts-again", *happened) == {"pattern-counts-again": told}
    assert [dict(one.values) for (one,) in effects_of(log(*happened), SHEET)] == [told]
    assert effects_of(log(*READ, ASKED, UNPAINTED), SHEET) == ()
    assert "counts-again" not in codes_after(*READ, ASKED, UNPAINTED)
    assert "counts-again" not in codes_after(*happened, NEAR_B)
    assert "counts-again" not in codes_after(*happened, Struck(FIRST + 2, "asked the wrong man"))
    assert "counts-again" not in codes_after(*happened, *side_move(0.1))


def test_a_pattern_that_fell_after_the_sign_off_is_told_although_an_earlier_one_counts() -> None:
    *before, signed, answer = FELL_SINCE
    assert points_of("signed-off", *FELL_SINCE).keys() == {"signed-off-early"}
    assert points_of("fell-since", *FELL_SINCE)["pattern-counts-again"]["earlier"] == len(before) - 2
    known = (*before, answer, signed)
    assert points_of("signed-off", *known).keys() == {"signed-off"}
    assert "fell-since" not in codes_after(*known)


def test_an_earlier_pattern_of_the_makers_counts_again_too() -> None:
    first, second = (structs.replace(one, occasion=Occasion.MAKER) for one in (CENTRED, ASKED))
    happened = (first, second, *READ, NEAR_B, replied(2, Reply.NEVER_PAINTED))
    points = points_of("counts-again", *happened)
    assert {code: one["earlier"] for code, one in points.items()} == {"maker-counts-again": 1}
    assert "maker-disowned" not in codes_after(*happened)


@pytest.mark.parametrize("occasion", [Occasion.AS_FOUND, Occasion.MAKER])
def test_patterns_of_the_old_wheel_and_of_the_maker_fall_too(occasion: Occasion) -> None:
    pattern = structs.replace(ASKED, occasion=occasion)
    state = job_state(log(pattern, replied(1, Reply.NEVER_PAINTED)), SHEET)
    assert (state.as_found, state.maker, state.disowned) == (None, None, None)


def test_that_the_maker_s_pattern_fell_is_told_until_another_is_judged() -> None:
    """Without it what is crossed is held against none, so a pattern may be called right that was not before."""
    maker = structs.replace(ASKED, occasion=Occasion.MAKER)
    happened = (maker, *READ, CENTRED, OF_MAKER)
    told = {"entry": 1, "name": "R. Moss", "reply": Reply.NEVER_PAINTED, "by": FIRST + 2}
    assert points_of("maker-disowned", *happened) == {"maker-disowned": told}
    again = structs.replace(maker, asked=())
    assert "maker-disowned" not in codes_after(*happened, again)
    assert "maker-disowned" not in codes_after(*happened, Struck(FIRST + 2, "asked the wrong man"))
    assert "maker-disowned" in codes_after(*happened, Struck(FIRST + 1, "wrong tooth"))


def trials_of(*happened: Event) -> list[float]:
    """The shims of the trials that teach, against the first trial."""
    return [trial.shim_mm for trial in job_state(log(*happened), SHEET).learning_trials]


MOVED: Sequence[Event] = (*READ, ASKED, *side_move(0.05), NEAR_B)


def test_a_trial_teaches_nothing_before_its_question_is_answered() -> None:
    assert trials_of(*MOVED) == [0.05]
    assert "shim-effect" not in codes_after(*MOVED)
    waiting = {one.code: one for one in actions_after(*MOVED)}["trials-asked"]
    assert waiting.priority is Priority.WARNING
    assert [one.code for one in waiting.points] == ["trial-not-used", "asked-of-trial", "to-answer"]
    assert waiting.points[0]["entry"] == FIRST
    answered = (*MOVED, RUBBED)
    assert trials_of(*answered) == [0.0, 0.05]
    assert {"shim-effect", "trials-asked"} & codes_after(*answered) == {"shim-effect"}
    assert trials_of(*MOVED, UNPAINTED) == [0.05]
    assert "trials-asked" not in codes_after(*MOVED, UNPAINTED)


def test_what_the_last_pattern_asks_keeps_all_changes_from_teaching() -> None:
    """The last one alone tells where the pattern lies, but not what the shims did: so no amount can be given."""
    asks = structs.replace(NEAR_B, asked=(BARE,))
    happened = (*READ, blued(0.18, Move.TOWARD_B), *side_move(0.05), asks)
    assert trials_of(*happened) == [0.05]
    assert points_of("trials-asked", *happened).keys() == {"trials-wait"}
    codes = [one.code for one in actions_after(*happened)]
    assert codes.index("pattern-asked") < codes.index("shim-step")
    assert points_of("shim-step", *happened).keys() == {"no-amount-yet", "trials-ask"}
    assert trials_of(*happened, replied(FIRST + 3, Reply.RUBBED_OFF)) == [0.0, 0.05]


LAST_HELD = len(HELD)


@pytest.mark.parametrize(
    "falls",
    [(Struck(1, "print of another machine"),), (OF_MAKER,)],
)
def test_a_trial_counts_no_more_where_what_it_was_held_against_fell(falls: tuple[Event, ...]) -> None:
    maker = structs.replace(MAKER, asked=(BARE,))
    held = (maker, *HELD[1:])
    assert {"shim-step", "shim-effect"} <= codes_after(*held)
    codes = codes_after(*held, *falls)
    assert "shim-step" not in codes
    void = points_of("pattern-reference-gone", *held, *falls)
    assert "pattern-void" not in codes
    assert void == {
        "judge-against-another": {},
        "pattern-invalidated": {"by": "reference-gone", "entry": LAST_HELD + 1},
    }
    assert "shim-step" in codes_after(*held, *falls, Struck(LAST_HELD + 1, "it was right"))


def test_a_print_that_was_judged_twice_counts_as_long_as_one_of_both_does() -> None:
    assert "shim-step" in codes_after(*HELD, MAKER, Struck(1, "twice"))


def test_after_a_change_new_photos_are_asked_for_whatever_fell() -> None:
    void = points_of("pattern-void", *HELD, *side_move(0.05), Struck(1, "print of another machine"))
    assert void.keys() == {"blue-again", "pattern-invalidated"}


def test_where_trials_lay_still_teaches_once_one_is_judged_against_another_target() -> None:
    """What a shim did shows by itself; how far off it was, only against what stands."""
    fell = (*HELD, Struck(1, "print of another machine"))
    anew = placed(0.64, Move.TOWARD_B)
    trials = job_state(log(*fell, anew), SHEET).learning_trials
    assert [(one.shim_mm, round(one.shared.value, 3)) for one in trials] == [(0.0, 0.18), (0.05, 0.14), (0.05, 0.14)]
    assert "shim-step" in codes_after(*fell, anew)
    other = job_state(log(*HELD, anew), SHEET).learning_trials
    assert len(other) == 1, "as long as the reference stands, trials of two targets are not compared"


@pytest.mark.parametrize("anew", [(), (placed(0.72, Move.TOWARD_B),)])
def test_that_it_went_the_wrong_way_stops_whatever_it_was_held_against(anew: tuple[Event, ...]) -> None:
    wrong = (*HELD[:-1], placed(0.72, Move.TOWARD_B, AT_MAKER))
    assert "stop-wrong-way" in codes_after(*wrong)
    assert "stop-wrong-way" in codes_after(*wrong, Struck(1, "print of another machine"), *anew)


def test_no_gain_is_no_stop_where_the_place_itself_fell() -> None:
    unmoved = tuple(event for _ in range(3) for event in (*side_move(0.1), placed(0.68, Move.TOWARD_B, AT_MAKER)))
    happened = (*HELD[:-3], *unmoved)
    assert "stop-no-gain" in codes_after(*happened)
    assert "stop-no-gain" not in codes_after(*happened, Struck(1, "print of another machine"))


ONCE_MORE = blued(0.18, Move.TOWARD_B)
FURTHER_OFF = blued(0.3, Move.TOWARD_B)


@pytest.mark.parametrize("asks", [0, 1])
def test_a_stop_stands_also_where_a_trial_still_asks_something(asks: int) -> None:
    """In doubt a trial may hold back: the shims went the wrong way by what was read, so no more of them goes in."""
    trials = [
        structs.replace(one, asked=(BARE,)) if n == asks else one for n, one in enumerate((ONCE_MORE, FURTHER_OFF))
    ]
    happened = (*READ, trials[0], *side_move(0.05), trials[1])
    codes = [one.code for one in actions_after(*happened)]
    assert codes[:2] == [("stop-asked", "pattern-asked")[asks], "stop-wrong-way"]
    assert {"shim-step", "trials-asked"}.isdisjoint(codes)
    assert points_of(codes[0], *happened)["to-answer"]["entry"] == FIRST + 3 * asks


def test_a_stop_that_rests_on_a_fallen_trial_falls_with_it() -> None:
    happened = (*READ, ASKED, *side_move(0.05), FURTHER_OFF, UNPAINTED)
    assert "stop-wrong-way" not in codes_after(*happened)
    assert "by-face-width" in points_of("shim-step", *happened)


def test_shims_that_gained_nothing_stop_also_where_a_trial_still_asks_something() -> None:
    assert first_deed(actions_after(*READ, ASKED, *UNMOVED)).code == "stop-no-gain"


def test_two_trials_with_the_same_shims_ask_for_no_amount_to_wait() -> None:
    assert "by-face-width" in points_of("shim-step", *READ, ASKED, ONCE_MORE)


def test_a_wrong_way_is_told_of_a_centred_pattern_also_where_a_trial_still_asks() -> None:
    at_a = structs.replace(HEAVY_AT_A, asked=(BARE,))
    assert "wrong-way-yet-centred" in codes_after(*READ, at_a, *side_move(0.05), CENTRED)


def test_what_an_earlier_version_asked_without_its_code_is_told_and_holds_nothing_up() -> None:
    older = structs.replace(ASKED, asked=(BARE.told,))
    assert points_of("pattern-asked", *READ, older) == {"asked": {"told": BARE.told}}
    assert trials_of(*READ, older, *side_move(0.05), NEAR_B) == [0.0, 0.05]


@pytest.mark.parametrize(
    ("happened", "answer", "found"),
    [
        ((), replied(70, Reply.RUBBED_OFF), "There is no entry 70 in the log."),
        ((), replied(2, Reply.RUBBED_OFF), "Nothing is asked about entry 2."),
        ((CENTRED,), replied(FIRST, Reply.RUBBED_OFF), f"Nothing is asked about entry {FIRST}."),
        (
            (structs.replace(ASKED, asked=(BARE.told,)),),
            RUBBED,
            f"What is asked about entry {FIRST} was kept by another version, and takes no answer here.",
        ),
        (
            (ASKED,),
            replied(FIRST, Reply.BOTH_CONTACT),
            f"both-contact does not answer what is asked about entry {FIRST}.",
        ),
        ((ASKED, RUBBED), RUBBED, f"That was answered before, by entry {FIRST + 1}: rubbed-off."),
        ((ASKED, RUBBED), UNPAINTED, f"That was answered before, by entry {FIRST + 1}: rubbed-off."),
        ((ASKED, UNPAINTED), RUBBED, f"That was answered before, by entry {FIRST + 1}: never-painted."),
        (
            (ASKED, Struck(FIRST, "wrong tooth")),
            RUBBED,
            f"Entry {FIRST} counts no more, by entry {FIRST + 1}.",
        ),
        (
            (asking("bare-to-end", "two-places"), UNPAINTED),
            replied(FIRST, Reply.BOTH_CONTACT),
            f"Entry {FIRST} counts no more, by entry {FIRST + 1}.",
        ),
    ],
)
def test_what_cannot_be_answered_is_refused(happened: tuple[Event, ...], answer: Replied, found: str) -> None:
    with pytest.raises(WrongUse) as stop:
        refuse_impossible(answer, log(*READ, *happened), SHEET)
    assert stop.value.found == found


def test_what_can_be_answered_passes() -> None:
    struck = (*READ, ASKED, RUBBED, Struck(FIRST + 1, "it was not"))
    for happened in ((*READ, ASKED), (*READ, ASKED, *side_move(0.1), Closed()), struck):
        refuse_impossible(UNPAINTED, log(*happened), SHEET)


def test_a_line_put_in_by_hand_takes_no_other_entry_out() -> None:
    """Neither one that is no pattern, nor one that does not ask it, nor a pattern that came later."""
    happened = (replied(4, Reply.NEVER_PAINTED), *READ[:2], ASKED, replied(2, Reply.NEVER_PAINTED))
    assert len(kept_entries(log(*happened, replied(4, Reply.ONE_NO_CONTACT)))) == len(happened) + 1
