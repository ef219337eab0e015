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
from patternscan.handles import Handle, named
from patternscan.seeing.quality.light import FlankLight
from patternscan.seeing.segmentation.colour_segmentation import find_readings, segment_by_colour, suited
from patternscan.seeing.segmentation.contact_cautions import (
    LEAST_PRINT,
    cautions_of_contact,
    cautions_of_film,
    cautions_of_fused,
    cautions_of_marking,
    cautions_of_shape,
    cautions_of_told,
)
from patternscan.seeing.segmentation.film import FlankColours, Grid, Mask, colours_of
from patternscan.seeing.segmentation.film_split import FilmSplit, like_metal, plain_metal
from patternscan.seeing.segmentation.fused import FusedSegmentation, fuse, name_compound
from patternscan.seeing.segmentation.guided_filter import keep_to_colours
from patternscan.seeing.segmentation.marking_signs import PaintSigns, find_marking_signs, other_marking_logit
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation, segment_by_net

LEAST_IOU, MOST_CONTACT = 0.78, 0.6
"""Where colours show no film, contact whose expected IoU is less than the first, or that covers more of what can be
judged than the second, so that there is little beside it to compare it with, is none: so the net looks on bare bronze.
Chosen on painted flanks and on bare ones, read under both markings."""
SLIGHT = 0.02
"""Compounds that the net takes for less likely than this are not looked for by colour."""
BARE = 0.5
"""Where colours show no film, a flank that the net takes for bare with more than this probability is bare."""


@dataclass(frozen=True, slots=True, eq=False)
class ContactMap:
    """What was found on a rectified flank; all arrays have its (rows, cols), row 0 = tip, column 0 = end A.

    ``probability``: float32 0..1, how likely the place carried contact (for rub-off, bare metal inside the paint).
    ``contact``: bool, the most likely contact. ``judged``: bool, False where glare, shade, blur or the edge
    of the photo hide the flank. ``expected_iou``: intersection over union that the contact is expected to have with the
    true one, 0..1. ``agreement``: the same of what colours and net find, each by itself; None where colours show none.
    ``signs``: what tells the markings apart, None where nothing was seen that does.
    """

    compound: Compound
    marking: Marking
    probability: NDArray[np.float32]
    contact: NDArray[np.bool_]
    judged: NDArray[np.bool_]
    expected_iou: float
    agreement: float | None
    cautions: tuple[Caution, ...]
    signs: PaintSigns | None = None

    @property
    def other_marking(self) -> float:
        """Logarithm of the odds that the flank was marked in the other way."""
        return 0.0 if self.signs is None else other_marking_logit(self.signs, self.marking)

    def __post_init__(self) -> None:
        for array in (self.probability, self.contact, self.judged):
            array.flags.writeable = False


def segment_contact(light: FlankLight, marking: Marking, compound: Compound | None) -> ContactMap:
    """Find the contact; ``compound`` None means find out which. Raises NoCompound, InconsistentInputs."""
    _refuse_unreadable(light)
    colours = colours_of(light)
    by_net = segment_by_net(light, marking, compound)
    likely = {name for name, share in by_net.names.items() if share > SLIGHT} if compound is None else {compound}
    found = _by_unlikeness(colours, find_readings(colours, likely))
    readings = suited(found, marking)
    fused = fuse(segment_by_colour(readings, colours, marking), by_net, light.readable, marking)
    film = fused.contact if marking is Marking.TRANSFER else ~fused.contact
    if not readings and (plain_metal(colours, film) or not _plain_without_colour(fused, by_net, light.readable)):
        raise _no_compound(compound, marking)
    by_marking = {marking: by_net, marking.other: segment_by_net(light, marking.other, compound)}
    signs = find_marking_signs(by_marking, found[0].film if found else None, light.readable)
    scores = {reading.pigment.compound: reading.score for reading in reversed(readings)}
    names = {compound: 1.0} if compound is not None else name_compound(by_net, scores)
    probability = _enlarged(keep_to_colours(fused.probability, colours), light)
    contact = np.asarray(probability > 0.5)
    return ContactMap(
        compound=next(iter(names)),
        marking=marking,
        probability=probability,
        contact=contact,
        judged=light.judged,
        expected_iou=fused.expected_iou,
        agreement=fused.agreement,
        cautions=(
            *cautions_of_fused(fused, names, marking is Marking.TRANSFER and like_metal(colours, fused.contact)),
            *_compound_doubts(light, colours, marking, compound),
            *cautions_of_marking(other_marking_logit(signs, marking), marking),
            *cautions_of_film(readings, fused, next(iter(names))),
            *cautions_of_shape(contact, light.judged, marking),
            *cautions_of_contact(contact, light.judged, marking),
        ),
        signs=signs,
    )


def _plain_without_colour(fused: FusedSegmentation, by_net: NetSegmentation, judged: Mask) -> bool:
    """Whether contact that colours say nothing of can be believed."""
    touched = float(fused.contact[judged].mean())
    return LEAST_PRINT <= touched <= MOST_CONTACT and fused.expected_iou >= LEAST_IOU and by_net.bare <= BARE


def _compound_doubts(
    light: FlankLight, colours: FlankColours, marking: Marking, compound: Compound | None
) -> Iterator[Caution]:
    """Whether colours and net, not told a compound, speak against the one that a person named."""
    if compound is not None:
        scores = {one.pigment.compound: one.score for one in reversed(find_readings(colours, set(Compound)))}
        yield from cautions_of_told(compound, name_compound(segment_by_net(light, marking, None), scores))


def _by_unlikeness(colours: FlankColours, splits: Sequence[FilmSplit]) -> list[FilmSplit]:
    """The splits, last those whose film looks like the metal beside the flank, or paint that ran over onto it."""
    return sorted(splits, key=lambda split: like_metal(colours, split.film))


def _refuse_unreadable(light: FlankLight) -> None:
    if light.readable.mean() < 0.2:
        raise NoCompound(
            f"Only {percent(light.readable.mean())} of this flank can be judged: the rest is glare, dark or cut off.",
            "Take the photo again with the whole flank in it and a soft lamp from the side.",
        )


def _no_compound(told: Compound | None, marking: Marking) -> NoCompound:
    if told is None:
        help_it = f"name its colour with {named(Handle.COMPOUND)} ({', '.join(Compound)})"
    else:
        help_it = f"leave {named(Handle.COMPOUND)} unsaid unless it surely is {told}"
    again = "coat the worm and print" if marking is Marking.TRANSFER else "paint the teeth and turn"
    return NoCompound(
        "No marking compound could be told from bare metal on this flank.",
        f"Check that this is the marked flank; if it is, {help_it}, or {again} again and take the photo in even light.",
    )


def _enlarged(grid: Grid, light: FlankLight) -> Grid:
    rows, cols = light.seen.shape
    return np.asarray(cv2.resize(grid, (cols, rows), interpolation=cv2.INTER_LINEAR), dtype=np.float32)
