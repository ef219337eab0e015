"""Pictures of a known wheel, painted tooth by tooth through a known camera.

The pair is of ordinary proportions (common practice): module 4, two starts, 40 teeth. Its flanks are those that
``gearing`` computes point by point; the search has a formula of its own.
"""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.gearing.pair import WormPair
from patternscan.gearing.wheel_flank import cut_flank, flank_edges
from patternscan.seeing.geometry.camera import Camera

Floats = NDArray[np.float64]

PAIR = WormPair(module_mm=4.0, starts=2, teeth=40, worm_diameter_mm=40.0, face_width_mm=29.0)
SIZE = (640, 480)
NOISE_SEED = 3
DARK, BRONZE, BRIGHT, BLUE = (60, 60, 64), (176, 120, 66), (236, 200, 150), (40, 70, 160)


@cache
def camera(tipward: float = 0.8) -> Camera:
    """Looks at the middle of the right flank from 140 mm, off its normal by ``tipward`` toward the tip, which is up."""
    flank = cut_flank(PAIR, Flank.RIGHT)
    middle, normal = flank.points()[24, 48], flank.normals()[24, 48]
    tip_way = middle / np.linalg.norm(middle)
    sight = normal + tipward * tip_way + np.array([0, 0, 0.1])
    sight /= np.linalg.norm(sight)
    down = -(tip_way - (tip_way @ sight) * sight)
    down /= np.linalg.norm(down)
    rotation = np.stack([np.cross(down, -sight), down, -sight])
    return Camera(rotation, -rotation @ (middle + 140 * sight), 1.8 * 640, (np.array(SIZE) - 1) / 2)


@cache
def wheel_picture(tipward: float = 0.8, blued: tuple[int, ...] = (0, 1)) -> NDArray[np.uint8]:
    """Bronze flanks and brighter lands in dark spaces, the far teeth first; blue prints on some flanks."""
    picture = np.full((*SIZE[::-1], 3), DARK, dtype=np.float32)
    flank, rear = cut_flank(PAIR, Flank.RIGHT), cut_flank(PAIR, Flank.LEFT)
    seen = camera(tipward).see
    for tooth in range(3, -4, -1):
        front, back = seen(flank.points(tooth)), seen(rear.points(tooth + 1))
        land = np.vstack([front[0], back[0][::-1]])
        border = np.vstack([front[0], front[:, -1], front[-1][::-1], front[::-1, 0]])
        print_border = np.vstack([front[12, 30:66], front[36, 30:66][::-1]])
        shapes = ((land, BRIGHT), (border, BRONZE), (print_border, BLUE))
        for shape, colour in shapes[: 3 if tooth in blued else 2]:
            cv2.fillPoly(picture, [np.rint(shape).astype(np.int32)], colour)
    return grained(picture)


def grained(picture: NDArray[np.float32]) -> NDArray[np.uint8]:
    """A painted picture, a little blurred and with the grain of a camera."""
    grain = np.random.default_rng(NOISE_SEED).normal(0, 2, picture.shape)
    return np.clip(cv2.GaussianBlur(picture, (0, 0), 0.8) + grain, 0, 255).astype(np.uint8)


def true_edges(tipward: float = 0.8) -> dict[str, Floats]:
    """The four edges of the flank in front, in pixels."""
    return {name: camera(tipward).see(points) for name, points in flank_edges(PAIR, Flank.RIGHT).items()}


def filled(border: Floats, size: tuple[int, int] = SIZE) -> NDArray[np.bool_]:
    """Pixels (rows, columns) inside a border of a picture with ``size`` (width, height)."""
    mask = np.zeros(size[::-1], dtype=np.uint8)
    cv2.fillPoly(mask, [np.rint(border).astype(np.int32)], 1)
    return mask > 0
