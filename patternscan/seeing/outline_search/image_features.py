"""The edges of a picture, and how well curves lie on them."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Map = NDArray[np.float32]
Numbers = NDArray[np.float64]

CHANNEL_WEIGHTS = np.array([[1.0, 0.5, 0.5]])
"""What squared changes of L*, a* and b* (CIELAB) count for in edges."""
SMALL_COPY = 8
"""How much smaller a picture is made for wide blurs."""


def edge_map(lab: Map, blur_px: float, spread_px: float, usual_within_px: float) -> Map:
    """The structure tensor of a CIELAB picture at one scale, (rows, cols, 3): squared change along xx, xy and yy, over
    the square of what is usual nearby.
    """
    smooth = cv2.GaussianBlur(lab, (0, 0), blur_px)
    across, down = cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)
    product = smooth  # room that is free again: new room costs as much as the work
    pairs = ((across, across), (across, down), (down, down))
    sums = [cv2.transform(cv2.multiply(*pair, dst=product), CHANNEL_WEIGHTS) for pair in pairs]
    tensor = cv2.GaussianBlur(cv2.merge(sums, dst=product), (0, 0), spread_px, dst=product)
    strength = cv2.sqrt(cv2.transform(tensor, np.array([[1.0, 0.0, 1.0]]), dst=sums[0]), dst=sums[0])
    usual = _widely_blurred(np.asarray(strength, np.float32), usual_within_px)
    usual += 0.3 * float(usual.mean()) + 0.1
    return np.asarray(cv2.multiply(tensor, cv2.merge([1 / (usual * usual)] * 3, dst=across), dst=tensor), np.float32)


def shrunk(values: Map, factor: int) -> Map:
    """A picture made smaller by a whole number."""
    rows, cols = values.shape[:2]
    size = (max(1, cols // factor), max(1, rows // factor))
    return np.asarray(cv2.resize(values, size, interpolation=cv2.INTER_AREA), np.float32)


def _widely_blurred(values: Map, blur_px: float) -> Map:
    """Blurred on a small copy, which is much quicker and hardly less exact."""
    small = cv2.GaussianBlur(shrunk(values, SMALL_COPY), (0, 0), blur_px / SMALL_COPY)
    return np.asarray(cv2.resize(small, values.shape[1::-1]), np.float32)


def looked_up(values: Map, x: Map, y: Map, between: int = cv2.INTER_NEAREST) -> Map:
    """Values at points x, y (n, m), as (n, m) or (n, m, channels), zero outside the picture: those of the nearest
    pixel, unless ``between`` names another of OpenCV's interpolations.
    """
    return np.asarray(cv2.remap(values, x, y, between, borderMode=cv2.BORDER_CONSTANT, borderValue=0))


def edge_support(edges: Map, x: Map, y: Map, starts: NDArray[np.intp], between: int = cv2.INTER_NEAREST) -> Map:
    """How well curves lie on edges of their own direction, (n, m), 0..1.

    ``x``, ``y`` (n, m): their points, one curve behind the other, which begin at ``starts``.
    """
    return directed_support(edges, (x, y), tangents(x, y, starts), between)


def directed_support(edges: Map, at: tuple[Map, Map], along: tuple[Map, Map], between: int = cv2.INTER_NEAREST) -> Map:
    """How well points ``at`` x and y (n, m) lie on edges that run ``along`` unit steps (n, m), (n, m), 0..1."""
    right, down = along
    found = looked_up(edges, *at, between)
    strength = found[..., 0] * (down * down)
    strength += found[..., 1] * (-2 * right * down)
    strength += found[..., 2] * (right * right)
    np.sqrt(np.maximum(strength, 0, out=strength), out=strength)
    support: Map = np.divide(strength, strength + 1, out=strength)
    return support


def tangents(x: Map, y: Map, starts: NDArray[np.intp]) -> tuple[Map, Map]:
    """Unit steps along curves with points (n, m) that begin at ``starts``."""
    right, down = _steps(x, starts), _steps(y, starts)
    length = right * right
    length += down * down
    np.maximum(np.sqrt(length, out=length), 1e-6, out=length)
    return np.divide(right, length, out=right), np.divide(down, length, out=down)


def _steps(values: Map, starts: NDArray[np.intp]) -> Map:
    """Step from the point before to the point behind, or to the point itself at either end of a curve."""
    step = values[:, 1:] - values[:, :-1]
    both = np.empty_like(values)
    both[:, 1:-1] = step[:, 1:] + step[:, :-1]
    both[:, starts] = step[:, starts]
    ends = np.append(starts[1:], values.shape[1]) - 1
    both[:, ends] = step[:, ends - 1]
    return both
