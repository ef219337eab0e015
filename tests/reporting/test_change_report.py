"""What is said of two states: which way it went, how sure, and nothing that cannot be compared."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patternscan.cautions import caution
from patternscan.frame import Flank
from patternscan.judging.comparison import Target
from patternscan.judging.states.change import BeforeAfter, Change, FlankChange
from patternscan.judging.states.verdict import Verdict
from patternscan.measuring.interval import Interval
from patternscan.reasons import reason
from patternscan.reporting.text.reports.brief import change_brief
from patternscan.reporting.text.reports.change import change_report


def changed(before: float, after: float, doubt: float = 0.03) -> BeforeAfter:
    return BeforeAfter(
        Interval.around(before, doubt), Interval.around(after, doubt), Interval.around(after - before, 1.4 * doubt)
    )


LEFT = FlankChange(
    flank=Flank.LEFT,
    verdict=Verdict.BETTER,
    coverage=changed(0.30, 0.36),
    along=changed(0.38, 0.48),
    up=changed(0.5, 0.4),
    length=changed(0.5, 0.6, 0.1),
    height=changed(0.9, 0.8),
)
CHANGE = Change(
    shared=changed(-0.12, -0.02),
    opposed=changed(0.10, 0.02),
    nearer=Interval.around(0.12, 0.03),
    opposed_verdict=Verdict.BETTER,
    left=LEFT,
    right=None,
    target=Target(),
    position_comparable=True,
    coverage_comparable=True,
    why=(),
    verdict=Verdict.BETTER,
    because=reason("nearer", size=0.1, least=0.06, most=0.14, before=-0.12, after=-0.02),
)


def test_the_change_says_where_the_pattern_went_and_how_sure_that_is() -> None:
    report = change_report(CHANGE)
    assert report.startswith("# Better: the pattern came nearer to its place\n")
    for words in (
        "- Off their place: 12 % toward end A (9 to 15 %) before, 2 % toward end A (anything from 5 % toward end A to "
        "1 % toward end B) after; it went 10 % toward end B (6 to 14 %), nearer to its place.",
        "after; the flanks pull apart less.",
        "- Middle of the pattern from end A: 38 % (35 to 41 %) before, 48 % (45 to 51 %) after; it went 10 % toward "
        "end B (6 to 14 %), nearer to its place.",
        "- Middle of the pattern above the root: 50 % (47 to 53 %) before, 40 % (37 to 43 %) after; 10 % of the flank "
        "lower (6 to 14 %).",
        "- Part of the flank touched: 30 % (27 to 33 %) before, 36 % (33 to 39 %) after; 6 % of the flank more (2 to "
        "10 %).",
        "- Length along the face width: 50 % (40 to 60 %) before, 60 % (50 to 70 %) after; no difference that the "
        "photos can show.",
        "- Height of the pattern: 90 % (87 to 93 %) before, 80 % (77 to 83 %) after; 10 % of the flank lower (6 to 14 "
        "%).",
    ):
        assert words in report
    assert "## Right flank\n\n- No pattern on one of the two sides" in report


@pytest.mark.parametrize(("verdict", "word"), [(Verdict.BETTER, "Better"), (Verdict.WORSE, "Worse")])
def test_no_verdict_is_firm_where_nothing_tells_that_the_machine_is_the_same(verdict: Verdict, word: str) -> None:
    told = replace(CHANGE, verdict=verdict)
    assert change_report(told).startswith(f"# {word}: ")
    untold = replace(told, cautions=(caution("machine-untold"),))
    assert change_report(untold).startswith(f"# {word}, if both results are of one machine: ")


def test_worse_and_no_difference_have_their_words() -> None:
    left = replace(LEFT, verdict=Verdict.WORSE)
    worse = change_report(replace(CHANGE, verdict=Verdict.WORSE, opposed_verdict=Verdict.WORSE, left=left))
    assert "further from its place" in worse
    assert "the flanks pull apart more" in worse
    still = replace(LEFT, along=changed(0.48, 0.49), verdict=Verdict.NO_DIFFERENCE)
    report = change_report(replace(CHANGE, verdict=Verdict.NO_DIFFERENCE, left=still, shared=changed(0.02, 0.03)))
    assert report.startswith("# No difference that the photos can show\n")
    assert "49 % (46 to 52 %) after; no difference that the photos can show." in report


def test_what_hangs_on_the_film_is_left_out_when_it_cannot_be_compared() -> None:
    report = change_report(replace(CHANGE, coverage_comparable=False, why=(reason("compounds-differ"),)))
    for word in ("Part of the flank touched", "Length along", "Height of the pattern"):
        assert word in change_report(CHANGE)
        assert word not in report
    assert "Middle of the pattern from end A" in report
    assert (
        "## What cannot be compared\n\n- Different compounds were used, so how much was touched cannot be compared."
        in report
    )


def test_places_that_cannot_be_compared_get_no_verdict() -> None:
    left = replace(LEFT, verdict=Verdict.NOT_COMPARABLE)
    report = change_report(
        replace(
            CHANGE,
            verdict=Verdict.NOT_COMPARABLE,
            because=reason("visit-one-flank", when="before"),
            opposed_verdict=Verdict.NOT_COMPARABLE,
            left=left,
            position_comparable=False,
        )
    )
    assert report.startswith("# Cannot say whether the pattern got better\n")
    assert "- Middle of the pattern from end A: 38 % (35 to 41 %) before, 48 % (45 to 51 %) after.\n" in report
    for word in ("nearer", "further", "pull apart", "it went"):
        assert word not in report


def test_the_report_says_which_pictures_there_are_and_what_the_target_was() -> None:
    reference = replace(CHANGE, target=Target(0.4, 0.6, 0.02, 0.03, "maker/judgement.json"))
    report = change_report(reference, ["Beside judgement.json left_1.flat.jpg is not there."])
    assert "## Pictures\n\n- Beside judgement.json left_1.flat.jpg is not there." in report
    assert "the reference maker/judgement.json: 40 % (38 to 42 %) from end A on the left flank" in report
    assert "## Pictures" not in change_report(CHANGE)


@pytest.mark.parametrize("name", ["*hot*", "<b>"])
def test_words_a_person_chose_make_no_layout(name: str) -> None:
    # CommonMark 0.31, 2.4: a backslash before a sign makes it plain.
    why = (reason("films-differ", film_before=name, film_after="thin"),)
    told = caution("gear-data-impossible", found=name, remedy="Measure.")
    change = replace(CHANGE, why=why, cautions=(told,))
    assert name not in change_report(change)
    assert name.replace("*", r"\*").replace("<", r"\<").replace(">", r"\>") in change_report(change)


def test_what_only_a_person_can_tell_is_asked_before_the_reasons() -> None:
    asked = caution("visit-asked", when="after", found="Left flank, a.jpg: It is bare.", remedy="Was it painted?")
    change = replace(CHANGE, cautions=(caution("film-unknown"), asked))
    question = "Photos taken after the move: Left flank, a.jpg: It is bare. Was it painted?"
    report = change_report(change)
    assert f"**First:** {question}\n\n**Why:**" in report
    assert report.count("Was it painted?") == 1
    assert "thick the compound lay" in report
    brief = " ".join(change_brief(change, "Barn hoist").split())
    assert brief.index(question) < brief.index("Better")
