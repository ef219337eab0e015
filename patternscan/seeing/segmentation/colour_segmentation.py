"""Contact as colours tell it: the best reading of a flank as film and metal, tidied into the shape of a contact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from patternscan.frame import Compound, Marking
from patternscan.seeing.segmentation.contact_shape import shape_print, shape_rubbed
from patternscan.seeing.segmentation.contradiction import refuse_contradiction, suits
from patternscan.seeing.segmentation.film import PIGMENTS, FlankColours, Grid, beyond_mirrored
from patternscan.seeing.segmentation.film_split import FilmSplit, middle_colour, refine_split, split_film

PLAIN_SCORE = -1.5
"""A reading below this is too faint to contradict a person."""
NEARLY_AS_GOOD = 1.5
"""A reading that scores this much less than the best is still considered."""
SMALLEST_PATCH = 0.004
"""Patches of film below this part of the flank are not looked at one by one."""
MIRRORED_PART = 0.35
"""A patch whose colour lies less than this part as far beyond mirrored metal as the film does is metal."""


@dataclass(frozen=True, slots=True, eq=False)
class ColourSegmentation:
    """``probability`` of contact by colour, 0..1, float32 (rows, cols), and the ``score`` of the reading behind it."""

    probability: Grid
    score: float


def segment_by_colour(
    readings: Sequence[FilmSplit], colours: FlankColours, marking: Marking
) -> ColourSegmentation | None:
    """Contact by the best reading of the colours; None without any."""
    if not readings:
        return None
    if marking is Marking.TRANSFER:
        probability = shape_print(_without_mirrored(readings[0], colours), colours.readable)
    else:
        probability = shape_rubbed(readings[0].share, colours.readable)
    return ColourSegmentation(probability, readings[0].score)


def find_readings(colours: FlankColours, likely: set[Compound]) -> list[FilmSplit]:
    """Every way to explain the flank by a film of a likely compound, best first; empty when colours show none."""
    tried = [pigment for pigment in PIGMENTS if pigment.compound in likely]
    splits = _present([split_film(colours.thinned(), pigment) for pigment in tried])
    least = max((split.score for split in splits), default=0.0) - NEARLY_AS_GOOD
    fine = _present([refine_split(colours, split) for split in splits if split.score >= least])
    return sorted(fine, key=lambda split: -split.score)


def _present(splits: Sequence[FilmSplit | None]) -> list[FilmSplit]:
    return [split for split in splits if split is not None and split.present]


def suited(readings: list[FilmSplit], marking: Marking) -> list[FilmSplit]:
    """The readings, first the best one that suits the marking, when it is nearly as good as the best of all.

    Raises InconsistentInputs or NoCompound when none suits and the best plainly shows another marking.
    """
    for reading in readings:
        if reading.score > readings[0].score - NEARLY_AS_GOOD and suits(reading.film, marking):
            return [reading, *(other for other in readings if other is not reading)]
    if readings and readings[0].score > PLAIN_SCORE:
        refuse_contradiction(readings[0].film, marking)
    return readings


def _without_mirrored(split: FilmSplit, colours: FlankColours) -> Grid:
    """The share of film, but little of it on patches whose colour is far nearer to mirrored metal than the film's."""
    film = np.asarray(split.film & colours.readable)
    metal_colour = middle_colour(colours, colours.readable & ~film)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(film.astype(np.uint8), connectivity=8)
    share = split.share.copy()
    for patch in range(1, count):
        if stats[patch, cv2.CC_STAT_AREA] < SMALLEST_PATCH * film.size:
            continue
        members = np.asarray(labels == patch)
        if beyond_mirrored(middle_colour(colours, members), metal_colour) < MIRRORED_PART * split.beyond:
            share[members] = np.minimum(share[members], 0.2)
    return share
