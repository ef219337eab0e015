"""What the pattern shows beside the direction, and why an answer is what it is, as codes with values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patternscan.cautions import Caution, Kind, Statement, Value, in_order


@dataclass(frozen=True, slots=True)
class Finding(Statement):
    """Something that the pattern shows beside the direction."""


@dataclass(frozen=True, slots=True)
class Reason(Statement):
    """Why an answer is what it is; ``caution`` is the grave one that forbids an answer, where one does."""

    caution: Caution | None = None


def finding(code: str, **values: Value) -> Finding:
    """A finding of that kind. Raises KeyError for an unknown code, ValueError for other values than its kind has."""
    return Finding(code, in_order(FINDINGS[code], values))


def reason(code: str, because_of: Caution | None = None, **values: Value) -> Reason:
    """A reason of that kind. Raises KeyError for an unknown code, ValueError for other values than its kind has."""
    return Reason(code, in_order(REASONS[code], values), because_of)


FINDINGS: Mapping[str, Kind] = {
    kind.code: kind
    for kind in (
        Kind("crossed", "the flanks pull to opposite ends", ("left_end", "right_end", "share")),
        Kind("mixed", "beside a shared shift the flanks pull apart", ("left_end", "right_end", "share")),
        Kind("crossed-early", "the same, but too far off to tell yet", ("left_end", "right_end", "share")),
        Kind("runs-out", "the pattern of a flank runs out at an end", ("flank", "end")),
        Kind("tip-line", "a flank touches in a line along its tip only", ("flank",)),
        Kind("root-line", "a flank touches in a line along its root only", ("flank",)),
        Kind("teeth-disagree", "the teeth of a flank differ by this part of the face width", ("flank", "share")),
        Kind("too-much-marked", "nearly the whole flank is marked", ("flank",)),
    )
}
"""Every finding by its code."""

GONE = ("when", "entry", "answer")
"""The visit, its entry in a job, and the answer by which that counts no more; None where it was struck."""
BACK = ("step_mm", "back_mm", "beyond_mm")
"""A whole change of shims, and its parts: back to an earlier pack, and beyond it."""
FURTHER = ("step_mm", "from_mm", "to_mm")
"""A change of shims, and the packs between which the pattern hardly moved."""
FURTHEST = ("from_mm", "to_mm", "share")
"""Two packs, and how far the pattern moved between them."""
THINNEST = ("thinnest_mm", "share")
"""The thinnest change that the shims on hand make, and how far it moves the pattern."""

REASONS: Mapping[str, Kind] = {
    kind.code: kind
    for kind in (
        # the advice
        Kind("toward", "the pattern lies off toward this end, so the wheel sits toward the other", ("end", "share")),
        Kind("toward-unsure", "the same, with little certainty because of a caution", ("end", "share")),
        Kind("in-place", "both flanks carry the pattern in its place"),
        Kind("crossed", "the flanks pull to opposite ends", ("left_end", "right_end", "share")),
        Kind("crossed-early", "they do, and one runs out there: both together tell nothing", ("left_end", "right_end")),
        Kind("small-shift", "the shift is small, yet beyond its uncertainty", ("end", "share")),
        Kind("centred-unsure", "the flanks look centred, but the reading is uncertain"),
        Kind("within-uncertainty", "the shift is less than its uncertainty", ("end", "share")),
        Kind("grave-caution", "a caution forbids a direction"),
        Kind("no-contact-read", "neither flank shows contact"),
        Kind("one-flank", "there is no reading of this flank", ("lacking",)),
        # before and after: why it is no better, or cannot be told
        Kind("nearer", "the pattern came nearer to its place", ("size", "least", "most", "before", "after")),
        Kind("further", "the pattern went further from its place", ("size", "least", "most", "before", "after")),
        Kind("nearer-beyond", "nearer, on the other side of its place", ("size", "least", "most", "before", "after")),
        Kind("further-beyond", "further, on the other side of its place", ("size", "least", "most", "before", "after")),
        Kind("no-difference", "the difference is within the uncertainty", ("before", "after")),
        Kind("visit-one-flank", "the result of this visit lacks a flank", ("when",)),
        Kind("visit-gone", "the job's entry of this visit counts no more, struck or by an answer", GONE),
        Kind("visit-reference-gone", "nor does the job's entry that this visit was held against", GONE),
        Kind("visit-too-poor", "a caution forbids a direction on this visit", ("when", "found", "cure")),
        Kind("cut-from-one", "the photos of both visits look like pieces of one photo"),
        Kind("teeth-unlike", "by their proportions the teeth are of two wheels", ("before", "after")),
        Kind("places-by-marking", "marked in different ways, and nothing tells that it is one machine"),
        Kind("markings-differ", "the teeth were marked in different ways"),
        Kind("media-differ", "the flank itself was photographed on one visit and its print on the other"),
        Kind("compounds-differ", "different compounds were used"),
        Kind("film-not-noted", "the film was not noted on this visit", ("when",)),
        Kind("films-differ", "the film was another one", ("film_before", "film_after")),
        # the next shims
        Kind("no-reading", "there is no reading yet"),
        Kind("leave-shims", "both flanks carry the pattern in its place, whatever was tried"),
        Kind("wrong-way", "a trial moved the pattern the wrong way"),
        Kind(
            "no-gain",
            "shims changed by so much in all moved the pattern no further than its uncertainty",
            ("changed_mm",),
        ),
        Kind("trials-ask", "how much a shim does would be learned from patterns that still ask something"),
        Kind("trials-unclear", "all readings with these shims leave the pattern too near or too unsure", ("share",)),
        Kind("by-gear-data", "nothing but the gear data bears this step out", ("step_mm",)),
        Kind("by-face-width", "the face width and the shift tell how far a wheel like this may go", ("step_mm",)),
        Kind("by-shift", "nobody knows how far the pattern moves, only how far it is off", ("step_mm",)),
        Kind("either-way", "nobody knows which way the pattern moves", ("by_mm",)),
        Kind("effect-unclear", "between two packs the pattern moved less than its uncertainty", ("from_mm", "to_mm")),
        Kind("hardly-moved", "between two packs the pattern hardly moved, so the next step is larger", FURTHER),
        Kind("thinner-shims", "the right step is thinner than the shims on hand make", ("step_mm", *THINNEST)),
        Kind("moved-too-far", "no shim thin enough is made, and the pattern lies far off", FURTHEST),
        Kind("to-nearest-pack", "a tried pack lies nearer than any that the shims on hand make", ("step_mm",)),
        Kind("thinnest-step", "the thinnest step that the shims on hand make brings it no nearer", THINNEST),
        Kind("trials-contradict", "the last reading asks for another way than all others together"),
        Kind("between", "the right pack lies between two that were tried", ("step_mm", "thin_mm", "thick_mm")),
        Kind("half-way", "half of what the readings point to", ("step_mm",)),
        Kind("as-capped", "the readings point further than a step may go", ("step_mm",)),
        Kind("back-half-way", "half-way, counted from a pack that lay nearer", BACK),
        Kind("back-as-capped", "as far as a step may go, counted from a pack that lay nearer", BACK),
    )
}
"""Every reason by its code."""
