"""Why an answer is what it is, in one sentence."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.calibration.judging import LARGEST_CHANGE_MM, TIMES_LARGEST_CHANGE
from patternscan.cautions import Statement
from patternscan.reasons import Reason
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.wording import filled
from patternscan.units import length_words

NEARER = "The pattern lies {size:percent} of the face width nearer to its place"
FURTHER = "The pattern lies {size:percent} of the face width further from its place"
NUMBERS = "({least:whole} to {most:percent}): {before:off} before and {after:off} after"
BEYOND = "so it now lies on the other side of it"
BACK = (
    "{step_mm:change}, {back_mm:fine} of it back to the shims with which the pattern lay nearer, and beyond them "
    "{beyond_mm:fine}"
)
HALF = "half of what the readings point to"
CAPPED = (
    f"no more than {TIMES_LARGEST_CHANGE:g} times the largest change so far, "
    f"and no more than {length_words(LARGEST_CHANGE_MM)} at once"
)
SAME_SIDE = "all readings lie on the same side, and the pattern moves faster the nearer it comes to its place"
OFF_ENDS = (
    "where it runs off: that tells neither how far nor which way the wheel would have to go, and no shim brings both "
    "back."
)
NOT_COMPARED = "so how much was touched cannot be compared"

TEXTS: Mapping[str, str] = {
    "toward": "Taken together, the two flanks carry the pattern {share:percent} of the face width off toward end "
    "{end}, so the wheel sits too far toward end {end:other_end}: move it toward end {end}.",
    "toward-unsure": "With little certainty: taken together, the two flanks carry the pattern {share:percent} of the "
    "face width off toward end {end}, so the wheel sits too far toward end {end:other_end}: move it toward end {end}. "
    "{caution} {remedy}",
    "in-place": "Taken together, both flanks carry the pattern in its place along the face: leave the wheel.",
    "crossed": "The left flank carries the pattern toward end {left_end} and the right flank toward end {right_end}, "
    "by {share:percent} of the face width each: a side shim moves both the same way and cannot cure that.",
    "crossed-early": "The left flank carries the pattern to end {left_end} and the right flank to end {right_end}, "
    f"{OFF_ENDS}",
    "small-shift": "Taken together the flanks lie {share:percent} of the face width off toward end {end}: too little "
    "to move the wheel for, and too uncertain to call it centred.",
    "centred-unsure": "Taken together the flanks look centred, but the reading is too uncertain to rely on it.",
    "within-uncertainty": "Taken together the flanks lie {share:percent} of the face width off toward end {end}, but "
    "that is within the uncertainty of the reading.",
    "grave-caution": "What was read gives no direction. {caution}",
    "no-contact-read": "Neither flank shows contact, so there is nothing to compare.",
    "one-flank": "There is no reading of the {lacking} flank, and one flank alone points the right way only about two "
    "times in three.",
    "nearer": f"{NEARER} {NUMBERS}.",
    "further": f"{FURTHER} {NUMBERS}.",
    "nearer-beyond": f"{NEARER} {NUMBERS}, {BEYOND}.",
    "further-beyond": f"{FURTHER} {NUMBERS}, {BEYOND}.",
    "no-difference": "Taken together the flanks lie {before:off} before and {after:off} after; the difference is "
    "within the uncertainty of the readings.",
    "visit-one-flank": "The result {when} the move lacks a flank, and it takes both to tell which way the "
    "wheel is off.",
    "visit-gone": "Do not go by this comparison. The {when:visit} photos, entry {entry} of the job: {answer:gone}.",
    "visit-reference-gone": "Do not go by this comparison. What the {when:visit} photos were held against, entry "
    "{entry} of the job: {answer:gone}.",
    "visit-too-poor": "What was read {when} the move gives no direction. {found} {cure}",
    "cut-from-one": "A photo of before and one of after look like pieces cut out of one and the same photo: photograph "
    "the flank again, after the move.",
    "teeth-unlike": "The teeth look like those of two wheels: {before:tenth} times as wide as high before, "
    "{after:tenth} times after.",
    "places-by-marking": "The teeth were marked in different ways, and nothing in the two results tells that they are "
    "of one machine: judge both with its sheet.",
    "markings-differ": f"The teeth were marked in different ways, {NOT_COMPARED}.",
    "media-differ": "The flank itself was photographed on one visit and its print on tape or paper on the other, "
    f"{NOT_COMPARED}.",
    "compounds-differ": f"Different compounds were used, {NOT_COMPARED}.",
    "film-not-noted": f"The film of compound was not noted {{when}} the move, {NOT_COMPARED}.",
    "films-differ": f"The film was '{{film_before}}' before and '{{film_after}}' after, {NOT_COMPARED}.",
    "no-reading": "There is no reading yet: photograph both flanks first.",
    "leave-shims": "Taken together, both flanks carry the pattern in its place along the face: leave the shims.",
    "wrong-way": "{caution} {remedy}",
    "no-gain": "Shims changed by {changed_mm:fine} in all have not yet shown a gain: stop and look why. See with a "
    "dial that the wheel moves with its shims, and the way that the sheet says; check the end play, both carriers, and "
    "whether worm and wheel belong together.",
    "trials-ask": "Answer first what is asked about the patterns: how far a shim moves this wheel is learned from "
    "them.",
    "trials-unclear": "All readings with these shims together put the pattern {share:percent} of the face width off "
    "its place, too little or too uncertain to shim for: blue again and read more teeth.",
    "by-gear-data": "{step_mm:change} as a first step, at most two thirds of what the gear data point to, as no "
    "trial has shown yet what a shim does here.",
    "by-face-width": "{step_mm:change} as a first step, by the face width and by how far the pattern is off.",
    "by-shift": "{step_mm:change} as a first step, by how far the pattern is off. Measure the face width with a ruler "
    "and write it on the sheet: the step is surer then.",
    "either-way": "Change the shims by {by_mm:fine} either way, to find out what a shim does here, which the sheet "
    "does not say.",
    "effect-unclear": "From {from_mm:pack} to {to_mm:pack} the pattern moved less than the readings are sure of, so "
    "no amount can be given: read more teeth, or go on the same way by another small step and blue again.",
    "hardly-moved": "{step_mm:change}: from {from_mm:pack} to {to_mm:pack} the pattern moved no more than the readings "
    "are sure of, as it does while it runs off an end, so go further.",
    "thinnest-step": "The thinnest change that can be made with the shims on hand, {thinnest_mm:fine}, moves the "
    "pattern by {share:percent} of the face width: leave it.",
    "thinner-shims": "{step_mm:change}, of thinner shims than those on hand: the thinnest change that these make, "
    "{thinnest_mm:fine}, moves the pattern by {share:percent} of the face width.",
    "moved-too-far": "From {from_mm:pack} to {to_mm:pack} the pattern moved {share:percent} of the face width, and no "
    "shim made is thin enough to bring it to its place. No wheel moves its pattern so far by so little. Stop, and look "
    "at the photos of both patterns: where the painted A is, and whether each was given as the flank that it shows. "
    "Strike the pattern that was mixed up. If none was, look whether the shims were changed by more than is noted.",
    "to-nearest-pack": "{step_mm:change}, back to the shims with which the pattern lay nearest: those on hand make no "
    "pack that brings it nearer.",
    "trials-contradict": "The readings contradict each other: by the last one the shims have to change one way, by the "
    "others the other way; blue again and read more teeth.",
    "between": "{step_mm:change}: the pattern lay on one side of its place with {thin_mm:pack} and on the other with "
    "{thick_mm:pack}, so the right pack lies between.",
    "half-way": f"{{step_mm:change}}, {HALF}: {SAME_SIDE}.",
    "as-capped": f"{{step_mm:change}}, {CAPPED}: {SAME_SIDE}.",
    "back-half-way": f"{BACK}, {HALF}: {SAME_SIDE}.",
    "back-as-capped": f"{BACK}, {CAPPED}: {SAME_SIDE}.",
}
"""Reasons by their code; ``caution`` and ``remedy`` are the words of the caution that comes with a reason."""


def reason_sentence(reason: Reason) -> str:
    """The reason, with the words of the caution that it rests on."""
    if reason.caution is None:
        return reason_alone(reason)
    return _worded(reason, caution_message(reason.caution), caution_remedy(reason.caution))


def reason_alone(reason: Reason) -> str:
    """The reason without the words of its caution, which are told beside it."""
    return _worded(reason, "", "")


def _worded(reason: Reason, caution: str, remedy: str) -> str:
    values = (*reason.values, ("caution", caution), ("remedy", remedy))
    return filled(TEXTS[reason.code], Statement(reason.code, values)).strip()
