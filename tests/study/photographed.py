"""The flanks of the benchmark's photographs, rectified and read once for the whole study."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np

from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import Flank, Marking
from patternscan.gearing.pair import WormPair
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, PictureSide, checked_outline
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.search import find_outlines
from patternscan.workflow.read import read_flank, read_found
from tests.benchmarks.found import best_overlap
from tests.benchmarks.scenes import Scene, Split, clicked_outline, scenes

SAME_FLANK = 0.7
"""Overlap of two outlines of one flank, at least."""


class Photographed(NamedTuple):
    """A photograph whose truth is known, and what was read from it."""

    scene: Scene
    reading: Reading


def outline_of(one: Scene) -> Outline:
    """The outline as a careful person clicks it."""
    clicked = clicked_outline(one)["flanks"][0]
    return checked_outline({name: np.array(clicked[name]) for name in EDGE_NAMES}, Flank(clicked["flank"]))


@cache
def photographed(split: Split) -> tuple[Photographed, ...]:
    """All photographs of a set, read with their outlines clicked and no gear data."""
    return tuple(Photographed(one, read(one, None)) for one in scenes(split))


def found_outline(one: Scene, photo: Photo) -> Outline:
    """The outline as the search finds it. Raises NoTrustworthyOutline where none that is used lies round this flank."""
    flank, tip = Flank(one.truth["flank"]), PictureSide(one.truth["tip"])
    for outline in find_outlines(photo, flank, Hint(tip)):
        if best_overlap(outline, [outline_of(one).border], photo) > SAME_FLANK:
            return outline
    raise NoTrustworthyOutline("The search finds no outline of this flank.", "Mark it by hand.")


def read(one: Scene, pair: WormPair | None, found: bool = False) -> Reading:
    """The flank read as a person would have it read, its outline clicked or ``found``. Raises PatternscanError when it
    is declined.
    """
    photo = load_photo(one.photo)
    marking = Marking(one.truth["marking"])
    if found:
        return read_found(photo, found_outline(one, photo), marking, None, pair)
    return read_flank(photo, outline_of(one), marking, None, pair)
