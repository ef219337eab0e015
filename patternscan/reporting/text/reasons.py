"""Why an answer is what it is, in one sentence."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.cautions import Reason
from patternscan.reporting.text.cautions import caution_message
from patternscan.reporting.text.templates import filled

NEARER = "The pattern lies {size:percent} of the face width nearer to its place"
FURTHER = "The pattern lies {size:percent} of the face width further from its place"
NUMBERS = "({least:whole} to {most:percent}): {before:off} before and {after:off} after"
BEYOND = "so it now lies on the other side of it"
NOT_COMPARED = "so how much was touched cannot be compared"

TEXTS: Mapping[str, str] = {
    "toward": "Taken together, the two flanks carry the pattern {share:percent} of the face width off toward end "
    "{end}, so the wheel sits too far toward end {end:other_end}: move it toward end {end}.",
    "in-place": "Taken together, both flanks carry the pattern in its place along the face: leave the wheel.",
    "small-shift": "Taken together the flanks lie {share:percent} of the face width off toward end {end}: too little "
    "to move the wheel for, and too uncertain to call it centred.",
    "centred-unsure": "Taken together the flanks look centred, but the reading is too uncertain to rely on it.",
    "within-uncertainty": "Taken together the flanks lie {share:percent} of the face width off toward end {end}, but "
    "that is less than the doubt of the reading.",
    "grave-caution": "What was read gives no direction.",
    "no-contact-read": "Neither flank shows contact, so there is nothing to compare.",
    "one-flank": "There is no reading of the {lacking} flank, and one flank alone points the right way only about two "
    "times in three.",
    "nearer": f"{NEARER} {NUMBERS}.",
    "further": f"{FURTHER} {NUMBERS}.",
    "nearer-beyond": f"{NEARER} {NUMBERS}, {BEYOND}.",
    "further-beyond": f"{FURTHER} {NUMBERS}, {BEYOND}.",
    "no-difference": "Taken together the flanks lie {before:off} before and {after:off} after; the difference is "
    "within the doubt of the readings.",
    "visit-one-flank": "The result {when} does not have both flanks, and which way the wheel is off takes both.",
    "visit-too-poor": "What was read {when} gives no direction. {found}",
    "markings-differ": f"The teeth were marked in different ways, {NOT_COMPARED}.",
    "compounds-differ": f"Different compounds were used, {NOT_COMPARED}.",
    "film-not-noted": f"The film of compound was not noted {{when}}, {NOT_COMPARED}.",
    "films-differ": f"The film was '{{film_before}}' before and '{{film_after}}' after, {NOT_COMPARED}.",
}
"""Reasons by their code."""


def reason_sentence(reason: Reason) -> str:
    """The reason, with the caution that forbids an answer where one does."""
    sentence = filled(TEXTS[reason.code], reason)
    return sentence if reason.caution is None else f"{sentence} {caution_message(reason.caution)}"
