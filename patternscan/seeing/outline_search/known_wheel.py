"""A known wheel in a picture: the lines of its teeth in mm, and the camera that an outline asks for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.gearing.wheel_flank import flank_points, turned
from patternscan.seeing.geometry.camera import FOCAL, Camera, PhotoSize, first_numbers
from patternscan.seeing.geometry.flank_shape import grid_edges, known_shape
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, resampled

Numbers = NDArray[np.float64]

LINE_POINTS, END_POINTS = 25, 9
TIP, ROOT, END, REAR_TIP, INSIDE, BESIDE = 1.0, 0.8, 0.5, 0.6, -0.2, 0.5
"""What an edge on each line of the tooth counts for; on the smooth flank it speaks against the camera, and lines of the
teeth beside count by half."""
HEIGHTS_INSIDE = (0.2, 0.5, 0.8)


@dataclass(frozen=True, slots=True, eq=False)
class EdgeTemplate:
    """Lines of a wheel's teeth, one behind the other: points (m, 3) in mm, where each line ``starts``, and what an edge
    at each point counts for; the ``weights`` (m,) above zero add up to 1.
    """

    points: Numbers
    starts: NDArray[np.intp]
    weights: NDArray[np.float32]

    @classmethod
    def of_lines(cls, lines: list[tuple[Numbers, float]]) -> EdgeTemplate:
        """The same from lines (n, 3) and what an edge along each counts for."""
        lengths = [len(line) for line, _ in lines]
        whole = sum(weight for _, weight in lines if weight > 0)
        weights = np.repeat([weight / len(line) / whole for line, weight in lines], lengths).astype(np.float32)
        return cls(np.vstack([line for line, _ in lines]), np.cumsum([0, *lengths])[:-1], weights)

    def turned(self, angle_rad: float) -> EdgeTemplate:
        """The same lines when the wheel has turned."""
        return replace(self, points=turned(self.points, angle_rad))


@dataclass(frozen=True, slots=True, eq=False)
class Wheel:
    """A known wheel and the picture (width, height in px) in which one of its flanks is looked for."""

    pair: WormPair
    flank: Flank
    size: PhotoSize

    @property
    def grid(self) -> Numbers:
        """Points (rows, columns, 3) of the flank in mm."""
        return known_shape(self.pair, self.flank).stack[:, :, 0]

    @property
    def middle(self) -> Numbers:
        """The point (3,) that cameras are aimed at."""
        rows, columns = self.grid.shape[:2]
        return np.asarray(self.grid[rows // 2, columns // 2])

    def see(self, numbers: Numbers, points: Numbers, teeth: int) -> Numbers:
        """Pixels of the flank's points (..., 3) in mm on a tooth so many from the first, by the camera that numbers
        (7,) describe.
        """
        camera = Camera.of_numbers(numbers, self.middle, self.size)
        return camera.see(turned(points, teeth * self.pair.tooth_angle_rad))

    def first_camera(self, outline: Outline) -> Numbers | None:
        """Numbers (7,) of a camera that sees the flank about where an outline has it; None when there is none."""
        edges, shares = grid_edges(self.grid), (LINE_POINTS, LINE_POINTS, END_POINTS, END_POINTS)
        runs = [(name, np.linspace(0, 1, count)) for name, count in zip(EDGE_NAMES, shares, strict=True)]
        points = np.vstack([resampled(edges[name], run) for name, run in runs]) - self.middle
        pixels = np.vstack([resampled(getattr(outline, name), run) for name, run in runs])
        return first_numbers(points, pixels, FOCAL, self.size)


@lru_cache(maxsize=12)
def edge_template(pair: WormPair, flank: Flank) -> EdgeTemplate:
    """Where a tooth of the wheel and its two neighbours show edges, and where it shows none."""
    angle = pair.tooth_angle_rad
    other, turn = (Flank.RIGHT, -angle) if flank is Flank.LEFT else (Flank.LEFT, angle)
    run, short = np.linspace(0, 1, LINE_POINTS), np.linspace(0, 1, END_POINTS)
    lengthwise = ((1.0, TIP), (0.0, ROOT), *((up, INSIDE) for up in HEIGHTS_INSIDE))
    places = [(run, np.full_like(run, up)) for up, _ in lengthwise]
    places += [(np.full_like(short, along), short) for along in (0.0, 1.0)]
    along, up = (np.concatenate(parts) for parts in zip(*places, strict=True))
    lines = np.split(flank_points(pair, flank, along, up), np.cumsum([len(part) for part, _ in places])[:-1])
    own = list(zip(lines, [*(weight for _, weight in lengthwise), END, END], strict=True))
    rear = turned(flank_points(pair, other, run, np.ones(LINE_POINTS)), turn)
    beside = [(turned(line, by), BESIDE * weight) for by in (-angle, angle) for line, weight in own if weight > 0]
    return EdgeTemplate.of_lines([*own, (rear, REAR_TIP), *beside])
