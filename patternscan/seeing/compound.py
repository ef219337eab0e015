"""Which part of a flattened flank carries contact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.errors import NoCompound
from patternscan.frame import Compound, Marking, percent
from patternscan.seeing.contact_shape import shape_print, shape_rubbed
from patternscan.seeing.contradiction import refuse_contradiction, suits
from patternscan.seeing.film import PIGMENTS, FlankLight, Grid, weigh_light
from patternscan.seeing.film_doubts import (
    doubts_of_contact,
    doubts_of_film,
    doubts_of_light,
    doubts_of_second_look,
)
from patternscan.seeing.flank import FlattenedFlank
from patternscan.seeing.shaded_film import SHADED_PIGMENTS, with_shade
from patternscan.seeing.shaded_split import ShadedSplit, refine_shaded, split_shaded, without_images
from patternscan.seeing.split import FilmSplit, refine_split, split_film, without_mirrored


@dataclass(frozen=True, slots=True, eq=False)
class CompoundMap:
    """What was found on a flattened flank; all arrays have its (rows, cols), row 0 = tip, column 0 = end A.

    ``amount``: float32 0..1, how much compound lies there (0 bare metal, 1 a full film).
    ``chance``: float32 0..1, how likely the place carried contact (for rub-off, bare metal inside the paint).
    ``contact``: bool, the most likely contact. ``judged``: bool, False where glare, shade, blur or the edge
    of the photo hide the flank.
    """

    compound: Compound
    marking: Marking
    amount: NDArray[np.float32]
    chance: NDArray[np.float32]
    contact: NDArray[np.bool_]
    judged: NDArray[np.bool_]
    cautions: tuple[Caution, ...]

    def __post_init__(self) -> None:
        for array in (self.amount, self.chance, self.contact, self.judged):
            array.flags.writeable = False


PLAIN_MERIT = -1.5
"""A reading below this is too faint to contradict a person."""
MOST_LOOKS = 3
"""So many partings by colour and shade are looked at closely."""
NEARLY_AS_GOOD = 1.5
"""A reading this much less fitting than the best is still considered."""


def find_compound(flank: FlattenedFlank, marking: Marking, compound: Compound | None) -> CompoundMap:
    """Find the contact; ``compound`` None means find out which. Raises NoCompound, DoNotBelongTogether."""
    light = weigh_light(flank.pixels, flank.seen)
    look = _look(light, marking, compound)
    chance = (shape_print if marking is Marking.TRANSFER else shape_rubbed)(look.film, light.judged)
    rows, cols = flank.seen.shape
    large = _enlarged(chance, rows, cols)
    judged = np.asarray(_enlarged(light.judged.astype(np.float32), rows, cols) > 0.5) & flank.seen
    contact = np.asarray(large > 0.5)
    return CompoundMap(
        compound=look.compound,
        marking=marking,
        amount=np.clip(_enlarged(look.share, rows, cols), 0, 1),
        chance=large,
        contact=contact,
        judged=judged,
        cautions=(
            *doubts_of_light(flank, judged),
            *look.cautions,
            *doubts_of_contact(contact, judged, marking),
        ),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """A compound and its share of a full film; ``film``: the same without what is only its mirror image."""

    compound: Compound
    share: Grid
    film: Grid
    cautions: tuple[Caution, ...]


def _look(light: FlankLight, marking: Marking, compound: Compound | None) -> _Look:
    """Look for film by colour alone, which no lamp's shade can feign; where it shows none, by colour and shade."""
    try:
        readings = _suited(_readings(light, compound), marking)
    except NoCompound:
        split = _second_look(light, marking, compound)
        if split is None:
            raise
        film = without_images(split, with_shade(light)) if marking is Marking.TRANSFER else split.share
        return _Look(split.pigment.compound, split.share, film, tuple(doubts_of_second_look(split)))
    best = readings[0]
    film = without_mirrored(best, light) if marking is Marking.TRANSFER else best.share
    return _Look(best.pigment.compound, best.share, film, tuple(doubts_of_film(readings)))


def _second_look(light: FlankLight, marking: Marking, compound: Compound | None) -> ShadedSplit | None:
    """The best parting by colour and shade that suits the marking, None when there is none."""
    tried = [pigment for pigment in SHADED_PIGMENTS if compound in (None, pigment.compound)]
    for coarse in split_shaded(with_shade(light.thinned()), tried)[:MOST_LOOKS]:
        split = refine_shaded(with_shade(light), coarse)
        if split is not None and split.present and suits(split.film, marking):
            return split
    return None


def _readings(light: FlankLight, compound: Compound | None) -> list[FilmSplit]:
    """Every way to explain the flank by a film of compound, best first."""
    if light.judged.mean() < 0.2:
        raise NoCompound(
            f"Only {percent(light.judged.mean())} of this flank can be judged: the rest is glare, dark or cut off.",
            "Take the photo again with the whole flank in it and a soft lamp from the side.",
        )
    tried = [pigment for pigment in PIGMENTS if compound in (None, pigment.compound)]
    splits = _present([split_film(light.thinned(), pigment) for pigment in tried])
    least = max((split.merit for split in splits), default=0.0) - NEARLY_AS_GOOD
    fine = _present([refine_split(light, split) for split in splits if split.merit >= least])
    if not fine:
        raise NoCompound(
            "No marking compound was found on this flank: its colour is that of bare metal all over.",
            "Check that this is the marked flank, or coat and print again, and take the photo in even light.",
        )
    return sorted(fine, key=lambda split: -split.merit)


def _present(splits: Sequence[FilmSplit | None]) -> list[FilmSplit]:
    return [split for split in splits if split is not None and split.present]


def _suited(readings: list[FilmSplit], marking: Marking) -> list[FilmSplit]:
    """The readings, first the best one that suits the marking, when it is nearly as good as the best of all.

    Raises DoNotBelongTogether or NoCompound when none suits and the best plainly shows another marking.
    """
    for reading in readings:
        if reading.merit > readings[0].merit - NEARLY_AS_GOOD and suits(reading.film, marking):
            return [reading, *(other for other in readings if other is not reading)]
    if readings[0].merit > PLAIN_MERIT:
        refuse_contradiction(readings[0].film, marking)
    return readings


def _enlarged(grid: NDArray[np.float32], rows: int, cols: int) -> NDArray[np.float32]:
    return np.asarray(cv2.resize(grid, (cols, rows), interpolation=cv2.INTER_LINEAR), dtype=np.float32)
