"""What makes a photo or a reading uncertain, as codes with values: the cautions.

One code has one meaning. Sentences are made in ``reporting.text``; everything below it sends codes and values.
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


def caution(code: str, flank: Flank | None = None, photo: str | None = None, **values: Value) -> Caution:
    """A caution of that kind. Raises KeyError for an unknown code, ValueError for other values than its kind has."""
    return Caution(code, in_order(CAUTIONS[code], values), flank, photo)


def in_order(kind: Kind, values: Mapping[str, Value]) -> tuple[tuple[str, Value], ...]:
    """The values in the order of the kind's names. Raises ValueError for others than it has."""
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
        _quiet("far-too-dark", "the flank is nearly black, so that its colours are hard to tell", widens=True),
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
        _quiet("outline-bent", "corners alone were marked and no clear edges are near, so they were bent as usual"),
        _quiet("outline-rough", "parts of the outline lie beside the edges of the gear data", "misfit", widens=True),
        _quiet("end-unseen", "the flank goes on beyond the outline at this end", "end", widens=True),
        _quiet("end-off-edges", "the outline's end lies on no edge that the photo shows", "end", widens=True),
        _quiet("end-off-shape", "the tooth's shape puts that end of the outline elsewhere", "end", widens=True),
        _quiet(
            "height-off-shape", "the tooth has that edge of the outline, root or tip, elsewhere", "edge", widens=True
        ),
        _quiet("gear-data-unlike", "the outline does not fit a flank with the gear data", "misfit"),
        _quiet("gear-data-no-view", "from nowhere would a flank with the gear data look like the outline"),
        _quiet("gear-data-loose", "flanks with the gear data fit the outlines of both flanks loosely", "misfit"),
        _quiet("gear-data-impossible", "the gear data contradict themselves", "found", "remedy"),
        _quiet("other-rim-seen", "the tooth is that of a wheel with the other rim", "told", "seen"),
        _quiet("outline-unlike", "the outline has not the shape of a worm wheel's tooth", widens=True),
        _grave("other-hand-seen", "the tooth runs as on a wheel of the other hand", "told", "seen"),
        _quiet("tape-touched", "tape is said to show the side that touched the tooth"),
        _quiet("paper-through", "paper is said to be seen through"),
        _quiet("lifted", "a print of the flank was read, in a frame drawn by hand", "medium", widens=True),
        _quiet("lift-faint", "little compound came off onto tape or paper"),
        # the compound and its marking
        _quiet("weak-contrast", "where compound ends and metal begins is not plain", widens=True),
        _grave("contact-unclear", "compound and metal may be taken for one another"),
        _quiet("compound-uncertain", "the compound could be another one", "seen", "rival"),
        _quiet("compound-unlike", "the compound looks unlike the one that a person named", "told", "seen"),
        _grave("compound-wrong", "the compound is plainly another one than a person named", "told", "seen"),
        _grave("bare-metal", "what looks like compound may be mirrored metal", "compound"),
        _grave("tiny-print", "what looks like compound covers next to nothing", "share"),
        _grave("marking-doubtful", "the flank looks marked in the other way", "told", "seen"),
        _quiet("bare-to-end", "the flank is bare up to this end: rubbed off, or never painted", "end"),
        _quiet("two-places", "contact shows at two places far from each other", "along", "other"),
        _quiet("thick-coat", "much of the flank is marked", "share"),
        _grave("marked-all-over", "nearly all of the flank is marked", "share"),
        _quiet("rubbed-all-over", "much of the flank is rubbed bare", "share"),
        _grave("rubbed-bare", "nearly all of the flank is rubbed bare", "share"),
        _grave("no-contact", "compound was found, but no contact"),
        _grave("hardly-rubbed", "next to nothing was rubbed off", "share"),
        # the proof on a person's own photographs
        _quiet("proof-widened", "so much was added on either side", "machines", "along", "up", "coverage", widens=True),
        _quiet("proof-few", "the proof is of too few machines to widen every interval by it", "machines"),
        _grave("proof-missed", "intervals along held the truth too seldom", "right", "flanks", "machines"),
        _quiet("proof-outdated", "the proof was made with another version", "made_with"),
        # both flanks
        _quiet("photo-declined", "a photo could not be read", "found", "remedy"),
        _quiet("reference-asked", "a question about the reference's own photos", "found", "remedy"),
        _quiet("reference-untold", "nothing tells that the reference is of the machine that is judged"),
        _quiet("taken-apart", "the photos were taken so far apart that something may have been moved in between"),
        _quiet("compounds-differ", "the photos show different compounds", "seen"),
        _quiet("media-differ", "not all flanks were photographed in the same way, or off the same", "seen"),
        _quiet("tooth-twice", "one tooth was given more than once and counts once", "photos", widens=True),
        _grave("flank-twice", "left and right flank look like one flank photographed twice", "photos"),
        _grave("wheels-differ", "the gear data fit the teeth of one flank alone", "photos", "other_photos"),
        _grave("shapes-differ", "the teeth of both flanks are not of one shape", "left_ratio", "right_ratio"),
        _grave("hands-differ", "the teeth run as on two wheels", "hand", "photos", "other_hand", "other_photos"),
        # before and after
        _quiet("visits-exchanged", "what is called after was judged earlier than what is called before"),
        _quiet("visits-taken-otherwise", "the photos of after were taken earlier than those of before"),
        _quiet("visits-named-otherwise", "photos of before are named as after, and the other way round"),
        _quiet("film-unknown", "the film was not noted on one of two visits"),
        _quiet("markings-compared", "the teeth were marked in different ways"),
        _quiet("media-compared", "the flank itself was photographed on one visit and its print on the other"),
        _quiet("machine-untold", "nothing tells that both results are of one machine"),
        _quiet("ends-exchanged", "the patterns after are those before with flanks and ends exchanged"),
        _quiet("visit-asked", "a question about this visit that may turn the answer", "when", "found", "remedy"),
        _quiet("visit-photo-declined", "a photo of this visit could not be read", "when", "found", "remedy"),
        _quiet("visit-proof", "what a proof on own photographs tells of this visit", "when", "found", "remedy"),
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

NOT_THIS_GEAR = frozenset(
    {"gear-data-unlike", "gear-data-no-view", "gear-data-loose", "other-hand-seen", "other-rim-seen"}
)
"""Codes of the cautions that say that the tooth in the photo is not one of the gear on the sheet."""

ASKED_BACK = frozenset(
    {"tape-touched", "paper-through", "bare-to-end", "two-places", "reference-untold", "reference-asked", "taken-apart"}
)
"""Codes of the cautions that ask what only a person at the machine can tell, and that may turn the answer."""
