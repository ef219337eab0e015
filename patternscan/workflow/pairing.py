"""Whether the readings of two flanks belong to one wheel, and whose pattern they show."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict

import numpy as np

from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank
from patternscan.judging.judged_state import Identity
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.mapping import OTHER_HAND
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.setting.machine.sheet import Sheet


def refuse_mixed(left: Sequence[Reading], right: Sequence[Reading]) -> None:
    """Raise InconsistentInputs for a reading of the other flank, and for one that is given twice."""
    for flank, readings in ((Flank.LEFT, left), (Flank.RIGHT, right)):
        for reading in readings:
            if reading.outline.flank is not flank:
                raise InconsistentInputs(
                    f"{reading.photo.name} shows a {reading.outline.flank} flank but was given as a {flank} one.",
                    "Give left flanks with --left and right flanks with --right.",
                )
    borders = [reading.outline.border for reading in (*left, *right)]
    pixels = [reading.photo.pixels for reading in (*left, *right)]
    for k in range(len(borders)):
        for other in range(k):
            if np.array_equal(borders[k], borders[other]) and np.array_equal(pixels[k], pixels[other]):
                raise InconsistentInputs(
                    "The same flank of the same photo was given twice.", "Give each photo once; one tooth is one vote."
                )


def pair_cautions(left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet) -> Iterable[Caution]:
    """What is doubtful about the readings together: several compounds, teeth that run as on two wheels."""
    yield from _several_compounds(left, right)
    yield from _mirrored(left, right, sheet.gear.hand)


def identify(left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet) -> Identity:
    """Whose pattern this is: machine, gear data and photos."""
    left_photos, right_photos = (
        frozenset(reading.photo.sha256 for reading in readings if reading.photo.sha256 is not None)
        for readings in (left, right)
    )
    gear = {name: value for name, value in asdict(sheet.gear).items() if value is not None}
    hands = {_seen_hand(reading, sheet.gear.hand) for reading in (*left, *right)}
    return Identity(sheet.machine, gear, left_photos, right_photos, hands.pop() if len(hands) == 1 else None)


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


def _several_compounds(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    compounds = sorted({reading.contact_map.compound for reading in (*left, *right)})
    if len(compounds) > 1:
        yield caution("compounds-differ", seen=", ".join(compounds))


def _mirrored(left: Sequence[Reading], right: Sequence[Reading], on_sheet: str | None) -> Iterable[Caution]:
    """A grave caution when the teeth of one wheel run as on two: a mirrored photo shows its ends exchanged."""
    seen = {reading.photo.name: _seen_hand(reading, on_sheet) for reading in (*left, *right)}
    hands = sorted({hand for hand in seen.values() if hand is not None})
    if len(hands) > 1:
        odd = [", ".join(name for name, hand in seen.items() if hand == one) for one in hands]
        yield caution("hands-differ", hand=hands[0], photos=odd[0], other_hand=hands[1], other_photos=odd[1])
