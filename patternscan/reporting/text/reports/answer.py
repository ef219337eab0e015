"""What a person reads first of a judgement: what to do in one line, and the few doubts that matter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from patternscan.cautions import NOT_THIS_GEAR, Caution
from patternscan.judging.advice import ASKED_FIRST, UNSURE, Move, ShimAdvice, ShimChange
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.cautions import caution_messages, caution_remedy
from patternscan.reporting.text.findings import NOTES
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.wording import MARKED, MOVE_WORDS, as_markdown
from patternscan.units import length_words

if TYPE_CHECKING:
    from patternscan.judging.judgement import Declined, Judgement

A_CHECK = (
    "Is the painted A where the round A stands in the photo?",
    "If not, the answer is the wrong way round.",
)
END_CHECK = " ".join(A_CHECK)
WRITTEN_A_CHECK = ("Is the A that was written on it where the round A stands?", A_CHECK[1])
"""The same of a print on tape or paper."""
BY_TAG = "A printed tag in the photo shows which end is A."
MOST_DOUBTS = 2
"""More are not read by a person in a pit."""
LAMP = "lamp to the side"
LIGHT = "more light, from the side"
IN_FRONT = "nothing in front of the flank"
RETAKE: Mapping[str, str] = {
    "much-cut-off": "the whole tooth in the picture",
    "too-small": "go closer",
    "too-oblique": "stand square to the flank",
    "too-blurred": "hold still and tap on the tooth",
    "too-bright": "flash off, lamp further away",
    "much-glare": LAMP,
    "far-too-dark": LIGHT,
    "much-covered": IN_FRONT,
    "little-judged": "the whole flank seen, without shine or deep shade",
    "contact-unclear": "in daylight, without shine",
    "cut-off": "the whole tooth in the picture",
    "small": "go closer",
    "oblique": "stand square to the flank",
    "blurred": "hold still and tap on the tooth",
    "glare": LAMP,
    "too-dark": LIGHT,
    "covered": IN_FRONT,
    "no-compound": "no compound is seen on the flank",
    "unreadable": "the file cannot be read",
}
"""How to take a photo again, or why, by what is at fault: a caution about it, or why it could not be read."""
CURED = {*RETAKE, "end-off-edges", "end-off-shape"}
"""Faults that have a cure of their own in the headline, where a reading is too close to call."""
BY_HAND = "no-outline"
"""A photo in which the flank was not found needs no other photo, but a hand."""
CLOSE_CALL = "Leave the shims for now and photograph more teeth: it is too close to call"
BLUE_AGAIN = "Blue again and turn the worm under light drag: no contact is seen"


def judgement_headline(judgement: Judgement) -> str:
    """The answer with its shim, or what to do when there is no answer; without a full stop."""
    advice = judgement.advice
    if advice.move is Move.CANNOT_SAY:
        return _instead(judgement)
    shim = _shim(advice.shims) if advice.move in (Move.TOWARD_A, Move.TOWARD_B) else None
    sure = ", with little certainty" if advice.because.code == "toward-unsure" else ""
    if shim is None:
        return f"{MOVE_WORDS[advice.move]}{sure}"
    return f"{shim}: the wheel moves toward end {'A' if advice.move is Move.TOWARD_A else 'B'}{sure}"


def end_check(judgement: Judgement) -> list[str]:
    """What a person has to look up before the answer is believed; nothing where there is none, or tags show it."""
    if judgement.advice.move is Move.CANNOT_SAY:
        return []
    return [end_words((*judgement.left, *judgement.right))]


def end_words(readings: Sequence[Reading]) -> str:
    """What to look for at the ends, or that a tag shows them in every photo."""
    if readings and all(one.ends_by_tag for one in readings):
        return BY_TAG
    prints = readings and all(one.outline.lift is not None for one in readings)
    return " ".join(WRITTEN_A_CHECK) if prints else END_CHECK


def why_sentence(judgement: Judgement) -> str:
    """Why the answer is what it is; that there is none is said first."""
    advice = judgement.advice
    because = reason_sentence(advice.because)
    return f"{MOVE_WORDS[advice.move]}. {because}" if advice.move is Move.CANNOT_SAY else because


def _shim(shims: ShimAdvice) -> str | None:
    """Which shims to change and by how much; None when it is not known which."""
    if shims.carrier is None or shims.change in (ShimChange.NONE, ShimChange.UNKNOWN):
        return None
    amount = "shims" if shims.amount_mm is None else length_words(shims.amount_mm)
    if shims.change is ShimChange.ADD:
        return f"Add {amount} under carrier {shims.carrier}"
    return f"Remove {amount} from under carrier {shims.carrier}"


def _instead(judgement: Judgement) -> str:
    """What to do where no direction can be told."""
    because = judgement.advice.because
    if because.caution is not None:
        return _cure(because.caution)
    if because.code == "no-contact-read":
        return BLUE_AGAIN
    if because.code == "one-flank":
        flank, declined = str(because["lacking"]).upper(), lacking(judgement)
        return _again(flank, declined[0].photo, declined[0].blame) if declined else f"Photograph the {flank} flank too"
    poor = next((one for one in judgement.cautions if one.code in UNSURE and one.code in CURED), None)
    return CLOSE_CALL if poor is None else _cure(poor)


def lacking(judgement: Judgement) -> list[Declined]:
    """The photos that could not be read of the flank of which there is no reading."""
    because = judgement.advice.because
    return [one for one in judgement.declined if because.code == "one-flank" and one.flank == because["lacking"]]


def _again(flank: str, photo: str, fault: str) -> str:
    """What to do about a photo that gives no answer."""
    if fault == BY_HAND:
        return f"Mark the {flank} flank in {photo} by hand: the tool did not find it"
    return f"Take the {flank} photo ({photo}) again: {RETAKE[fault]}"


def _cure(caution: Caution) -> str:
    """What to do about the caution that forbids an answer."""
    flank = caution.flank.value.upper() if caution.flank is not None else ""
    if caution.code in RETAKE and caution.photo is not None:
        return _again(flank, caution.photo, caution.code)
    if caution.code == ASKED_FIRST:
        return f"Look how the teeth were marked: the {flank} flank looks {MARKED[str(caution['seen'])]}"
    remedy = caution_remedy(caution).split(". ")[0].rstrip(".")
    return f"{flank} photo ({caution.photo}): {remedy}" if caution.photo is not None else remedy


def doubts_that_matter(judgement: Judgement) -> list[str]:
    """At most two: why the answer has little certainty, what may turn it, a sheet that is not this wheel's, what the
    pattern shows beside it, then what makes it less sure.

    What the headline already tells is not told again.
    """
    return [*_doubts(judgement)][:MOST_DOUBTS]


def _doubts(judgement: Judgement) -> Iterator[str]:
    told = judgement.advice.because
    if told.caution is not None and judgement.advice.move is not Move.CANNOT_SAY:
        yield from _messages([told.caution])
    grave = [one for one in judgement.cautions if one.grave and one != told.caution]
    yield from _messages(sorted(grave, key=lambda one: one.code != ASKED_FIRST))
    yield from _messages([one for one in judgement.cautions if one.code in NOT_THIS_GEAR and one not in grave])
    yield from dict.fromkeys(NOTES[one.code] for one in judgement.advice.findings if one.code != told.code)
    yield from _messages([one for one in judgement.cautions if one.widens and not one.grave and one != told.caution])


def other_doubts(judgement: Judgement) -> list[str]:
    """Every doubt that is not among those that matter, with what to do about it."""
    told = doubts_that_matter(judgement)
    listed = caution_messages(sorted(judgement.cautions, key=lambda one: not one.grave))
    return [
        f"{as_markdown(message)} **Do:** {as_markdown(remedy)}"
        for message, remedy in listed.items()
        if f"{message} {remedy}" not in told
    ]


def _messages(cautions: list[Caution]) -> Iterator[str]:
    return (f"{message} {remedy}" for message, remedy in caution_messages(cautions).items())
