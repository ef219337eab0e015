"""The flanks of the benchmark's photographs, rectified and read once for the whole study."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np

from patternscan.frame import Flank, Marking
from patternscan.gearing.pair import WormPair
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline
from patternscan.seeing.image.photo import load_photo
from patternscan.workflow.read import read_flank
from tests.benchmarks.scenes import Scene, Split, clicked_outline, scenes


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


def read(one: Scene, pair: WormPair | None) -> Reading:
    """The flank read as a person would have it read. Raises PatternscanError when it is declined."""
    return read_flank(load_photo(one.photo), outline_of(one), Marking(one.truth["marking"]), None, pair)
