"""What the house has to tell beside its numbers, as codes with values: cautions, findings and reasons.

One code has one meaning. Their sentences are made in ``reporting.text``; everything below it sends codes and values.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patternscan.frame import Flank

Value = str | float | int | bool | None | tuple[str, ...] | tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Kind:
    """What a code means, and the names of the values that come with it."""

    code: str
    meaning: str
    values: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CautionKind(Kind):
    """A kind of caution. ``grave``: it may turn the answer, so no direction is given while it stands. ``widens``: the
    intervals already hold what it is about.
    """

    grave: bool = False
    widens: bool = False


@dataclass(frozen=True, slots=True)
class Statement:
    """A code with its values, in the order of the table."""

    code: str
    values: tuple[tuple[str, Value], ...] = ()

    def __getitem__(self, name: str) -> Value:
        """The value of that name. Raises KeyError."""
        return dict(self.values)[name]


@dataclass(frozen=True, slots=True)
class Caution(Statement):
    """What makes a reading uncertain; ``flank`` and ``photo`` (its file name) where it speaks of one."""

    flank: Flank | None = None
    photo: str | None = None

    @property
    def grave(self) -> bool:
        """Whether no direction is given while it stands."""
        return CAUTIONS[self.code].grave

    @property
    def widens(self) -> bool:
        """Whether the intervals already hold it."""
        return CAUTIONS[self.code].widens


@dataclass(frozen=True, slots=True)
class Finding(Statement):
    """Something that the pattern shows beside the direction."""


@dataclass(frozen=True, slots=True)
class Reason(Statement):
    """Why an answer is what it is; ``caution`` is the grave one that forbids an answer, where one does."""

    caution: Caution | None = None


def caution(code: str, flank: Flank | None = None, photo: str | None = None, **values: Value) -> Caution:
    """A caution of that kind. Raises KeyError for an unknown code, ValueError for other values than its kind has."""
    return Caution(code, _in_order(CAUTIONS[code], values), flank, photo)


def finding(code: str, **values: Value) -> Finding:
    """A finding of that kind. Raises KeyError for an unknown code, ValueError for other values than its kind has."""
    return Finding(code, _in_order(FINDINGS[code], values))


def reason(code: str, because_of: Caution | None = None, **values: Value) -> Reason:
    """A reason of that kind. Raises KeyError for an unknown code, ValueError for other values than its kind has."""
    return Reason(code, _in_order(REASONS[code], values), because_of)


def _in_order(kind: Kind, values: Mapping[str, Value]) -> tuple[tuple[str, Value], ...]:
    if values.keys() != set(kind.values):
        raise ValueError(f"{kind.code} takes {', '.join(kind.values) or 'no values'}, found {', '.join(values)}")
    return tuple((name, values[name]) for name in kind.values)


def _grave(code: str, meaning: str, *values: str, widens: bool = False) -> CautionKind:
    return CautionKind(code, meaning, values, grave=True, widens=widens)


def _quiet(code: str, meaning: str, *values: str, widens: bool = False) -> CautionKind:
    return CautionKind(code, meaning, values, widens=widens)


TRIAL = ("from_mm", "to_mm", "share", "end")
"""What a trial did: shims before and after, against as found; how far the pattern moved, and toward which end."""

CAUTIONS: Mapping[str, CautionKind] = {
    kind.code: kind
    for kind in (
        # the photo
        _quiet("cut-off", "a little of the flank lies outside the photo, or an edge along its border", widens=True),
        _quiet("much-cut-off", "so much of the flank lies outside the photo", "share", widens=True),
        _quiet("small", "the flank is small in the photo", "width_px", "height_px"),
        _grave("too-small", "the flank is too small in the photo", "width_px", "height_px"),
        _quiet("oblique", "the flank is seen at a slant"),
        _grave("too-oblique", "the flank is seen nearly edge-on"),
        _quiet("blurred", "the flank is out of focus or shaken"),
        _grave("too-blurred", "the flank is far out of focus or badly shaken"),
        _quiet("too-bright", "the flank is overexposed", widens=True),
        _quiet("glare", "the lamp is mirrored on this part of the flank", "share", widens=True),
        _quiet("much-glare", "the lamp is mirrored on so much of the flank", "share", widens=True),
        _quiet("too-dark", "the flank is dark", widens=True),
        _grave("far-too-dark", "the flank is nearly black, so that its colours are lost"),
        # what stands before the flank
        _quiet("behind-next-tooth", "the next tooth stands before this part of the flank", "share", widens=True),
        _quiet("turned-away", "this part of the flank is turned away from the camera", "share", widens=True),
        _quiet("left-out", "this part of the flank lies outside the outline as it was marked", "share", widens=True),
        _quiet("covered", "something covers this part of the flank", "share", widens=True),
        _quiet("much-covered", "something covers so much of the flank", "share", widens=True),
        _quiet("little-judged", "only this part of the flank could be judged", "share", widens=True),
        # outline and gear data
        _quiet("outline-found", "the outline was found, not marked by a person", widens=True),
        _quiet("outline-found-unsure", "the outline was found, and it is not sure", widens=True),
        _quiet("outline-fitted", "the outline was moved onto edges, at most this part of the face width", "share"),
        _quiet("outline-not-fitted", "no clear edges are near the outline, so it was left"),
        _quiet("outline-rough", "parts of the outline lie beside the edges of the gear data", "misfit", widens=True),
        _quiet("end-unseen", "the flank goes on beyond the outline at this end", "end", widens=True),
        _quiet("gear-data-unlike", "the outline does not fit a flank with the gear data", "misfit"),
        _quiet("gear-data-no-view", "from nowhere would a flank with the gear data look like the outline"),
        _quiet("gear-data-impossible", "the gear data contradict themselves", "found", "remedy"),
        _quiet("rim-straight", "the wheel has no throated flank, as the gear data would give it"),
        _grave("other-hand-seen", "the tooth runs as on a wheel of the other hand", "told", "seen"),
        # the compound and its marking
        _quiet("weak-contrast", "where compound ends and metal begins is not plain", widens=True),
        _grave("contact-unclear", "compound and metal may be taken for one another"),
        _quiet("compound-uncertain", "the compound could be another one", "seen", "rival"),
        _quiet("compound-unlike", "the compound looks unlike the one that a person named", "told", "seen"),
        _grave("bare-metal", "what looks like compound may be mirrored metal", "compound"),
        _grave("tiny-print", "what looks like compound covers next to nothing", "share"),
        _grave("marking-doubtful", "the flank looks marked in the other way", "told", "seen"),
        _quiet("thick-coat", "much of the flank is marked", "share"),
        _grave("marked-all-over", "nearly all of the flank is marked", "share"),
        _quiet("rubbed-all-over", "much of the flank is rubbed bare", "share"),
        _grave("rubbed-bare", "nearly all of the flank is rubbed bare", "share"),
        _grave("no-contact", "compound was found, but no contact"),
        _grave("hardly-rubbed", "next to nothing was rubbed off", "share"),
        # both flanks
        _quiet("photo-declined", "a photo could not be read", "found", "remedy"),
        _quiet("compounds-differ", "the photos show different compounds", "seen"),
        _grave("hands-differ", "the teeth run as on two wheels", "hand", "photos", "other_hand", "other_photos"),
        # before and after
        _quiet("film-unknown", "the film was not noted on one of two visits"),
        _quiet("markings-compared", "the teeth were marked in different ways"),
        _quiet("machine-untold", "nothing tells that both results are of one machine"),
        _quiet("ends-exchanged", "the patterns after are those before with flanks and ends exchanged"),
        _quiet("visit-photo-declined", "a photo of this visit could not be read", "when", "found", "remedy"),
        _quiet("runs-out", "the pattern of this visit runs out at an end", "when"),
        _quiet("wrong-way", "the pattern lies further off its place after the move"),
        # the trials and the log of a job
        _quiet("trial-against-rule", "a trial moved the pattern against the shim rule", *TRIAL, "toward"),
        _quiet("trial-against-trial", "a trial moved the pattern against what an earlier one showed", *TRIAL),
        _quiet("log-line-damaged", "a line of the log is damaged", "line"),
        _quiet("pattern-without-entry", "a folder holds a judgement that no entry of the log names", "folder"),
        _quiet("log-changed", "an entry of the log does not follow what stands before it", "entry", "line"),
    )
}
"""Every caution by its code."""

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

BACK = ("step_mm", "back_mm", "beyond_mm")
"""A whole change of shims, and its parts: back to an earlier pack, and beyond it."""
FURTHER = ("step_mm", "from_mm", "to_mm")
"""A change of shims, and the packs between which the pattern hardly moved."""
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
        Kind("crossed-early", "they do, and one runs out at its end, so the middle of both tells nothing"),
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
        Kind("visit-too-poor", "a caution forbids a direction on this visit", ("when", "found")),
        Kind("teeth-unlike", "by their proportions the teeth are of two wheels", ("before", "after")),
        Kind("places-by-marking", "marked in different ways, and nothing tells that it is one machine"),
        Kind("markings-differ", "the teeth were marked in different ways"),
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
        Kind("trials-unclear", "all readings with these shims leave the pattern too near or too unsure", ("share",)),
        Kind("by-gear-data", "nothing but the gear data bears this step out", ("step_mm",)),
        Kind("by-face-width", "the face width and the shift tell how far a wheel like this may go", ("step_mm",)),
        Kind("by-shift", "nobody knows how far the pattern moves, only how far it is off", ("step_mm",)),
        Kind("either-way", "nobody knows which way the pattern moves", ("by_mm",)),
        Kind("effect-unclear", "between two packs the pattern moved less than its uncertainty", ("from_mm", "to_mm")),
        Kind("hardly-moved", "between two packs the pattern hardly moved, so the next step is larger", FURTHER),
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
