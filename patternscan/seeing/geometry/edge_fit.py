"""The search for the camera that sees a flank's known edges where an outline has them.

A point of an outline lies somewhere on its edge, nobody knows where, so only its distance from the edge counts; the
four corners count in both directions.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.camera import NUMBERS, Lens, PhotoSize, first_numbers
from patternscan.seeing.geometry.camera_fit import CameraFit, Match
from patternscan.seeing.geometry.flank_shape import FlankShape, grid_edges
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, OutlineSource, resampled

Numbers = NDArray[np.float64]

ROUGH_RMS, LARGEST_RMS, LARGEST_INLIER_RMS = 0.008, 0.012, 0.007
"""Outlines clicked on rendered photos, each point off by 0.004, gave 0.0026 to 0.0055 with the right gear data; with
the wrong hand 0.007 to 0.034, with a module wrong by a fifth 0.009 to 0.025. Beyond the largest the edges alone tell
places better."""
MUCH_OF_EDGE = 0.34
"""The edge as a person marked it outranks the tooth's shape when more than this part of it lies far off: of nine points
at the tip three when a straight rim was taken for a throated one, of careful clicks none."""
CLOSE_RMS, FEW_OUTLIERS = 0.005, 0.13
"""Where all but a few points fit so well, those few are left aside."""
MARKED_UNCERTAINTY, DRAWN_UNCERTAINTY = 0.004, 0.01
"""Standard deviation of an outline's point from the flank's edge, fraction of the face width: as a person marked it, as
it was found, or pulled onto edges. A person errs anew at every point; the tool errs as a whole, which many points do
not even out."""
ROOT_WEIGHT = 0.5
"""What a distance from a found outline's root counts for beside one from its tip or ends: the root shows no edge onto
which it could be drawn. On dev, rims and port (52 flanks) it lies off by 0.006 of the face width, the tip by 0.004, the
ends by 0.002 (median)."""
LONGEST_EDGE, LONGEST_SHAPE = 33, 65
"""Outlined edges with more points are thinned; they are not that many times surer. So are those of the shape, which are
smooth enough for fewer."""
FIRST_BEYOND = (0.15, 0.3)
"""Parts of the face beyond an end that is ignored, where the search begins."""
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


@dataclass(frozen=True, slots=True)
class FitQuality:
    """How well a camera fits an outline, in fractions of the face width.

    ``rms``: distance of the outline's points from the fitted edges, one standard deviation; ``inlier_rms`` the same
    without the points that are far off, ``outlier_share`` the part of these, ``edge_share`` their part of the edge that
    has most of them. ``uncertainty``: likely error of a place along the face, one standard deviation.
    """

    rms: float
    inlier_rms: float
    outlier_share: float
    edge_share: float
    uncertainty: float

    @property
    def plausible(self) -> bool:
        """Whether the outline can be that of this gear's flank, perhaps with a small part of it hidden or cut off."""
        but_for_a_part = self.inlier_rms <= LARGEST_INLIER_RMS and self.edge_share <= MUCH_OF_EDGE
        return self.rms <= LARGEST_RMS or but_for_a_part

    @property
    def rough(self) -> bool:
        """Whether some of the outline lies further off than a steady hand would set it."""
        return self.rms > ROUGH_RMS

    @property
    def close(self) -> bool:
        """Whether all points lie on the flank's edges, or all but a few that are better left aside."""
        return not self.rough or (self.inlier_rms <= CLOSE_RMS and self.outlier_share <= FEW_OUTLIERS)


