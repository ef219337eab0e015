"""The flank that lies where the net has its places: a camera that sees a known or usual flank's points there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.seeing.geometry.camera import Lens, first_numbers
from patternscan.seeing.geometry.camera_fit import CameraFit, Match
from patternscan.seeing.geometry.flank_shape import FlankShape
from patternscan.seeing.geometry.outline import Edge
from patternscan.seeing.outline_search.closer_look import FoundFlank

Numbers = NDArray[np.float64]

MOST_POINTS = 150
"""So many of a flank's pixels tell where it lies, with its corners."""
UNCERTAINTY = 0.012
"""Standard deviation of a place, fraction of the face width: more than they are off, since they are off together."""
GOOD_ENOUGH = 0.012
"""Where all places lie so near to a shape's, fraction of the face width, no other focal length is tried."""


@dataclass(frozen=True, slots=True, eq=False)
class PlacedShape:
    """A shape laid on a found flank: its ``edges`` as they are seen, the ``numbers`` of camera and open amounts that
    see them there (see ``CameraFit``; None when no camera was sought), and how far its places lie from the flank's, one
    standard deviation, fraction of the face width.
    """

    shape: FlankShape
    edges: dict[str, Edge]
    numbers: Numbers | None
    spread: float


class PlaceFit(CameraFit):
    """The search for the camera that sees places of a flank at pixels, as one or several looks tell them."""

    def __init__(self, looks: Sequence[FoundFlank], flank: Flank, shape: FlankShape, lens: Lens) -> None:
        corners = looks[0].window.in_photo(looks[0].near.corners)
        width_px = float(np.linalg.norm(corners[[0, 3]] - corners[[1, 2]], axis=1).mean())
        super().__init__(shape, lens, width_px, UNCERTAINTY * width_px)
        told = [found.told_places(MOST_POINTS // len(looks)) for found in looks]
        self.pixels, places = (np.vstack(points) for points in zip(*told, strict=True))
        if flank is Flank.LEFT:
            places = np.stack([1 - places[:, 0], places[:, 1]], axis=1)
        self.points = _on_shape(shape, places)

    def starts(self) -> Iterator[Numbers]:
        """First guesses for several focal lengths, the flank's likeliest shape taken for the true one."""
        points = np.ascontiguousarray(self.points[:, 0] - self.middle)
        for focal in self.first_focals:
            numbers = first_numbers(points, self.pixels, focal, self.size)
            if numbers is not None:
                yield np.r_[numbers, np.zeros(self.shape.open_amounts)]

    def placed(self, numbers: Numbers) -> PlacedShape:
        """The shape where the numbers put it."""
        spread = self.spread_px(self._residuals(numbers)) / self.width_px
        return PlacedShape(self.shape, self.edges_seen(numbers), numbers, spread)

    def _matched(self, numbers: Numbers) -> Match:  # noqa: ARG002 (the same points whatever the camera)
        count = len(self.pixels)
        ways = np.repeat(np.eye(2), count, axis=0)
        return np.concatenate([self.points] * 2), np.concatenate([self.pixels] * 2), ways


def place_on(looks: Sequence[FoundFlank], flank: Flank, shapes: Iterable[FlankShape], lens: Lens) -> PlacedShape | None:
    """The shape that lies best on a flank's places as the first look tells them, moved to where all looks together
    tell them, with its spread by the first; None when no camera sees any there.
    """
    best: tuple[float, PlaceFit, Numbers] | None = None
    for fit in (PlaceFit(looks[:1], flank, shape, lens) for shape in shapes):
        numbers = fit.best(GOOD_ENOUGH)
        if numbers is not None and (best is None or fit.cost(numbers) < best[0]):
            best = fit.cost(numbers), fit, numbers
    if best is None:
        return None
    _, first, numbers = best
    fit = PlaceFit(looks, flank, first.shape, lens)
    settled = fit.settle(numbers)
    return replace(first.placed(numbers), edges=fit.edges_seen(settled), numbers=settled)


def _on_shape(shape: FlankShape, places: Numbers) -> Numbers:
    """Points as a stack (n, 1 + k, 3) of places (n, 2), along and up, on a shape's grid, beyond it straight on."""
    last = np.array(shape.stack.shape[1::-1]) - 1
    cell = np.clip(np.floor(places * last), 0, last - 1).astype(np.intp)
    x, y = (places * last - cell).T[..., None, None]
    column, row = cell.T
    low = shape.stack[row, column] * (1 - x) + shape.stack[row, column + 1] * x
    high = shape.stack[row + 1, column] * (1 - x) + shape.stack[row + 1, column + 1] * x
    points: Numbers = low * (1 - y) + high * y
    return points
