"""What the patterns show beside the direction, as a mechanic reads it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from patternscan.judging.advice import Advice, Move
from patternscan.reasons import Finding
from patternscan.reporting.text.wording import filled

ENDS = "the left flank toward end {left_end} and the right flank toward end {right_end}"
APART = f"{ENDS} by {{share:percent}} of the face width each. A side shim cannot cure this."
APART_CHECKS = (
    "Look first whether each photo was given as the flank that it shows: one mixed up looks the same.",
    "Check that both eccentric carriers stand alike.",
    "Check that the shafts are square to each other, and the centre distance and backlash.",
    "Check that worm and wheel are a matched pair.",
    "It is a fault only if the maker's own pattern was not like this.",
)
"""What to look at when the flanks pull to opposite ends, in order."""


def apart_checks(advice: Advice) -> Sequence[str]:
    """The same where the answer is that no shim brings the flanks together; nothing beside any other answer."""
    apart = advice.move is Move.NOT_BY_SHIM or advice.because.code == "crossed-early"
    return APART_CHECKS if apart else ()


LINE = "That points to unmatched parts or a wrong centre distance, not to the shims."

TEXTS: Mapping[str, str] = {
    "crossed": f"The pattern is crossed: the flanks pull to opposite ends, {APART}",
    "mixed": f"Besides the shared shift, the flanks pull apart, {APART} Look again once the shims are done. "
    f"{' '.join(APART_CHECKS)}",
    "crossed-early": f"The flanks also pull apart, {ENDS} by {{share:percent}} each. So far off the middle that "
    "says little: look again once the pattern is near its place.",
    "runs-out": "The pattern of the {flank} flank runs off end {end}. It is off by at least as much as the numbers "
    "say, and may be off by more.",
    "tip-line": f"The {{flank}} flank touches only in a line along the tip. {LINE}",
    "root-line": f"The {{flank}} flank touches only in a line along the root. {LINE}",
    "teeth-disagree": "The teeth of the {flank} flank differ by {share:percent} of the face width. Blue more teeth "
    "round the wheel and check the run-out of the wheel on its seat.",
    "too-much-marked": "Nearly the whole {flank} flank is marked. So wide a pattern hardly moves with the wheel: clean "
    "it and blue again, thinner.",
}
"""Findings in full, by their code."""
NOTES: Mapping[str, str] = {
    "crossed": "Crossed: the flanks pull to opposite ends.",
    "mixed": "The flanks also pull apart; no shim cures that.",
    "crossed-early": "The flanks also pull apart; look again near the middle.",
    "runs-out": "A pattern runs off an end.",
    "tip-line": "A flank touches only along its tip.",
    "root-line": "A flank touches only along its root.",
    "teeth-disagree": "The teeth differ round the wheel.",
    "too-much-marked": "Nearly all marked: blue again, thinner.",
}
"""What a picture says of a finding; the report says it in full."""


def finding_message(finding: Finding) -> str:
    """What was found, in full."""
    return filled(TEXTS[finding.code], finding)


def finding_notes(codes: Iterable[str]) -> list[str]:
    """One short line for each kind of finding, in their order; the last one sends the reader to the report.

    >>> finding_notes(["runs-out", "runs-out"])
    ['A pattern runs off an end. See the report.']
    """
    notes = list(dict.fromkeys(NOTES[code] for code in codes))
    return [*notes[:-1], f"{notes[-1]} See the report."] if notes else []
