"""Which part of a rectified flank carries contact."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.errors import NoCompound
from patternscan.frame import Compound, Marking, percent
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.segmentation.contact_shape import shape_print, shape_rubbed
from patternscan.seeing.segmentation.contradiction import refuse_contradiction, suits
from patternscan.seeing.segmentation.film import PIGMENTS, FlankLight, Mask, weigh_light
from patternscan.seeing.segmentation.film_cautions import (
    LEAST_PRINT,
    PLAIN_TRUST,
    doubts_of_contact,
    doubts_of_film,
    doubts_of_light,
    doubts_of_look,
    doubts_of_marking,
    doubts_of_told,
)
from patternscan.seeing.segmentation.fused import ColourLook, JointLook, join_looks, name_compound, trust_in
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation, segment_by_net
from patternscan.seeing.segmentation.threshold import FilmSplit, refine_split, split_film, without_mirrored


@dataclass(frozen=True, slots=True, eq=False)
class ContactMap:
    """What was found on a rectified flank; all arrays have its (rows, cols), row 0 = tip, column 0 = end A.

    ``amount``: float32 0..1, how much compound lies there (0 bare metal, 1 a full film).
    ``chance``: float32 0..1, how likely the place carried contact (for rub-off, bare metal inside the paint).
    ``contact``: bool, the most likely contact. ``judged``: bool, False where glare, shade, blur or the edge
    of the photo hide the flank. ``trust``: overlap that the contact is expected to have with the true one, 0..1.
    """

    compound: Compound
    marking: Marking
    amount: NDArray[np.float32]
    chance: NDArray[np.float32]
    contact: NDArray[np.bool_]
    judged: NDArray[np.bool_]
    trust: float
    cautions: tuple[Caution, ...]

    def __post_init__(self) -> None:
        for array in (self.amount, self.chance, self.contact, self.judged):
            array.flags.writeable = False


PLAIN_MERIT = -1.5
"""A reading below this is too faint to contradict a person."""
NEARLY_AS_GOOD = 1.5
"""A reading this much less fitting than the best is still considered."""
LEAST_TRUST, MOST_CONTACT = 0.78, 0.6
"""Where colours show no film, contact that is trusted less than the first, or that covers more of what can be judged
than the second, so that there is little beside it to compare it with, is none: so the net looks on bare bronze. Chosen
on painted flanks and on bare ones, read under both markings."""
FAR_SURER = 0.3
"""A net that trusts what it sees this much more under the other marking speaks against the one it was told: on painted
flanks that was so for 2 in 1000 under the true marking and for many under the wrong one."""
SLIGHT = 0.02
"""Compounds that the net takes for less likely than this are not looked for by colour."""
BARE = 0.5
"""Where colours show no film, a flank that the net takes for bare with more than this chance is bare."""


def segment_contact(flank: RectifiedFlank, marking: Marking, compound: Compound | None) -> ContactMap:
    """Find the contact; ``compound`` None means find out which. Raises NoCompound, InconsistentInputs."""
    light = weigh_light(flank.pixels, flank.seen)
    _refuse_unreadable(light)
    learned = segment_by_net(flank, marking, compound)
    likely = {name for name, share in learned.names.items() if share > SLIGHT} if compound is None else {compound}
    readings = _suited(find_readings(light, likely), marking)
    look = join_looks(contact_by_colour(readings, light, marking), learned, light.judged, marking)
    if not readings and not _plain_without_colour(look, learned, light.judged):
        raise _no_compound()
    merits = {reading.pigment.compound: reading.merit for reading in reversed(readings)}
    names = {compound: 1.0} if compound is not None else name_compound(learned, merits)
    rows, cols = flank.seen.shape
    chance = _enlarged(look.chance, rows, cols)
    judged = np.asarray(_enlarged(light.judged.astype(np.float32), rows, cols) > 0.5) & flank.seen
    contact = np.asarray(chance > 0.5)
    return ContactMap(
        compound=next(iter(names)),
        marking=marking,
        amount=_enlarged(np.clip(readings[0].share if readings else learned.film, 0, 1), rows, cols),
        chance=chance,
        contact=contact,
        judged=judged,
        trust=look.trust,
        cautions=(
            *doubts_of_light(flank, judged),
            *doubts_of_look(look, names),
            *_second_thoughts(flank, marking, compound, learned, look),
            *doubts_of_film(readings, look, next(iter(names))),
            *doubts_of_contact(contact, judged, marking),
        ),
    )


def _plain_without_colour(look: JointLook, learned: NetSegmentation, judged: Mask) -> bool:
    """Whether contact that colours say nothing of can be believed."""
    touched = float(look.contact[judged].mean())
    return LEAST_PRINT <= touched <= MOST_CONTACT and look.trust >= LEAST_TRUST and learned.bare <= BARE


def _second_thoughts(
    flank: RectifiedFlank, marking: Marking, compound: Compound | None, learned: NetSegmentation, look: JointLook
) -> Iterator[Caution]:
    """Whether the net, told otherwise than a person said, speaks against the compound or the marking he named."""
    if compound is not None:
        names = segment_by_net(flank, marking, None).names
        if names[compound] < SLIGHT:
            yield from doubts_of_told(compound, max(names, key=lambda name: names[name]))
    if look.trust > PLAIN_TRUST or (marking is Marking.RUB_OFF and look.contact.mean() < LEAST_PRINT):
        return
    other = Marking.RUB_OFF if marking is Marking.TRANSFER else Marking.TRANSFER
    if trust_in(segment_by_net(flank, other, compound).logit) > trust_in(learned.logit) + FAR_SURER:
        yield from doubts_of_marking(marking)


def contact_by_colour(readings: Sequence[FilmSplit], light: FlankLight, marking: Marking) -> ColourLook | None:
    """Contact by the best reading of the colours; None without any."""
    if not readings:
        return None
    if marking is Marking.TRANSFER:
        chance = shape_print(without_mirrored(readings[0], light), light.judged)
    else:
        chance = shape_rubbed(readings[0].share, light.judged)
    return ColourLook(chance, readings[0].merit)


def _refuse_unreadable(light: FlankLight) -> None:
    if light.judged.mean() < 0.2:
        raise NoCompound(
            f"Only {percent(light.judged.mean())} of this flank can be judged: the rest is glare, dark or cut off.",
            "Take the photo again with the whole flank in it and a soft lamp from the side.",
        )


def _no_compound() -> NoCompound:
    return NoCompound(
        "No marking compound could be told from bare metal on this flank.",
        "Check that this is the marked flank, or coat and print again, and take the photo in even light.",
    )


def find_readings(light: FlankLight, likely: set[Compound]) -> list[FilmSplit]:
    """Every way to explain the flank by a film of a likely compound, best first; empty when colours show none."""
    tried = [pigment for pigment in PIGMENTS if pigment.compound in likely]
    splits = _present([split_film(light.thinned(), pigment) for pigment in tried])
    least = max((split.merit for split in splits), default=0.0) - NEARLY_AS_GOOD
    fine = _present([refine_split(light, split) for split in splits if split.merit >= least])
    return sorted(fine, key=lambda split: -split.merit)


def _present(splits: Sequence[FilmSplit | None]) -> list[FilmSplit]:
    return [split for split in splits if split is not None and split.present]


def _suited(readings: list[FilmSplit], marking: Marking) -> list[FilmSplit]:
    """The readings, first the best one that suits the marking, when it is nearly as good as the best of all.

    Raises InconsistentInputs or NoCompound when none suits and the best plainly shows another marking.
    """
    for reading in readings:
        if reading.merit > readings[0].merit - NEARLY_AS_GOOD and suits(reading.film, marking):
            return [reading, *(other for other in readings if other is not reading)]
    if readings and readings[0].merit > PLAIN_MERIT:
        refuse_contradiction(readings[0].film, marking)
    return readings


def _enlarged(grid: NDArray[np.float32], rows: int, cols: int) -> NDArray[np.float32]:
    return np.asarray(cv2.resize(grid, (cols, rows), interpolation=cv2.INTER_LINEAR), dtype=np.float32)
