"""The search for the camera that sees a flank's known edges where an outline has them.

A point of an outline lies somewhere on its edge, nobody knows where, so only its distance from the edge counts; the
four corners count in both directions. Points far off all the others lose their weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

import numpy as np
from numpy.typing import NDArray

from patternscan.quantiles import median
from patternscan.seeing.geometry.camera import FOCAL, FOCAL_SPREAD, NUMBERS, Camera, PhotoSize, first_numbers
from patternscan.seeing.geometry.fit_quality import FitQuality
from patternscan.seeing.geometry.flank_shape import FlankShape, grid_edges
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, OutlineSource, resampled

Numbers = NDArray[np.float64]

MARKED_UNCERTAINTY, FOUND_UNCERTAINTY, PULLED_UNCERTAINTY = 0.004, 0.02, 0.01
"""Standard deviation of an outline's point from the flank's edge, fraction of the face width: as a person marked it, as
the tool found it, as it was pulled onto edges. A person errs anew at every point; the others err as a whole, which many
points do not even out."""
LONGEST_EDGE, LONGEST_SHAPE = 33, 65
"""Outlined edges with more points are thinned; they are not that many times surer. So are those of the shape, which are
smooth enough for fewer."""
FIRST_FOCALS, FIRST_BEYOND = (1.3, 2.4, 0.8), (0.15, 0.3)
"""Where the search begins, the likeliest first: focal lengths, and parts of the face beyond an end that is ignored."""
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
OUTLIER = 4.5
"""Points further off than this many standard deviations are outliers: they do not tell how well the others fit."""
BORDER_PX = 2.0
"""A point this near to the photo's border marks the border, not an edge of the flank."""
CORNERS = (("root", "end_a"), ("root", "end_b"), ("tip", "end_a"), ("tip", "end_b"))
"""The edges that meet in each corner, in the order in which corners are kept here."""
SAMPLE_STEP = 1e-4
"""A step so small that the flank is flat over it, fraction of face width or flank height."""
KNOWN_GEAR_UNCERTAINTY, UNKNOWN_GEAR_UNCERTAINTY = 0.0015, 0.002
"""What is left along the face, fraction of the face width: when the gear is known, by its unknown profile and hob
oversize; when it is not, by all that the open amounts do not cover."""


