"""A known wheel in a picture: the lines of its teeth in mm, and the camera that an outline asks for."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.gearing.wheel_flank import flank_points
from patternscan.seeing.geometry.camera import Camera, PhotoSize, first_numbers
from patternscan.seeing.geometry.edge_fit import FOCAL, edges_of
from patternscan.seeing.geometry.flank_shape import known_shape
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, resampled

Numbers = NDArray[np.float64]

LINE_POINTS, END_POINTS = 25, 9
TIP, ROOT, END, REAR_TIP, INSIDE, BESIDE = 1.0, 0.8, 0.5, 0.6, -0.2, 0.5
"""What an edge on each line of the tooth is worth; on the smooth flank it speaks against the camera, and lines of the
teeth beside count by half."""
HEIGHTS_INSIDE = (0.2, 0.5, 0.8)


@dataclass(frozen=True, slots=True, eq=False)
class ToothLine:
    """A line on the wheel as points (n, 3) in mm, and what an edge along it is worth."""

    points: Numbers
    worth: float

    def turned(self, angle_rad: float) -> ToothLine:
        """The same line when the wheel has turned."""
        return ToothLine(_turned(self.points, angle_rad), self.worth)


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

    def turned(self, points: Numbers, teeth: int) -> Numbers:
        """Points (..., 3) on another tooth, so many from the first."""
        return _turned(points, teeth * self.pair.tooth_angle_rad)

    def camera(self, numbers: Numbers) -> Camera:
        """The camera that numbers (7,) describe."""
        return Camera.of_numbers(numbers, self.middle, self.size)

    def first_camera(self, outline: Outline) -> Numbers | None:
        """Numbers (7,) of a camera that sees the flank about where an outline has it; None when there is none."""
        edges, shares = edges_of(self.grid), (LINE_POINTS, LINE_POINTS, END_POINTS, END_POINTS)
        runs = [(name, np.linspace(0, 1, count)) for name, count in zip(EDGE_NAMES, shares, strict=True)]
        points = np.vstack([resampled(edges[name], run) for name, run in runs]) - self.middle
        pixels = np.vstack([resampled(getattr(outline, name), run) for name, run in runs])
        return first_numbers(points, pixels, FOCAL, self.size)


@lru_cache(maxsize=12)
def tooth_lines(pair: WormPair, flank: Flank) -> tuple[ToothLine, ...]:
    """Where a tooth of the wheel and its two neighbours show edges, and where it shows none."""
    angle = pair.tooth_angle_rad
    other, turn = (Flank.RIGHT, -angle) if flank is Flank.LEFT else (Flank.LEFT, angle)
    run, short = np.linspace(0, 1, LINE_POINTS), np.linspace(0, 1, END_POINTS)
    lengthwise = ((1.0, TIP), (0.0, ROOT), *((up, INSIDE) for up in HEIGHTS_INSIDE))
    places = [(run, np.full_like(run, up)) for up, _ in lengthwise]
    places += [(np.full_like(short, along), short) for along in (0.0, 1.0)]
    along, up = (np.concatenate(parts) for parts in zip(*places, strict=True))
    points = np.split(flank_points(pair, flank, along, up), np.cumsum([len(part) for part, _ in places])[:-1])
    worths = [*(worth for _, worth in lengthwise), END, END]
    own = [ToothLine(line, worth) for line, worth in zip(points, worths, strict=True)]
    rear = ToothLine(_turned(flank_points(pair, other, run, np.ones(LINE_POINTS)), turn), REAR_TIP)
    beside = [
        ToothLine(line.points, BESIDE * line.worth).turned(by)
        for by in (-angle, angle)
        for line in own
        if line.worth > 0
    ]
    return (*own, rear, *beside)


def _turned(points: Numbers, angle_rad: float) -> Numbers:
    """Points (..., 3) turned with the wheel, toward +x on its worm side, as teeth are counted."""
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    turned: Numbers = points @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]])
    return turned
