"""Whether the readings of two flanks belong to one wheel, and whose pattern they show."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from datetime import timedelta
from filecmp import cmp
from itertools import combinations, product
from statistics import fmean

import numpy as np

from patternscan.calibration.judging import LOOSE_RMS, UNLIKE_FLANKS
from patternscan.cautions import NOT_THIS_GEAR, Caution, caution
from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank, Medium
from patternscan.judging.states.judged_state import Identity
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.seen_hand import OTHER_HAND
from patternscan.seeing.image.exif import time_between
from patternscan.seeing.image.same_picture import same_picture
from patternscan.seeing.quality.same_flank import detail_of, same_flank
from patternscan.seeing.segmentation.marking_signs import joint_logit
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.inputs.photo_input import PhotoInput

MARKING_DOUBTFUL = "marking-doubtful"
SAME_PLACE = 0.5
"""Part of the flank's height that the middles of two outlines lie apart at most when both are of one flank: other
flanks in the picture lie further off, as the tip of a tooth or the space between two lies between them."""

ONE_VISIT = timedelta(hours=2)
"""All teeth of a pattern are marked and photographed sooner; within more, shims can be changed and the teeth marked
again (own guess)."""


def refuse_one_file(photos: Sequence[PhotoInput]) -> None:
    """Raise InconsistentInputs for one file given for both flanks without an outline of each, before it is read."""
    for one, other in combinations(photos, 2):
        marked = one.outline is not None and other.outline is not None
        if one.flank is other.flank or marked or not (one.photo.is_file() and other.photo.is_file()):
            continue
        if cmp(one.photo, other.photo, shallow=False):
            raise _for_both_flanks(*(f"{photo.photo.name} ({photo.flank} flank)" for photo in (one, other)))


def refuse_mixed(left: Sequence[Reading], right: Sequence[Reading]) -> None:
    """Raise InconsistentInputs for a reading of the other flank, and for one that is given twice."""
    for flank, readings in ((Flank.LEFT, left), (Flank.RIGHT, right)):
        for reading in readings:
            if reading.outline.flank is not flank:
                raise InconsistentInputs(
                    f"{reading.photo.name} shows a {reading.outline.flank} flank but was given as a {flank} one.",
                    "Give each photo as the flank that it shows.",
                )
    prints = {id(reading.photo): reading.photo.fingerprint for reading in (*left, *right)}
    for one, other in combinations((*left, *right), 2):
        if same_picture(prints[id(one.photo)], prints[id(other.photo)]) and not _two_places(one, other):
            raise _given_twice(one, other)


def _two_places(one: Reading, other: Reading) -> bool:
    """Whether two readings of one picture are of two flanks in it: marked at different places of the same frame.

    Both flanks of a tooth, unlike several teeth of one flank, have to be marked by hand.
    """
    by_hand = OutlineSource.FOUND not in (one.outline.source, other.outline.source)
    if not (by_hand or one.outline.flank is other.outline.flank):
        return False
    if not np.array_equal(one.photo.pixels, other.photo.pixels):
        return False
    apart = one.outline.border.mean(axis=0) - other.outline.border.mean(axis=0)
    return float(np.hypot(*apart)) > SAME_PLACE * min(one.outline.height_px, other.outline.height_px)


def _given_twice(one: Reading, other: Reading) -> InconsistentInputs:
    names = [f"{reading.photo.name} ({reading.outline.flank} flank)" for reading in (one, other)]
    if one.outline.flank is other.outline.flank:
        return InconsistentInputs(
            f"The same flank of the same photo was given twice: {' and '.join(names)}.",
            "Give each photo once; one tooth is one vote.",
        )
    return _for_both_flanks(*names)


def _for_both_flanks(one: str, other: str) -> InconsistentInputs:
    return InconsistentInputs(
        f"The same photo was given for both flanks: {one} and {other}.",
        "Give a photo of each flank. If one photo shows both flanks, mark each of them in it by an outline of its own.",
    )


def reading_cautions(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    """The cautions of all readings. The flanks of one machine are marked alike, so together they tell the marking."""
    readings = (*left, *right)
    as_told = joint_logit([reading.contact_map.other_marking for reading in readings]) <= 0
    for one in (one for reading in readings for one in reading.cautions):
        if not (as_told and one.code == MARKING_DOUBTFUL):
            yield one


def pair_cautions(left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet) -> Iterable[Caution]:
    """What is doubtful about the readings together: one flank twice, several compounds, teeth as of two wheels."""
    yield from _one_flank_twice(left, right)
    yield from _taken_apart((*left, *right))
    yield from _several_compounds(left, right)
    yield from _several_media(left, right)
    yield from _mirrored(left, right, sheet.gear.hand)
    yield from _two_wheels(left, right)
    yield from _two_shapes(left, right)
    yield from _loose_gear(left, right)


def identify(left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet) -> Identity:
    """Whose pattern this is: machine, gear data and photos."""
    left_photos, right_photos = (
        frozenset(reading.photo.sha256 for reading in readings if reading.photo.sha256 is not None)
        for readings in (left, right)
    )
    gear = {name: value for name, value in asdict(sheet.gear).items() if value is not None}
    hands = {_seen_hand(reading, sheet.gear.hand) for reading in (*left, *right)}
    pictures = tuple({id(reading.photo): reading.photo.fingerprint for reading in (*left, *right)}.values())
    return Identity(sheet.machine, gear, left_photos, right_photos, hands.pop() if len(hands) == 1 else None, pictures)


def _seen_hand(reading: Reading, on_sheet: str | None) -> str | None:
    """The hand that the tooth in the photo has; None when it cannot be told.

    Without gear data the lean of the tooth tells it, when a person marked the outline and the teeth lean clearly.
    """
    if any(one.code == OTHER_HAND for one in reading.cautions):
        return "left" if on_sheet == "right" else "right"
    pose = reading.flank_map.pose
    if pose is None:
        return None
    if pose.pair is not None:
        return on_sheet
    return pose.hand if reading.outline.source is not OutlineSource.FOUND else None


def _taken_apart(readings: Sequence[Reading]) -> Iterable[Caution]:
    taken = [one.photo.taken for one in readings if one.photo.taken is not None]
    if any(abs(time_between(one, other)) > ONE_VISIT for one, other in combinations(taken, 2)):
        yield caution("taken-apart")


def _one_flank_twice(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    """A grave caution when a left and a right flank are the same metal; of one flank, both ends look exchanged."""
    details = [
        [(one, detail_of(one.rectified, one.contact_map.contact)) for one in flank if one.outline.lift is None]
        for flank in (left, right)
    ]
    for (one, detail), (other, second) in product(*details):
        if same_flank(detail, second):
            yield caution("flank-twice", photos=f"{one.photo.name} and {other.photo.name}")


def _several_compounds(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    compounds = sorted({reading.contact_map.compound for reading in (*left, *right)})
    if len(compounds) > 1:
        yield caution("compounds-differ", seen=", ".join(compounds))


def _several_media(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    lifts = (reading.outline.lift for reading in (*left, *right))
    media = {Medium.FLANK if lift is None else lift.medium for lift in lifts}
    if len(media) > 1:
        yield caution("media-differ", seen=", ".join(medium for medium in Medium if medium in media))


def _mirrored(left: Sequence[Reading], right: Sequence[Reading], on_sheet: str | None) -> Iterable[Caution]:
    """A grave caution when the teeth of one wheel run as on two: a mirrored photo shows its ends exchanged."""
    seen = {reading.photo.name: _seen_hand(reading, on_sheet) for reading in (*left, *right)}
    hands = sorted({hand for hand in seen.values() if hand is not None})
    if len(hands) > 1:
        odd = [", ".join(name for name, hand in seen.items() if hand == one) for one in hands]
        yield caution("hands-differ", hand=hands[0], photos=odd[0], other_hand=hands[1], other_photos=odd[1])


def _two_wheels(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    """A grave caution when the gear data fit every tooth of one flank and none of the other: the middle between the
    patterns of two wheels says nothing. With their own data all 88 outlined flanks of dev, rims, port and dev2 fit.
    """
    fits = [{_fits_gear(one) for one in flank} for flank in (left, right)]
    if fits in ([{True}, {False}], [{False}, {True}]):
        names = [", ".join(one.photo.name for one in flank) for flank in (left, right)]
        photos, other_photos = names if fits[0] == {True} else names[::-1]
        yield caution("wheels-differ", photos=photos, other_photos=other_photos)


def _two_shapes(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    """A grave caution when the teeth of one flank are of another shape than those of the other flank; known gear data
    give every tooth its shape, so nothing is told of those that fit them.
    """
    means = [[told for told in map(_slenderness, flank) if told is not None] for flank in (left, right)]
    if not all(means):
        return
    one, other = (fmean(told) for told in means)
    if abs(one - other) > UNLIKE_FLANKS:
        yield caution("shapes-differ", left_ratio=one, right_ratio=other)


def _loose_gear(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    """A caution when the gear data fit the found outlines of both flanks loosely, all taken together. Outlines that a
    person clicked without care fit their own gear no better, so they are not asked.
    """
    misfits = [[rms for rms in map(_found_misfit, flank) if rms is not None] for flank in (left, right)]
    rms = fmean(one**2 for flank in misfits for one in flank) ** 0.5 if all(misfits) else 0.0
    if rms > LOOSE_RMS:
        yield caution("gear-data-loose", misfit=rms)


def _found_misfit(reading: Reading) -> float | None:
    """How far a found outline lies beside the flank with the gear data; None where it was not found, or is of none."""
    pose, found = reading.flank_map.pose, reading.outline.source is OutlineSource.FOUND
    return None if not found or pose is None or pose.pair is None else pose.fit.rms


def _slenderness(reading: Reading) -> float | None:
    """Face width over height of a tooth by its outline; None with gear data, and where the outline fits no tooth."""
    pose = reading.flank_map.pose
    return None if pose is None or pose.pair is not None else pose.slenderness


def _fits_gear(reading: Reading) -> bool | None:
    """Whether the tooth can be one of the gear on the sheet; None when that was not found out, or it fits so roughly
    that a sheet with one wrong number may be why.
    """
    codes = {one.code for one in reading.cautions}
    if codes & NOT_THIS_GEAR:
        return False
    if "outline-rough" in codes:
        return None
    pose, found = reading.flank_map.pose, reading.outline.source is OutlineSource.FOUND
    return None if found or pose is None or pose.pair is None else True