class EdgeFit(CameraFit):
    """The search for one camera: outline, edges of a shape, and how far one is from the other.

    ``ignored`` names an end of the outline that is not the flank's own.
    """

    def __init__(self, outline: Outline, shape: FlankShape, lens: Lens, ignored: str | None = None) -> None:
        uncertainty = MARKED_UNCERTAINTY if outline.by_hand else DRAWN_UNCERTAINTY
        super().__init__(shape, lens, outline.width_px, uncertainty * outline.width_px)
        self.outline, self.ignored, stack = outline, ignored, shape.stack
        self.edges = {name: _thinned(edge, LONGEST_SHAPE) for name, edge in grid_edges(stack).items()}
        self.all_edges = np.concatenate(list(self.edges.values()))
        self.edge_starts = np.cumsum([0, *(len(edge) for edge in self.edges.values())])
        self.points = {name: self._within(_thinned(getattr(outline, name), LONGEST_EDGE)[1:-1]) for name in EDGE_NAMES}
        corners = np.array([outline.root[0], outline.root[-1], outline.tip[0], outline.tip[-1]])
        kept = off_border(corners, self.size)
        if ignored is not None:
            self.points[ignored] = np.empty((0, 2))
            kept &= np.array([end for _, end in CORNERS]) != ignored
        self.corners_px, self.corners = corners[kept], stack[[0, 0, -1, -1], [0, -1, 0, -1]][kept]
        self.pixels = np.concatenate([self.corners_px, self.corners_px, *self.points.values()])
        weight = dict.fromkeys(EDGE_NAMES, 1.0)
        weight["root"] = ROOT_WEIGHT if outline.source is OutlineSource.FOUND else 1.0
        at_corners = np.array([weight[edge] for edge, _ in CORNERS])[kept]
        at_points = [np.full(len(points), weight[name]) for name, points in self.points.items()]
        self.weight = np.concatenate([at_corners, at_corners, *at_points])

    @property
    def enough(self) -> bool:
        """Whether there is more to go by than there are numbers to find."""
        return 2 * len(self.corners_px) + sum(map(len, self.points.values())) > NUMBERS

    def starts(self) -> Iterator[Numbers]:
        """First guesses for several focal lengths, as if points ran through an edge evenly in mm and in px alike; where
        an end is ignored, for several parts of the face beyond it.
        """
        for focal, beyond in product(self.first_focals, FIRST_BEYOND if self.ignored else (0.0,)):
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

    def quality(self, numbers: Numbers) -> FitQuality:
        """How well a camera fits."""
        residuals = self._residuals(numbers) / self.weight
        near = np.abs(residuals) < OUTLIER * self._scale(residuals)
        edges = np.split(
            ~near[2 * len(self.corners_px) :], np.cumsum([len(edge) for edge in self.points.values()])[:-1]
        )
        most = max((float(far.mean()) for far in edges if far.sum() > 1), default=0.0)
        whole, inliers = self._rms(residuals), self._rms(residuals[near])
        uncertainty = self.place_uncertainty(numbers, max(self.noise_px, whole * self.width_px))
        return FitQuality(whole, inliers, 1 - float(near.mean()), most, uncertainty)

    def place_uncertainty(self, numbers: Numbers, noise_px: float) -> float:
        """Likely error along the face when the outline's points are off by ``noise_px``, over places all over it."""
        jacobian = self._jacobian(numbers, self._matched(numbers))
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

    def _matched(self, numbers: Numbers) -> Match:
        """The nearest point of the edge as a stack (n, 1 + k, 3) for each of the outline's points (n, 2), and the
        direction (n, 2) in which its distance counts, as long as it weighs; corners count across and down.
        """
        seen, bounds = self._see(numbers, self.all_edges), pairwise(self.edge_starts)
        found = [
            (first + piece, share)
            for (first, last), pixels in zip(bounds, self.points.values(), strict=True)
            for piece, share in [_nearest(seen[first:last], pixels)]
        ]
        start, share = (np.concatenate(each) for each in zip(*found, strict=True))
        nearest = self.all_edges[start] + share[:, None, None] * (self.all_edges[start + 1] - self.all_edges[start])
        right, down = (seen[start + 1] - seen[start]).T
        square = np.stack([-down, right], axis=1) / np.maximum(np.sqrt(right**2 + down**2), 1e-6)[:, None]
        across = np.repeat(np.eye(2), len(self.corners_px), axis=0)
        return (
            np.concatenate([self.corners, self.corners, nearest]),
            self.pixels,
            np.concatenate([across, square]) * self.weight[:, None],
        )

    def _within(self, pixels: Numbers) -> Numbers:
        return pixels[off_border(pixels, self.size)]


def off_border(pixels: Numbers, size: PhotoSize) -> NDArray[np.bool_]:
    """Which points (n, 2) do not lie on the border of a photo of ``size`` px."""
    to_border = np.minimum(pixels, np.array(size) - 1 - pixels).min(axis=1)
    return np.asarray(np.abs(to_border) > BORDER_PX)


def _nearest(line: Edge, pixels: Numbers) -> tuple[NDArray[np.intp], Numbers]:
    """For each pixel (n, 2) the nearest piece of a polyline: its number (n,), and how far along it (n,)."""
    (x, y), (right, down) = line[:-1].T, (line[1:] - line[:-1]).T
    squared = np.maximum(right * right + down * down, 1e-12)
    from_x, from_y = pixels[:, :1] - x, pixels[:, 1:] - y
    shares = np.minimum(np.maximum((from_x * right + from_y * down) / squared, 0.0), 1.0)
    nearest = ((from_x - shares * right) ** 2 + (from_y - shares * down) ** 2).argmin(axis=1)
    return nearest, shares[np.arange(len(pixels)), nearest]


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
