"""What a person reads first of a judgement: what to do, in one line, and why."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.judging.advice import Move, ShimAdvice, ShimChange
from patternscan.reporting.text.answers.cure import what_to_do
from patternscan.reporting.text.reasons import reason_alone
from patternscan.reporting.text.wording import MOVE_WORDS
from patternscan.units import length_words

if TYPE_CHECKING:
    from patternscan.judging.judgement import Judgement


def judgement_headline(judgement: Judgement) -> str:
    """The answer with its shim, or what to do when there is no answer; without a full stop."""
    advice = judgement.advice
    if advice.move is Move.CANNOT_SAY:
        return what_to_do(judgement)
    shim = _shim(advice.shims) if advice.move in (Move.TOWARD_A, Move.TOWARD_B) else None
    sure = ", with little certainty" if advice.because.code == "toward-unsure" else ""
    if shim is None:
        return f"{MOVE_WORDS[advice.move]}{sure}"
    return f"{shim}: the wheel moves toward end {'A' if advice.move is Move.TOWARD_A else 'B'}{sure}"


def why_sentence(judgement: Judgement) -> str:
    """Why the answer is what it is; that there is none is said first. What is wrong with a photo is told beside it."""
    because = judgement.advice.because
    if judgement.advice.move is not Move.CANNOT_SAY:
        return reason_alone(because)
    none = f"{MOVE_WORDS[Move.CANNOT_SAY]}."
    return none if because.caution is not None else f"{none} {reason_alone(because)}"


def _shim(shims: ShimAdvice) -> str | None:
    """Which shims to change and by how much; None when it is not known which."""
    if shims.carrier is None or shims.change in (ShimChange.NONE, ShimChange.UNKNOWN):
        return None
    amount = "shims" if shims.amount_mm is None else length_words(shims.amount_mm)
    if shims.change is ShimChange.ADD:
        return f"Add {amount} under carrier {shims.carrier}"
    return f"Remove {amount} from under carrier {shims.carrier}"
