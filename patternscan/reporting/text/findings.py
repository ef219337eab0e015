"""What the patterns show beside the direction, as a mechanic reads it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from patternscan.cautions import Finding
from patternscan.reporting.text.wording import filled

APART = (
    "the left flank toward {left_end} and the right flank toward {right_end} by {share:percent} of the face width "
    "each. A side shim cannot cure this. Check that the shafts are square, that both eccentrics stand alike, the "
    "centre distance and backlash, and that worm and wheel are a matched pair. It is a fault only if the maker's own "
    "pattern was not like this."
)
LINE = "That points to unmatched parts or a wrong centre distance, not to the shims."

TEXTS: Mapping[str, str] = {
    "crossed": f"The pattern is crossed: the flanks pull to opposite ends, {APART}",
    "mixed": f"Besides the shared shift, the flanks pull apart, {APART}",
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
