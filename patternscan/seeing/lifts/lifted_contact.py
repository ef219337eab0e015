"""Which part of a flank carried contact, as its print on tape or paper tells it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np

from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs, NoCompound
from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.placed_flank import PlacedFlank
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS
from patternscan.seeing.lifts.card_light import CardLight, card_light
from patternscan.seeing.lifts.lifted_film import FAINT, LiftedFilm, lifted_film
from patternscan.seeing.quality.light import Grid
from patternscan.seeing.segmentation.contact_cautions import (
    cautions_of_contact,
    cautions_of_marking,
    cautions_of_places,
)
from patternscan.seeing.segmentation.contact_map import ContactMap
from patternscan.seeing.segmentation.contact_shape import shape_print, shape_rubbed
from patternscan.seeing.segmentation.contradiction import refuse_contradiction
from patternscan.seeing.segmentation.fused import expected_iou_of
from patternscan.seeing.segmentation.marking_signs import other_marking_logit

LEAST_BARE = 0.08
"""Part of what is looked at in and round the frame; with less bare card its white is not known (own guess)."""
SHINY_DOUBTFUL = 0.01
"""Part of the flank from which mirrored light is told (own guess)."""
EVEN_FILM, STEEP = 0.45, 40.0
"""Part of the flank under film between a print and paint, and how fast the odds rise from there. Of 132 lifts drawn of
the 39 machines of dev, rims and port one lies on the wrong side."""


@dataclass(frozen=True, slots=True)
class LiftSigns:
    """What tells on a lift whether the flank was painted: ``film``, the part of it under film."""

    film: float

    @property
    def paint_logit(self) -> float:
        """Logarithm of the odds that the flank was painted, and not printed by the worm."""
        return STEEP * (self.film - EVEN_FILM)


def segment_lift(placed: PlacedFlank, marking: Marking, compound: Compound | None) -> ContactMap:
    """Find the contact; ``compound`` None means find out which.

    Raises NoCompound, InconsistentInputs for white compound and where the other marking plainly shows.
    """
    if compound is Compound.WHITE:
        raise InconsistentInputs(
            "White compound does not show on a white card.",
            "Photograph the flank itself, or mark it with a coloured compound.",
        )
    card = card_light(placed.photo, placed.flank_map)
    film = _film_on(card)
    refuse_contradiction(film.there, marking)
    shape = shape_print if marking is Marking.TRANSFER else shape_rubbed
    cells = shape(film.share, card.seen)
    probability, judged = _enlarged(cells), _enlarged(card.seen.astype(np.float32)) > 0.5
    contact = np.asarray(probability > 0.5)
    signs = LiftSigns(float(film.there.mean()))
    return ContactMap(
        compound=film.compound if compound is None else compound,
        marking=marking,
        probability=probability,
        contact=contact,
        judged=judged,
        expected_iou=expected_iou_of(np.log(cells / (1 - cells))),
        agreement=None,
        cautions=(
            *_cautions_of_light(card),
            *_cautions_of_film(film, compound),
            *cautions_of_marking(other_marking_logit(signs, marking), marking),
            *cautions_of_places(contact & judged),
            *cautions_of_contact(contact, judged, marking),
        ),
        signs=signs,
    )


def _film_on(card: CardLight) -> LiftedFilm:
    if card.bare < LEAST_BARE:
        raise NoCompound(
            "Too little white card is seen in and round the drawn frame to tell compound from it.",
            "Stick the tape on plain white card with a finger's breadth of card all round, and take it in even light.",
        )
    film = lifted_film(card)
    if film is None:
        raise NoCompound(
            "No marking compound could be told from the card in the drawn frame.",
            "Check that the frame lies round the lift. If it does, too little came off: lift again with fresh tape, or "
            "photograph the flank itself.",
        )
    return film


def _cautions_of_light(card: CardLight) -> Iterator[Caution]:
    if card.shiny > SHINY_DOUBTFUL:
        yield caution("glare", share=card.shiny)


def _cautions_of_film(film: LiftedFilm, told: Compound | None) -> Iterator[Caution]:
    if film.strength < FAINT:
        yield caution("lift-faint")
    if told is not None and told is not film.compound and film.rival is not told:
        yield caution("compound-unlike", told=told.value, seen=film.compound.value)
    if told is None and film.rival is not None:
        yield caution("compound-uncertain", seen=film.compound.value, rival=film.rival.value)


def _enlarged(grid: Grid) -> Grid:
    return np.asarray(cv2.resize(grid, (FLAT_COLUMNS, FLAT_ROWS), interpolation=cv2.INTER_LINEAR), dtype=np.float32)
