"""What makes a reading of the compound doubtful, in words a fitter can act on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import cv2

from patternscan.cautions import Caution
from patternscan.frame import Compound, Marking, percent
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.segmentation.film import Mask
from patternscan.seeing.segmentation.film_split import FilmSplit
from patternscan.seeing.segmentation.fused import FusedSegmentation

RIVAL_NAME = 0.25
"""A second name that is likelier than this is told."""
SHINING = 100
"""What is not judged, although its strongest colour reaches this level, is hidden by glare, not by the dark."""
LEAST_PRINT = 0.05
"""A print smaller than this part of the flank is easily a smear or a reflection; thin films print a tenth or more."""


def doubts_of_light(flank: RectifiedFlank, judged: Mask) -> Iterator[Caution]:
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


def doubts_of_fused(fused: FusedSegmentation, names: Mapping[Compound, float]) -> Iterator[Caution]:
    """Contact that can hardly be told from metal, and compound whose name is uncertain, most likely name first."""
    if fused.faint:
        yield Caution(
            "weak-contrast",
            "Where compound ends and bare metal begins is not plain in this photo"
            + (": the contact drawn may be wrong." if fused.unclear else "."),
            "Look at the drawn contact. Take the photo in daylight without glare, or use a compound of another colour.",
            grave=fused.unclear,
        )
    first, *others = names
    if others and names[others[0]] > RIVAL_NAME:
        yield Caution(
            "compound-uncertain",
            f"The compound looks {first.value}, but could be {others[0].value}.",
            "Name the colour with --compound and read the photo again.",
        )


def doubts_of_marking(marking: Marking) -> Iterator[Caution]:
    """A flank that looks more like the other marking than the one that was told."""
    printed = marking is Marking.TRANSFER
    yield Caution(
        "marking-doubtful",
        "This flank looks painted and rubbed off, not printed by the worm."
        if printed
        else "This flank looks printed by the worm, not painted and rubbed off.",
        f"If so, read it again with --marking {'rub-off' if printed else 'transfer'}: the wrong one turns it round.",
        grave=True,
    )


def doubts_of_told(told: Compound, seen: Compound) -> Iterator[Caution]:
    """A compound that a person named and that looks like another."""
    yield Caution(
        "compound-uncertain",
        f"You said {told.value}, but the compound looks {seen.value}.",
        "Check the colour, or leave --compound out and read the photo again.",
    )


def doubts_of_film(readings: Sequence[FilmSplit], fused: FusedSegmentation, name: Compound) -> Iterator[Caution]:
    """Film that colours alone may mistake for mirrored bronze, best reading first, and that is not plain otherwise."""
    if fused.plain or not readings:
        return
    best = readings[0]
    if best.beyond < best.pigment.metal_doubt:
        yield Caution(
            "compound-uncertain",
            f"What looks like {name.value} compound may be bare metal mirrored in the next tooth.",
            "Check that this is the marked flank; if it is, use a compound of another colour, such as blue.",
            grave=True,
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
    hardly = marking is Marking.RUB_OFF and 0.0 < coverage < LEAST_PRINT
    if hardly or coverage == 0.0:
        yield Caution(
            "no-contact",
            f"Hardly any paint was rubbed off: only {percent(coverage)} of the flank looks bare."
            if hardly
            else "Compound was found, but no contact.",
            "Turn the worm under light drag through full mesh, both ways, and take the photo again.",
            grave=True,
        )
