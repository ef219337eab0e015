"""What makes a reading of the compound doubtful, in words a fitter can act on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import cv2
import numpy as np

from patternscan.cautions import Caution
from patternscan.frame import Marking, percent
from patternscan.seeing.film import Mask
from patternscan.seeing.flank import FlattenedFlank
from patternscan.seeing.shaded_split import ShadedSplit
from patternscan.seeing.split import FilmSplit

CLOSE_NAMES = 1.0
"""Two names whose unlikeliness differs by less than this are both possible."""
SHINING = 100
"""What is not judged, although its strongest colour reaches this level, is hidden by glare, not by the dark."""
LEAST_PRINT = 0.05
"""A print smaller than this part of the flank is easily a smear or a reflection; thin films print a tenth or more."""


def doubts_of_light(flank: FlattenedFlank, judged: Mask) -> Iterator[Caution]:
    """Glare, darkness, and a flank cut off by the edge of the photo."""
    outside = 1 - float(flank.seen.mean()) - flank.hidden_fraction
    if outside > 0.02:
        yield Caution(
            "cut-off",
            f"{percent(outside)} of the flank lies outside the photo.",
            "Take the photo again with the whole flank in it.",
            grave=outside > 0.15,
        )
    red, green, blue = cv2.split(flank.pixels)
    bright = cv2.max(cv2.max(red, green), blue)
    glare = float((flank.seen & ~judged & (bright >= SHINING)).mean())
    if glare > 0.04:
        yield Caution(
            "glare",
            f"Glare hides {percent(glare)} of the flank.",
            "Move the lamp to the side or shade it, then take the photo again.",
            grave=glare > 0.25,
        )
    dark = float((bright[flank.seen] < 40).mean()) if flank.seen.any() else 0.0
    if dark > 0.5:
        yield Caution(
            "too-dark",
            "Most of the flank is very dark in this photo.",
            "Give more light from the side and take the photo again.",
            grave=dark > 0.9,
        )


def doubts_of_film(readings: Sequence[FilmSplit]) -> Iterator[Caution]:
    """Compound that hardly differs from the metal, and compound whose colour is uncertain. Best reading first."""
    best = readings[0]
    if best.rise < 1.5 * best.pigment.least_rise or best.separation < 2.5:
        yield Caution(
            "weak-contrast",
            "Compound and metal look much alike in this photo.",
            "Use a compound of another colour, or take the photo in daylight without glare.",
        )
    if best.beyond < best.pigment.metal_doubt:
        yield Caution(
            "compound-uncertain",
            f"What looks like {best.pigment.compound.value} compound may be bare metal mirrored in the next tooth.",
            "Check that this is the marked flank; if it is, use a compound of another colour, such as blue.",
            grave=True,
        )
    others = [r for r in readings if r.pigment.compound is not best.pigment.compound]
    if others and others[0].merit > best.merit - 0.4:
        yield Caution(
            "compound-uncertain",
            f"The compound looks {best.pigment.compound.value}, but could be {others[0].pigment.compound.value}.",
            "Name the colour with --compound and read the photo again.",
            grave=_agreement(best, others[0]) < 0.5,
        )


def doubts_of_second_look(split: ShadedSplit) -> Iterator[Caution]:
    """Film that colour alone did not show: its place is too often wrong for a direction, its name may be another.

    Of such readings on photographs repainted with white, yellow, orange and light blue, a third were misplaced.
    """
    name = split.pigment.compound
    yield Caution(
        "weak-contrast",
        f"Compound and metal look much alike in this photo: what looks like {name.value} compound may be bare metal.",
        "Look at the drawn contact; use a compound of another colour, such as blue, or take the photo in daylight.",
        grave=True,
    )
    other = next((one for one in split.pigments if one.compound is not name), None)
    if other is not None and split.unlikeliness(other) < split.unlikeliness(split.pigment) + CLOSE_NAMES:
        yield Caution(
            "compound-uncertain",
            f"The compound looks {name.value}, but could be {other.compound.value}.",
            "Name the colour with --compound and read the photo again.",
        )


def doubts_of_contact(contact: Mask, judged: Mask, marking: Marking) -> Iterator[Caution]:
    """A flank that carries no contact, or hardly anything else."""
    coverage = float(contact[judged].mean()) if judged.any() else 0.0
    if coverage > 0.65:
        printed = marking is Marking.TRANSFER
        yield Caution(
            "thick-coat" if printed else "rubbed-all-over",
            f"{percent(coverage)} of the flank is {'marked' if printed else 'rubbed bare'}: its place says little.",
            "Paint the worm thinner and print again." if printed else "Paint the flank again, evenly and thinly.",
            grave=coverage > 0.8,
        )
    if marking is Marking.TRANSFER and 0.0 < coverage < LEAST_PRINT:
        yield Caution(
            "compound-uncertain",
            f"What looks like compound covers only {percent(coverage)} of the flank: it may be a smear or reflection.",
            "Check that this is the marked flank, or paint the worm a little thicker and print again.",
            grave=True,
        )
    if coverage == 0.0:
        yield Caution(
            "no-contact",
            "Compound was found, but no contact.",
            "Turn the worm under light drag through full mesh, both ways, and take the photo again.",
            grave=True,
        )


def _agreement(first: FilmSplit, second: FilmSplit) -> float:
    """Overlap of two readings' films over their union."""
    one, two = first.film, second.film
    return float((one & two).sum() / max(int(np.sum(one | two)), 1))
