"""Both flanks of one machine in words: the direction first, then why, then what to do."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.frame import Flank, Made, percent
from patternscan.judging.advice import Advice, Move, ShimAdvice, ShimChange
from patternscan.judging.comparison import Comparison, PooledFlank
from patternscan.judging.judgement import Judgement
from patternscan.reporting.text.answers.doubts import beside_lines, resting_lines
from patternscan.reporting.text.answers.ends import end_check
from patternscan.reporting.text.answers.headline import judgement_headline, why_sentence
from patternscan.reporting.text.findings import apart_checks, finding_message
from patternscan.reporting.text.reports.about import about_judgement
from patternscan.reporting.text.reports.acceptance import acceptance_section
from patternscan.reporting.text.reports.estimate import estimate_lines, step_words
from patternscan.reporting.text.reports.parts import (
    DOUBTS,
    IN_PERCENT,
    reference_lines,
    report_text,
    section_lines,
)
from patternscan.reporting.text.reports.reading import unjudged_lines
from patternscan.reporting.text.safety import LIMIT, SAFETY, safety_lines
from patternscan.reporting.text.wording import as_markdown, flank_name, shift_with_range, with_range
from patternscan.units import count_words

SHIMS, WAS_READ = "Shims", "What was read"
IN_ORDER = "What to check, in this order:"
NOT_CURED = (
    "Patterns at opposite ends on the two flanks: look at shaft angle, eccentrics, centre distance and whether worm "
    "and wheel are a matched pair.",
    "A pattern high at the tip or low at the root, or only a line: look at centre distance and parts.",
    "Teeth that differ round the wheel: look at run-out of the wheel on its seat.",
)
BY_TRIAL = (
    "How much is found by trial: change one thin shim, tighten, blue again, judge again and compare. "
    "The next step follows from how far the pattern went."
)


def judgement_report(judgement: Judgement, made: Made | None = None) -> str:
    """The report on both flanks of one machine; ``made`` tells when and by whom."""
    lines = [f"# {as_markdown(judgement_headline(judgement))}", ""]
    about = about_judgement(judgement, made)
    for line in (about, *end_check(judgement)):
        lines += [as_markdown(line), ""] if line else []
    why = [as_markdown(why_sentence(judgement)), *resting_lines(judgement)]
    lines += [*safety_lines(), "", f"**Why:** {' '.join(why)}"]
    for title, entries in judgement_sections(judgement).items():
        lines += section_lines(title, entries)
    return report_text([*lines, "", LIMIT])


def judgement_sections(judgement: Judgement) -> dict[str, Sequence[str]]:
    """What there is to say on both flanks under each heading, in their order; nothing to say under some of them."""
    return {
        SHIMS: _shims(judgement.advice),
        WAS_READ: [*_numbers(judgement.comparison), *unjudged_lines([*judgement.left, *judgement.right])],
        "How far off in mm, and why": estimate_lines(judgement),
        **acceptance_section(judgement.acceptance),
        "What else the pattern shows": _beside(judgement.advice),
        DOUBTS: beside_lines(judgement),
        "What a shim cannot cure": NOT_CURED,
        "Safety": SAFETY,
    }


def _beside(advice: Advice) -> list[str]:
    """What is found beside what the answer itself says."""
    return [finding_message(one) for one in advice.findings if one.code != advice.because.code]


def _numbers(comparison: Comparison) -> list[str]:
    lines = [
        _flank_line(Flank.LEFT, comparison.left, comparison.target.left),
        _flank_line(Flank.RIGHT, comparison.right, comparison.target.right),
    ]
    return [*lines, *shift_lines(comparison)]


def shift_lines(comparison: Comparison) -> list[str]:
    """What the flanks share and in what they oppose each other, and how to read such numbers."""
    lines = reference_lines(comparison.target)
    if comparison.shared is not None:
        lines.append(f"Both flanks together are off their target by {shift_with_range(comparison.shared)}.")
    if comparison.opposed is not None:
        lines.append(
            f"Against each other the left flank lies {shift_with_range(comparison.opposed)}, the right opposite."
        )
    if comparison.left is not None or comparison.right is not None:
        lines.append(IN_PERCENT)
    return lines


def _flank_line(flank: Flank, pooled: PooledFlank | None, target: float) -> str:
    name = flank_name(flank)
    if pooled is None:
        return f"{name}: no reading."
    return (
        f"{name} ({count_words(pooled.teeth, 'tooth', 'teeth')}): middle of the pattern "
        f"{with_range(pooled.along)} from end A, target {percent(target)}; touched {with_range(pooled.coverage)} of "
        "the flank."
    )


def _shims(advice: Advice) -> list[str]:
    shims = advice.shims
    if advice.move is Move.STAY:
        return ["Leave the shims as they are."]
    if advice.move is Move.NOT_BY_SHIM:
        return ["Leave the shims as they are.", IN_ORDER, *apart_checks(advice)]
    if advice.move is Move.CANNOT_SAY:
        checks = apart_checks(advice)
        return ["No shim is advised as long as the direction is not known.", *([IN_ORDER, *checks] if checks else [])]
    return [_shim_change(shims), _amount(shims), _what_must_follow(advice.move)]


def _shim_change(shims: ShimAdvice) -> str:
    if shims.carrier is None or shims.change in (ShimChange.UNKNOWN, ShimChange.NONE):
        return (
            "Which shims to change is not known, as nobody has noted yet what a shim does on this machine. "
            "See in the maker's manual which carrier moves the wheel, and write it in the sheet under [shims]."
        )
    verb = "Add shims under" if shims.change is ShimChange.ADD else "Remove shims from under"
    return f"{verb} the carrier at end {shims.carrier}."


def _amount(shims: ShimAdvice) -> str:
    return BY_TRIAL if shims.amount_mm is None else step_words(shims.amount_mm)


def _what_must_follow(move: Move) -> str:
    there, back = ("A", "B") if move is Move.TOWARD_A else ("B", "A")
    return (
        f"As the wheel goes toward end {there}, the pattern must move toward end {back}. "
        "If it goes the other way, stop and look again which end carries the letter A."
    )
