"""Judging both flanks of one machine: compare, advise, and say in millimetres how far the wheel is off."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, replace

import numpy as np

from patternscan.cautions import Caution
from patternscan.errors import InconsistentInputs
from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.judging.advice import advise, propose_amount
from patternscan.judging.comparison import compare_flanks, pool_teeth
from patternscan.judging.estimate import estimate_placement
from patternscan.judging.identity import Identity
from patternscan.judging.judgement import PHOTO_DECLINED, Declined, Judgement
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.pose import NOT_THIS_GEAR, OTHER_HAND, PosedFlank
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.read import each_once


def judge_pair(
    left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet | None = None, declined: Sequence[Declined] = ()
) -> Judgement:
    """Compare both flanks and advise. Raises InconsistentInputs when readings do not fit together."""
    sheet = sheet or Sheet()
    _refuse_mixed(left, right)
    comparison = compare_flanks(
        pool_teeth(Flank.LEFT, [reading.measurement for reading in left]),
        pool_teeth(Flank.RIGHT, [reading.measurement for reading in right]),
        sheet.target,
    )
    cautions = each_once(
        (
            *(caution for reading in (*left, *right) for caution in reading.cautions),
            *(_declined_caution(one) for one in declined),
            *_pair_cautions(left, right),
            *_mirrored(left, right, sheet.gear.hand),
        )
    )
    advice = advise(comparison, cautions, sheet.shim_rule)
    return Judgement(
        left=tuple(left),
        right=tuple(right),
        comparison=comparison,
        advice=advice,
        cautions=cautions,
        machine=sheet.machine,
        identity=_identity(left, right, sheet),
        film=_film_note(sheet),
    )


def estimate_wheel(
    judgement: Judgement, pair: WormPair, oversize_known: bool, done: Callable[[float], None]
) -> Judgement:
    """The same judgement with the wheel's offset in mm and, where that is sure enough, a first step of shims.

    Nothing is added when a flank is missing or a photo shows that the gear data are not this wheel's. ``done`` is told
    the finished part of the work, 0 to 1.
    """
    if any(caution.code in NOT_THIS_GEAR for caution in judgement.cautions):
        return judgement
    estimate = estimate_placement(judgement.comparison, pair, oversize_known, done)
    if estimate is None:
        return judgement
    advice = propose_amount(judgement.advice, estimate, judgement.comparison)
    return replace(judgement, advice=advice, estimate=estimate)


def _seen_hand(reading: Reading, on_sheet: str | None) -> str | None:
    """The hand that the tooth in the photo has; None when it cannot be told.

    Without gear data the lean of the tooth tells it, when a person marked the outline and the teeth lean clearly.
    """
    if any(caution.code == OTHER_HAND for caution in reading.cautions):
        return "left" if on_sheet == "right" else "right"
    if not isinstance(reading.flank_map, PosedFlank):
        return None
    pose = reading.flank_map.pose
    if pose.pair is not None:
        return on_sheet
    return pose.hand if reading.outline.source is not OutlineSource.FOUND else None


def _film_note(sheet: Sheet) -> str | None:
    """What is known of the film, in words."""
    if sheet.film is None and sheet.film_um is not None:
        return f"{sheet.film_um:g} thousandths of a millimetre"
    return sheet.film


def _declined_caution(one: Declined) -> Caution:
    return Caution(PHOTO_DECLINED, f"{one.photo} ({one.flank} flank): {one.reason.found}", one.reason.remedy)


def _pair_cautions(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    compounds = sorted({reading.contact_map.compound for reading in (*left, *right)})
    if len(compounds) > 1:
        yield Caution(
            "compounds-differ",
            f"Different compounds were seen: {' and '.join(compounds)}.",
            "If only one was used, say so with --compound and read again.",
        )


def _mirrored(left: Sequence[Reading], right: Sequence[Reading], on_sheet: str | None) -> Iterable[Caution]:
    """A grave caution when the teeth of one wheel run as on two: a mirrored photo shows its ends exchanged."""
    seen = {reading.photo.name: _seen_hand(reading, on_sheet) for reading in (*left, *right)}
    hands = sorted({hand for hand in seen.values() if hand is not None})
    if len(hands) > 1:
        odd = [", ".join(name for name, hand in seen.items() if hand == one) for one in hands]
        yield Caution(
            "hands-differ",
            f"The teeth run as on a {hands[0]}-hand wheel in {odd[0]}, and as on a {hands[1]}-hand wheel in {odd[1]}.",
            "One photo is mirrored, as some phones do, or shows another wheel: take it again with the ordinary camera.",
            grave=True,
        )


def _refuse_mixed(left: Sequence[Reading], right: Sequence[Reading]) -> None:
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


def _identity(left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet) -> Identity:
    """Whose pattern this is: machine, gear data and photos."""
    left_photos, right_photos = (
        frozenset(reading.photo.sha256 for reading in readings if reading.photo.sha256 is not None)
        for readings in (left, right)
    )
    gear = {name: value for name, value in asdict(sheet.gear).items() if value is not None}
    hands = {_seen_hand(reading, sheet.gear.hand) for reading in (*left, *right)}
    return Identity(sheet.machine, gear, left_photos, right_photos, hands.pop() if len(hands) == 1 else None)
