"""What to do first where no direction can be told: the one thing that stands in the way, and its cure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from patternscan.cautions import NOT_THIS_GEAR, Caution
from patternscan.judging.advice import ASKED_FIRST, UNSURE, Move
from patternscan.reporting.text.cautions import caution_remedy
from patternscan.reporting.text.wording import listed

if TYPE_CHECKING:
    from patternscan.judging.judgement import Declined, Judgement

LAMP = "lamp to the side"
LIGHT = "more light, from the side"
EVEN_LIGHT = "in even light, without shine"
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
    "contact-unclear": EVEN_LIGHT,
    "weak-contrast": EVEN_LIGHT,
    "cut-off": "the whole tooth in the picture",
    "small": "go closer",
    "oblique": "stand square to the flank",
    "blurred": "hold still and tap on the tooth",
    "glare": LAMP,
    "too-dark": LIGHT,
    "covered": IN_FRONT,
    "no-colours": "in colours",
    "no-tooth": "no tooth is seen in it",
    "no-compound": "no compound is seen on the flank",
    "unreadable": "the file cannot be read",
}
"""How to take a photo again, or why, by what is at fault: a caution about it, or why it could not be read."""
LIGHT_FAULTS = frozenset({"far-too-dark", "too-dark", "too-bright", "much-glare", "glare"})
"""Faults that make it unclear what is compound: where one is told, its cure comes before the general one."""
CURED = {*RETAKE, "end-off-edges", "end-off-shape"}
"""Faults that have a cure of their own in the headline, where a reading is too close to call."""
BY_HAND: Mapping[str, str] = {
    "no-outline": "the tool did not find it",
    "no-flank-there": "it is not seen at the place that was given",
}
"""Why a photo needs no other one, but a hand, by what is at fault."""
NOTHING_READ = ("no-contact-read", "one-flank")
"""Reasons why there is nothing to compare, whatever else is wrong with the photos that were read."""
CLOSE_CALL = "Leave the shims for now and photograph more teeth: it is too close to call"
OFF_ENDS = "Leave the shims for now: no shim brings both flanks back"
BLUE_AGAIN = "Blue again and turn the worm under light drag: no contact is seen"
WHICH_WAY = "Find out which was painted, the worm or the teeth, and judge again if the marking was given wrong"


def what_to_do(judgement: Judgement) -> str:
    """What to do where no direction can be told; without a full stop."""
    because, faults = judgement.advice.because, cured(judgement)
    if faults:
        return _cure(faults, judgement.cautions)
    if because.code == "no-contact-read":
        return BLUE_AGAIN
    if because.code == "crossed-early":
        return OFF_ENDS
    if because.code == "one-flank":
        flank, declined = str(because["lacking"]).upper(), lacking(judgement)
        return _again(flank, declined) if declined else f"Photograph the {flank} flank too"
    return CLOSE_CALL


def resting_on(judgement: Judgement) -> list[Caution]:
    """The caution that the answer rests on, on each photo where it stands; nothing where it rests on none."""
    reason = judgement.advice.because.caution
    same = [] if reason is None else [one for one in judgement.cautions if one.code == reason.code]
    return same or [one for one in [reason] if one is not None]


def cured(judgement: Judgement) -> list[Caution]:
    """The cautions whose cure is what to do: those that forbid an answer, or that leave it too close to call."""
    if judgement.advice.move is not Move.CANNOT_SAY or judgement.advice.because.code in NOTHING_READ:
        return []
    poor = next((one.code for one in judgement.cautions if one.code in UNSURE and one.code in CURED), None)
    return resting_on(judgement) or [one for one in judgement.cautions if one.code == poor]


def lacking(judgement: Judgement) -> list[Declined]:
    """The photos that could not be read of the flank of which there is no reading."""
    because = judgement.advice.because
    return [one for one in judgement.declined if because.code == "one-flank" and one.flank == because["lacking"]]


def by_hand(judgement: Judgement) -> list[Declined]:
    """The photos of that flank that need no other one, but a hand that marks the flank: those at fault as the first."""
    declined = lacking(judgement)
    return [one for one in declined if one.blame == declined[0].blame and one.blame in BY_HAND]


def _again(flank: str, declined: Sequence[Declined]) -> str:
    """What to do about photos of one flank that could not be read: those at fault as the first one is."""
    fault = declined[0].blame
    names = [one.photo for one in declined if one.blame == fault]
    if fault in BY_HAND:
        return f"Mark the {flank} flank in {listed(names)} by hand: {BY_HAND[fault]}"
    return f"Take the {_photos([flank], names)} again: {RETAKE[fault]}"


def _plainer(fault: Caution, others: Sequence[Caution]) -> str:
    """The code of a fault, or of the light on its photo where that is why it stands there."""
    light = (one.code for one in others if one.photo == fault.photo and one.code in LIGHT_FAULTS)
    return next(light, fault.code) if RETAKE[fault.code] == EVEN_LIGHT else fault.code


def _cure(faults: Sequence[Caution], others: Sequence[Caution]) -> str:
    """What to do about one fault, on however many photos; ``others``: all cautions."""
    first = faults[0]
    flanks = [*dict.fromkeys(one.flank.value.upper() for one in faults if one.flank is not None)]
    names = [*dict.fromkeys(one.photo for one in faults if one.photo is not None)]
    if first.code == ASKED_FIRST:
        return WHICH_WAY
    if first.code in RETAKE and flanks and names:
        return f"Take the {_photos(flanks, names)} again: {RETAKE[_plainer(first, others)]}"
    remedy = caution_remedy(first).split(". ")[0].rstrip(".")
    if not flanks or (first.code in NOT_THIS_GEAR and len(flanks) > 1):
        return remedy
    return f"{listed(flanks)} flank{'s' if len(flanks) > 1 else ''}: {remedy}"


def _photos(flanks: Sequence[str], names: Sequence[str]) -> str:
    """Photos by their flanks and names.

    >>> _photos(["LEFT"], ["a.jpg"])
    'LEFT photo (a.jpg)'
    >>> _photos(["LEFT", "RIGHT"], ["a.jpg", "b.jpg"])
    'LEFT and RIGHT photos (a.jpg and b.jpg)'
    """
    return f"{listed(flanks)} photo{'s' if len(names) > 1 else ''} ({listed(names)})"
