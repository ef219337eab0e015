"""The search for the camera that sees points of a flank where a picture has them, and for a shape's open amounts.

Points far off all the others lose their weight.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from patternscan.quantiles import median
from patternscan.seeing.geometry.camera import FOCAL, FOCAL_SPREAD, NUMBERS, TOLD_FOCAL_SPREAD, Camera, Lens
from patternscan.seeing.geometry.flank_shape import FlankShape, grid_edges
from patternscan.seeing.geometry.outline import Edge

Numbers = NDArray[np.float64]
Match = tuple[Numbers, Numbers, Numbers]
"""Points as a stack (n, 1 + k, 3), pixels (n, 2) where they are to be seen, and the directions (n, 2) that count."""

FIRST_FOCALS = (1.3, 2.4, 0.8)
"""Focal lengths where the search begins, the likeliest first; before these the one that is told."""
ROUNDS, TRIES = 25, 6
"""Most steps of a search, and most attempts to find one that fits better, each ten times shorter than the last."""
LONGEST_STEP = 1.0
"""No number changes by more than this at a step: angles in radians, logarithms, standard deviations."""
TINY = 1e-6
"""Keeps the equations solvable when a number changes nothing that is seen."""
MEDIAN_TO_DEVIATION = 1.4826
"""Standard deviation over median distance of a normal law (any table)."""
ROBUST_SCALE = 3.0
"""Points further off than this many standard deviations lose their weight little by little."""


class CameraFit(ABC):
    """The search for one camera, whose numbers come first, and for the open amounts of a shape.

    ``width_px``: the flank's width in the photo taken through ``lens``; ``noise_px``: likely error of a pixel, one
    standard deviation. ``stack`` (..., 1 + k, 3) stands for points that the open amounts move.
    """

    def __init__(self, shape: FlankShape, lens: Lens, width_px: float, noise_px: float) -> None:
        self.shape, self.lens, self.width_px, self.noise_px = shape, lens, width_px, noise_px
        self.size = lens.size_px
        self.middle: Numbers = shape.stack[shape.stack.shape[0] // 2, shape.stack.shape[1] // 2, 0]
        likely, off = (FOCAL, FOCAL_SPREAD) if lens.focal is None else (lens.focal, TOLD_FOCAL_SPREAD)
        self.first_focals = FIRST_FOCALS if lens.focal is None else (lens.focal, *FIRST_FOCALS)
        spread = np.r_[np.full(NUMBERS - 1, np.inf), off, np.ones(shape.open_amounts)]
        self.prior, self.prior_weight = np.zeros_like(spread), spread**-2
        self.prior[NUMBERS - 1] = np.log(likely)

    @abstractmethod
    def starts(self) -> Iterator[Numbers]:
        """First guesses, the likeliest first."""

    @abstractmethod
    def _matched(self, numbers: Numbers) -> Match:
        """What is to be seen where."""

    def edges_seen(self, numbers: Numbers) -> dict[str, Edge]:
        """The flank's four edges as the camera sees them."""
        return grid_edges(self._see(numbers, self.shape.stack))

    def best(self, good_enough: float) -> Numbers | None:
        """The best camera found; the search ends early once the points lie within ``good_enough`` (a
        part of the flank's width) of where they are to be seen.
        """
        best = None
        for start in self.starts():
            found = self.settle(start)
            if best is None or self.cost(found) < self.cost(best):
                best = found
            if self._rms(self._residuals(best)) <= good_enough:
                break
        return best

    def settle(self, numbers: Numbers) -> Numbers:
        """Steps of Levenberg and Marquardt, the points weighted anew at every step, until nothing gets better."""
        damping, match = 1e-3, self._matched(numbers)
        residuals = self._distances(numbers, *match)
        for _ in range(ROUNDS):
            jacobian = self._jacobian(numbers, match)
            scale = self._scale(residuals)
            weight = 1 / (1 + (residuals / (ROBUST_SCALE * scale)) ** 2) ** 2 / scale**2
            normal = jacobian.T @ (weight[:, None] * jacobian) + np.diag(self.prior_weight)
            gradient = jacobian.T @ (weight * residuals) + self.prior_weight * (numbers - self.prior)
            before = self._cost_of(residuals, numbers, scale)
            for _ in range(TRIES):
                damped = normal + damping * np.diag(np.diag(normal) + TINY)
                moved = numbers + np.clip(np.linalg.solve(damped, -gradient), -LONGEST_STEP, LONGEST_STEP)
                match = self._matched(moved)
                residuals = self._distances(moved, *match)
                after = self._cost_of(residuals, moved, scale)
                if after < before:
                    break
                damping *= 10
            else:
                return numbers
            numbers, damping = moved, max(damping / 10, 1e-7)
            if before - after < 1e-4:
                return numbers
        return numbers

    def cost(self, numbers: Numbers) -> float:
        """How badly a camera fits; distances count in units of ``noise_px``, large ones hardly more than middling."""
        return self._cost_of(self._residuals(numbers), numbers, self.noise_px)

    def _cost_of(self, residuals: Numbers, numbers: Numbers, scale: float) -> float:
        """The same of distances that are known, in units of ``scale`` px."""
        off = (residuals / (scale * ROBUST_SCALE)) ** 2
        unusual = self.prior_weight * (numbers - self.prior) ** 2
        return float(ROBUST_SCALE**2 * (off / (1 + off)).sum() + unusual.sum())

    def spread_px(self, residuals: Numbers) -> float:
        """Standard deviation of the points that lie well, in px, as the median tells it."""
        return MEDIAN_TO_DEVIATION * median(np.abs(residuals))

    def _scale(self, residuals: Numbers) -> float:
        return max(self.noise_px, self.spread_px(residuals))

    def _rms(self, residuals: Numbers) -> float:
        return float(np.sqrt((residuals**2).sum() / max(len(residuals) - len(self.prior), 1))) / self.width_px

    def camera(self, numbers: Numbers) -> Camera:
        """The camera that the numbers describe."""
        return Camera.of_numbers(numbers[:NUMBERS], self.middle, self.size)

    def points_of(self, numbers: Numbers, stack: Numbers) -> Numbers:
        """Where the open amounts put the points of a stack (..., 1 + k, 3), as (..., 3)."""
        points: Numbers = np.einsum("k,...kj->...j", np.append(1.0, numbers[NUMBERS:]), stack)
        return points

    def _see(self, numbers: Numbers, stack: Numbers) -> Numbers:
        return self.camera(numbers).see(self.points_of(numbers, stack))

    def _residuals(self, numbers: Numbers) -> Numbers:
        """Signed distances in px of all points from their edges, and of the corners in x and in y."""
        return self._distances(numbers, *self._matched(numbers))

    def _jacobian(self, numbers: Numbers, match: Match) -> Numbers:
        """How the distances (n,) change with the numbers, (n, 7 + k), while each point keeps its match."""
        return np.asarray(np.einsum("nij,ni->nj", self._pixel_jacobian(numbers, match[0]), match[2]))

    def _pixel_jacobian(self, numbers: Numbers, stack: Numbers) -> Numbers:
        """How pixels of points given as a stack (n, 1 + k, 3) move with each number, (n, 2, 7 + k)."""
        jacobian = self.camera(numbers).moves(numbers, self.middle, self.points_of(numbers, stack))
        by_shape = jacobian[..., NUMBERS:] @ stack[:, 1:].transpose(0, 2, 1)
        return np.concatenate([jacobian[..., :NUMBERS], by_shape], axis=2)

    def _distances(self, numbers: Numbers, points: Numbers, pixels: Numbers, directions: Numbers) -> Numbers:
        off: Numbers = ((self._see(numbers, points) - pixels) * directions).sum(axis=1)
        return off