class EdgeFit:
    """The search for one camera: outline, edges of a shape, and how far one is from the other.

    The numbers sought are the camera's, then the shape's open amounts. ``stack`` (..., 1 + k, 3) stands for points
    that the open amounts move. ``ignored`` names an end of the outline that is not the flank's own.
    """

    def __init__(self, outline: Outline, shape: FlankShape, size: PhotoSize, ignored: str | None = None) -> None:
        stack = shape.stack
        self.size, self.outline, self.shape, self.ignored = size, outline, shape, ignored
        self.middle: Numbers = stack[stack.shape[0] // 2, stack.shape[1] // 2, 0]
        self.edges = {name: _thinned(edge, LONGEST_SHAPE) for name, edge in grid_edges(stack).items()}
        self.all_edges = np.concatenate(list(self.edges.values()))
        self.edge_ends = np.cumsum([len(edge) for edge in self.edges.values()])[:-1]
        spread = np.r_[np.full(NUMBERS - 1, np.inf), FOCAL_SPREAD, np.ones(shape.open_amounts)]
        self.prior, self.prior_weight = np.zeros_like(spread), spread**-2
        self.prior[NUMBERS - 1] = np.log(FOCAL)
        self.width_px = outline.width_px
        self.noise_px = _point_uncertainty(outline) * self.width_px
        self.points = {name: self._within(_thinned(getattr(outline, name), LONGEST_EDGE)[1:-1]) for name in EDGE_NAMES}
        corners = np.array([outline.root[0], outline.root[-1], outline.tip[0], outline.tip[-1]])
        kept = off_border(corners, self.size)
        if ignored is not None:
            self.points[ignored] = np.empty((0, 2))
            kept &= np.array([end for _, end in CORNERS]) != ignored
        self.corners_px, self.corners = corners[kept], stack[[0, 0, -1, -1], [0, -1, 0, -1]][kept]

    @property
    def enough(self) -> bool:
        """Whether there is more to go by than there are numbers to find."""
        return 2 * len(self.corners_px) + sum(map(len, self.points.values())) > NUMBERS

    def starts(self) -> Iterator[Numbers]:
        """First guesses for several focal lengths, as if points ran through an edge evenly in mm and in px alike; where
        an end is ignored, for several parts of the face beyond it.
        """
        for focal, beyond in product(FIRST_FOCALS, FIRST_BEYOND if self.ignored else (0.0,)):
            points, pixels = self._even_points(beyond)
            numbers = first_numbers(points - self.middle, pixels, focal, self.size)
            if numbers is not None:
                yield np.r_[numbers, np.zeros(self.shape.open_amounts)]

    def _even_points(self, beyond: float) -> tuple[Numbers, Numbers]:
        """Points on the edges, (n, 3), and on the outline, (n, 2), as if they ran evenly through both alike, where the
        outline lacks a part of the face beyond the ignored end.
        """
        face = (beyond, 1.0) if self.ignored == "end_a" else (0.0, 1.0 - beyond)
        run = {name: (np.linspace(*face, 9), np.linspace(0, 1, 9)) for name in ("root", "tip")}
        run |= {name: 2 * (np.linspace(0, 1, 4),) for name in ("end_a", "end_b") if name != self.ignored}
        points = [resampled(self.edges[name][:, 0], there) for name, (there, _) in run.items()]
        pixels = [resampled(getattr(self.outline, name), here) for name, (_, here) in run.items()]
        return np.vstack(points), np.vstack(pixels)

    def best(self, good_enough: float) -> Numbers | None:
        """The best camera found; the search ends early once the outline lies within ``good_enough`` of the edges."""
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
        damping = 1e-3
        for _ in range(ROUNDS):
            residuals, jacobian = self._linearised(numbers)
            scale = self._scale(residuals)
            weight = 1 / (1 + (residuals / (ROBUST_SCALE * scale)) ** 2) ** 2 / scale**2
            normal = jacobian.T @ (weight[:, None] * jacobian) + np.diag(self.prior_weight)
            gradient = jacobian.T @ (weight * residuals) + self.prior_weight * (numbers - self.prior)
            before = self.cost(numbers, scale)
            for _ in range(TRIES):
                damped = normal + damping * np.diag(np.diag(normal) + TINY)
                step = np.clip(np.linalg.solve(damped, -gradient), -LONGEST_STEP, LONGEST_STEP)
                after = self.cost(numbers + step, scale)
                if after < before:
                    break
                damping *= 10
            else:
                return numbers
            numbers, damping = numbers + step, max(damping / 10, 1e-7)
            if before - after < 1e-4:
                return numbers
        return numbers

    def cost(self, numbers: Numbers, scale: float | None = None) -> float:
        """How badly a camera fits; distances count in units of ``scale`` px, large ones hardly more than middling."""
        off = (self._residuals(numbers) / ((scale or self.noise_px) * ROBUST_SCALE)) ** 2
        unusual = self.prior_weight * (numbers - self.prior) ** 2
        return float(ROBUST_SCALE**2 * (off / (1 + off)).sum() + unusual.sum())

    def quality(self, numbers: Numbers) -> FitQuality:
        """How well a camera fits."""
        residuals = self._residuals(numbers)
        near = np.abs(residuals) < OUTLIER * self._scale(residuals)
        edges = np.split(
            ~near[2 * len(self.corners_px) :], np.cumsum([len(edge) for edge in self.points.values()])[:-1]
        )
        most = max((float(far.mean()) for far in edges if far.sum() > 1), default=0.0)
        whole, inliers = self._rms(residuals), self._rms(residuals[near])
        uncertainty = self.place_uncertainty(numbers, max(self.noise_px, whole * self.width_px))
        return FitQuality(whole, inliers, 1 - float(near.mean()), most, uncertainty)

    def _scale(self, residuals: Numbers) -> float:
        """Standard deviation of the points that lie well, in px, as the median tells it."""
        return max(self.noise_px, MEDIAN_TO_DEVIATION * median(np.abs(residuals)))

    def _rms(self, residuals: Numbers) -> float:
        return float(np.sqrt((residuals**2).sum() / max(len(residuals) - len(self.prior), 1))) / self.width_px

    def place_uncertainty(self, numbers: Numbers, noise_px: float) -> float:
        """Likely error along the face when the outline's points are off by ``noise_px``, over places all over it."""
        _, jacobian = self._linearised(numbers)
        information = jacobian.T @ jacobian / noise_px**2 + np.diag(self.prior_weight)
        points, by_along, by_up = _sampled(self.shape.stack)
        along, up = (self._see(numbers, points + by) - self._see(numbers, points) for by in (by_along, by_up))
        moved = self._pixel_jacobian(numbers, points)
        square = np.stack([up[:, 1], -up[:, 0]], axis=1) / (along * np.stack([up[:, 1], -up[:, 0]], axis=1)).sum(
            axis=1, keepdims=True
        )
        shift = SAMPLE_STEP * np.einsum("ni,nik->nk", square, moved)
        variance = np.einsum("ni,ij,nj->n", shift, np.linalg.pinv(information), shift).mean()
        rest = KNOWN_GEAR_UNCERTAINTY if self.shape.pair is not None else UNKNOWN_GEAR_UNCERTAINTY
        return float(np.sqrt(variance + rest**2))

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

    def _linearised(self, numbers: Numbers) -> tuple[Numbers, Numbers]:
        """The distances (n,), and how they change with the numbers (n, 7 + k) while each point keeps its match."""
        match = self._matched(numbers)
        jacobian = np.einsum("nij,ni->nj", self._pixel_jacobian(numbers, match[0]), match[2])
        return self._distances(numbers, *match), jacobian

    def _pixel_jacobian(self, numbers: Numbers, stack: Numbers) -> Numbers:
        """How pixels of points given as a stack (n, 1 + k, 3) move with each number, (n, 2, 7 + k)."""
        jacobian = self.camera(numbers).moves(numbers, self.middle, self.points_of(numbers, stack))
        by_shape = jacobian[..., NUMBERS:] @ stack[:, 1:].transpose(0, 2, 1)
        return np.concatenate([jacobian[..., :NUMBERS], by_shape], axis=2)

    def _distances(self, numbers: Numbers, points: Numbers, pixels: Numbers, directions: Numbers) -> Numbers:
        off: Numbers = ((self._see(numbers, points) - pixels) * directions).sum(axis=1)
        return off

    def _matched(self, numbers: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        """The nearest point of the edge as a stack (n, 1 + k, 3) for each of the outline's points (n, 2), and the
        direction (n, 2) in which its distance counts.
        """
        count = len(self.corners_px)
        points = [self.corners, self.corners]
        pixels = [self.corners_px, self.corners_px]
        directions = [np.tile([1.0, 0.0], (count, 1)), np.tile([0.0, 1.0], (count, 1))]
        seen = np.split(self._see(numbers, self.all_edges), self.edge_ends)
        for (name, edge), line in zip(self.edges.items(), seen, strict=True):
            start, share, square = _nearest(line, self.points[name])
            points.append(edge[start] * (1 - share[..., None]) + edge[start + 1] * share[..., None])
            pixels.append(self.points[name])
            directions.append(square)
        return np.vstack(points), np.vstack(pixels), np.vstack(directions)

    def _within(self, pixels: Numbers) -> Numbers:
        return pixels[off_border(pixels, self.size)]


def off_border(pixels: Numbers, size: PhotoSize) -> NDArray[np.bool_]:
    """Which points (n, 2) do not lie on the border of a photo of ``size`` px."""
    to_border = np.minimum(pixels, np.array(size) - 1 - pixels).min(axis=1)
    return np.asarray(np.abs(to_border) > BORDER_PX)


def _nearest(line: Edge, pixels: Numbers) -> tuple[NDArray[np.intp], Numbers, Numbers]:
    """For each pixel (n, 2) the nearest piece of a polyline: its number (n,), how far along it (n, 1), and the unit
    step square to it (n, 2).
    """
    (x, y), (right, down) = line[:-1].T, (line[1:] - line[:-1]).T
    squared = np.maximum(right * right + down * down, 1e-12)
    from_x, from_y = pixels[:, :1] - x, pixels[:, 1:] - y
    shares = np.minimum(np.maximum((from_x * right + from_y * down) / squared, 0.0), 1.0)
    nearest = ((from_x - shares * right) ** 2 + (from_y - shares * down) ** 2).argmin(axis=1)
    length = np.sqrt(squared[nearest])
    square = np.stack([-down[nearest] / length, right[nearest] / length], axis=1)
    return nearest, shares[np.arange(len(pixels)), nearest][:, None], square


def _sampled(stack: Numbers) -> tuple[Numbers, Numbers, Numbers]:
    """Places all over a stack (rows, columns, 1 + k, 3) and steps of SAMPLE_STEP along and up, each (n, 1 + k, 3)."""
    rows, columns = (np.linspace(0.1, 0.9, 5) * (count - 1) for count in stack.shape[:2])
    row, column = (index.ravel() for index in np.meshgrid(rows.astype(np.intp), columns.astype(np.intp)))
    here = stack[row, column]
    by_along = (stack[row, column + 1] - here) * (stack.shape[1] - 1)
    by_up = (stack[row + 1, column] - here) * (stack.shape[0] - 1)
    return here, SAMPLE_STEP * by_along, SAMPLE_STEP * by_up


def _thinned(edge: Edge, most: int) -> Edge:
    """At most so many points of an edge, first and last among them."""
    if len(edge) <= most:
        return edge
    return edge[np.linspace(0, len(edge) - 1, most).round().astype(np.intp)]


def _point_uncertainty(outline: Outline) -> float:
    if outline.pulled:
        return PULLED_UNCERTAINTY
    return FOUND_UNCERTAINTY if outline.source is OutlineSource.FOUND else MARKED_UNCERTAINTY
