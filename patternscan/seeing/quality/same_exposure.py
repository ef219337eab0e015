"""Whether two pictures of a flank were cut out of one exposure, and not taken one after the other.

Where the flank lies in both tells roughly where one lies in the other; least squares then lay it there to a fraction of
a cell, and allow for light that grows or fades to a side. Cut out of one exposure both show the same, in the same
light; a second exposure is taken from another place or in a little other light. Two exposures from one fixed stand in
the very same light cannot be told from it.
"""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.image.fingerprint import SIDE, OutlinedPicture
from patternscan.seeing.image.same_picture import levels_of

Grid = NDArray[np.float64]
Place = NDArray[np.float64]
"""Left, width, top, height of one picture in another, in parts of that one; negative where it is mirrored."""

FINE = 16
"""Steps a cell is divided into, of which what lies under a cell of the other picture is added up."""
ROUNDS, LARGEST_STEP, STEP = 12, 0.02, 0.001
"""Rounds of least squares, how far a picture is moved in one, and the step that its slopes are taken over."""
LEAST_CELLS = 40
"""With fewer cells in both pictures nothing is said."""
UNLIKE, OTHER_LIGHT = 0.3, 0.005
"""Part of the play of grey, and of the light anywhere, by which both differ at most. `tests/benchmarks/cut_from_one.py`
dev rims port (66 photographs): 323 of 396 pieces are told, and 155 of 198 turned by a quarter, none of 1782 second
exposures passes for one, and none of 396 from the same stand in 2 % other light, but 101 of 198 in the very same
light."""
OTHER_FRAME = 0.02
"""Part of the side by which one frame lies outside the other at least; of less, ``same_picture`` tells."""


def cut_from_one(one: OutlinedPicture, other: OutlinedPicture) -> bool:
    """Whether both show the flank in one exposure, each with another frame round it, turned by quarters or mirrored."""
    levels, others = levels_of(one.picture), levels_of(other.picture)
    corners, other_corners = np.array(one.corners), np.array(other.corners)
    if _misfit(corners, other_corners[:, ::-1]) < _misfit(corners, other_corners):
        others, other_corners = others.T, other_corners[:, ::-1]
    place = _place(corners, other_corners)
    if abs(place[1] * place[3]) < 1:
        levels, others, place = others, levels, _place(other_corners, corners)
    return _cut_from(levels, _sums(others), place)


def _place(corners: Grid, others: Grid) -> Place:
    """Where the first picture lies in the second, by the corners (4, 2) of the flank in each."""
    across, down = (np.polyfit(corners[:, axis], others[:, axis], 1) for axis in (0, 1))
    return np.array([across[1], across[0], down[1], down[0]])


def _misfit(corners: Grid, others: Grid) -> float:
    """By how much the corners lie beside each other there, in parts of the second picture."""
    left, width, top, height = _place(corners, others)
    return float(np.abs(corners * [width, height] + [left, top] - others).max())


def _cut_from(levels: Grid, sums: Grid, place: Place) -> bool:
    """Lay the cells of a picture onto a finer one, and ask whether they show the same in the same light."""
    for _ in range(ROUNDS):
        seen = _seen(sums, place)
        slopes = [(_seen(sums, place + step) - _seen(sums, place - step)) / (2 * STEP) for step in STEP * np.eye(4)]
        both = np.isfinite(seen + sum(slopes))
        if np.count_nonzero(both) < LEAST_CELLS:
            return False
        light = [tilt[both] * seen[both] for tilt in _tilts(both)]
        causes = np.stack([*light, *(slope[both] for slope in slopes)], axis=1)
        change = levels[both] - seen[both]
        parts = np.linalg.lstsq(causes, change)[0]
        place = place + np.clip(parts[3:], -LARGEST_STEP, LARGEST_STEP)
    unlike = float((change - causes @ parts).std() / max(levels[both].std(), 1e-6))
    other_frame = np.abs(np.abs([*place[[0, 2]], *(place[[0, 2]] + place[[1, 3]])]) - [0, 0, 1, 1]).max()
    return unlike < UNLIKE and float(np.abs(parts[:3]).max()) < OTHER_LIGHT and float(other_frame) > OTHER_FRAME


def _tilts(both: NDArray[np.bool_]) -> Iterator[Grid]:
    """Light that is stronger all over, to the right, and below: 1 at most where both pictures are seen."""
    yield np.ones(both.shape)
    for way in np.mgrid[:SIDE, :SIDE][::-1].astype(float):
        low, high = way[both].min(), way[both].max()
        yield (2 * way - low - high) / max(high - low, 1)


def _sums(levels: Grid) -> Grid:
    """Sums of grey above and left of each step, each cell's mean kept."""
    fine = cv2.resize(levels, (SIDE * FINE, SIDE * FINE), interpolation=cv2.INTER_CUBIC)
    means = cv2.resize(fine, (SIDE, SIDE), interpolation=cv2.INTER_AREA)
    fine = fine + np.kron(levels - means, np.ones((FINE, FINE)))
    return np.asarray(cv2.integral(fine), dtype=np.float64)


def _seen(sums: Grid, place: Place) -> Grid:
    """Mean grey under each cell of a picture that lies there; not a number where it lies outside."""
    left, width, top, height = place
    steps = SIDE * FINE * np.linspace(0, 1, SIDE + 1)
    at = _between(_between(sums, SIDE * FINE * top + height * steps).T, SIDE * FINE * left + width * steps).T
    return np.asarray(np.diff(np.diff(at, axis=0), axis=1) / (width * height * FINE**2))


def _between(values: Grid, places: NDArray[np.float64]) -> Grid:
    """The rows at these places, between two rows where a place lies so."""
    low = np.clip(np.floor(places), 0, len(values) - 2).astype(int)
    part = (places - low)[:, None]
    inside = (places >= 0) & (places <= len(values) - 1)
    return np.where(inside[:, None], values[low] * (1 - part) + values[low + 1] * part, np.nan)
