"""Coverage, centroid and extents of the contact on one flank, each with its interval."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.calibration import (
    BORDER_UNCERTAINTY,
    FADING_ALONG,
    FADING_UP,
    SPECK,
    UNJUDGED_LIKE_SEEN,
    UNJUDGED_SHARE,
)
from patternscan.frame import FlankPoint
from patternscan.measuring.interval import NINE_IN_TEN, Interval
from patternscan.measuring.misplacement import misplacement
from patternscan.seeing.geometry.placed_flank import PlaceUncertainty
from patternscan.seeing.segmentation.contact_map import ContactMap

Mask = NDArray[np.bool_]

PROBABILITY_LEVELS = (0.1, 0.3, 0.5, 0.7, 0.9)
"""The contact is measured again at each of these; their spread tells how uncertain it is where contact begins."""


@dataclass(frozen=True, slots=True)
class Measurement:
    """Plain numbers read from one flank. ``along`` and ``up`` are None exactly when there is no contact.

    ``length`` and ``height`` are the extents of the contact as fractions of face width and flank height, gaps taken
    out; both are 0 without contact. ``judged_fraction`` is the part of the flank that could be judged.
    """

    coverage: Interval
    along: Interval | None
    up: Interval | None
    length: Interval
    height: Interval
    judged_fraction: float

    @property
    def centroid(self) -> FlankPoint | None:
        """The most likely centroid of the contact, None when there is no contact."""
        if self.along is None or self.up is None:
            return None
        return FlankPoint(self.along.value, self.up.value)


def measure(found: ContactMap, uncertainty: PlaceUncertainty) -> Measurement:
    """Measure the contact of a compound map; only judged places count, the others widen the intervals."""
    contact = found.contact & found.judged
    levels = [found.judged & (found.probability >= level) for level in PROBABILITY_LEVELS]
    along, up = _places(contact.shape)
    hidden = ~found.judged
    misplaced = misplacement(found.expected_iou, found.agreement)
    return Measurement(
        coverage=_coverage(contact, levels, hidden, uncertainty),
        along=_centroid(contact, levels, hidden, (along, uncertainty.along, misplaced)),
        up=_centroid(contact, levels, hidden, (up, uncertainty.up, misplaced)),
        length=_extent(contact, levels, hidden, (0, float(np.hypot(uncertainty.along, FADING_ALONG)))),
        height=_extent(contact, levels, hidden, (1, float(np.hypot(uncertainty.up, FADING_UP)))),
        judged_fraction=float(found.judged.mean()),
    )


def _places(shape: tuple[int, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Along and up of every cell centre of a rectified flank (rows, cols)."""
    rows, cols = shape
    along = np.broadcast_to((np.arange(cols) + 0.5) / cols, (rows, cols))
    up = np.broadcast_to((1 - (np.arange(rows) + 0.5) / rows)[:, None], (rows, cols))
    return along, up


def _coverage(contact: Mask, levels: list[Mask], hidden: Mask, uncertainty: PlaceUncertainty) -> Interval:
    """Contact area over flank area, with what may be hidden; the bracket reaches down to what is seen alone."""
    unseen = float(hidden.mean())
    allowed = 1 + UNJUDGED_LIKE_SEEN * unseen / max(1 - unseen, 1e-3)
    value, *shares = (min(float(area.mean()) * allowed, 1.0) for area in (contact, *levels))
    outline = NINE_IN_TEN * value * float(np.hypot(uncertainty.along, uncertainty.up))
    border = NINE_IN_TEN * BORDER_UNCERTAINTY if value else 0.0
    bare, full = value - float(contact.mean()), (1 - value) * unseen * UNJUDGED_SHARE
    low = value - _together(value - min([*shares, value]), outline, border, bare)
    high = value + _together(max([*shares, value]) - value, outline, border, full)
    return Interval(value, low, high).clipped(0.0, 1.0)


def _centroid(
    contact: Mask, levels: list[Mask], hidden: Mask, axis: tuple[NDArray[np.float64], float, float]
) -> Interval | None:
    """Centroid of the contact along one axis: place of every cell, standard deviation of a place, misplacement."""
    if not contact.any():
        return None
    place, sigma, misplaced = axis
    value = float(place[contact].mean())
    others = [value, *(float(place[level].mean()) for level in levels if level.any())]
    pull = _pull_of_hidden(contact, hidden, place)
    placed = _together(NINE_IN_TEN * sigma, NINE_IN_TEN * BORDER_UNCERTAINTY, misplaced)
    low = value - _together(value - min(others), placed, pull(-1))
    high = value + _together(max(others) - value, placed, pull(1))
    return Interval(value, low, high).clipped(0.0, 1.0)


def _pull_of_hidden(contact: Mask, hidden: Mask, place: NDArray[np.float64]) -> Callable[[int], float]:
    """How far contact in the unjudged places on one side (-1 or 1) could pull the centroid."""
    value = float(place[contact].mean())
    area = float(contact.sum())

    def pull(side: int) -> float:
        there = hidden & ((place - value) * side > 1e-9)
        weight = UNJUDGED_SHARE * float(there.sum())
        lever = float(np.abs(place[there] - value).mean()) if weight else 0.0
        return weight * lever / (area + weight)

    return pull


def _extent(contact: Mask, levels: list[Mask], hidden: Mask, axis: tuple[int, float]) -> Interval:
    """Share of the columns (axis 0) or rows (axis 1) with contact; the axis comes with a standard deviation.

    What cannot be judged may carry contact in columns or rows where none is seen.
    """
    lines, sigma = axis
    value = _filled(contact, lines)
    if not contact.any():
        return Interval(0.0, 0.0, 0.0)
    others = [value, *(_filled(level, lines) for level in levels if level.any())]
    unseen = UNJUDGED_SHARE * (_filled(contact | hidden, lines) - value)
    low = value - _together(value - min(others), NINE_IN_TEN * sigma)
    high = value + _together(max(others) - value, NINE_IN_TEN * sigma, unseen)
    return Interval(value, low, high).clipped(0.0, 1.0)


def _filled(mask: Mask, lines: int) -> float:
    """Share of the columns (0) or rows (1) of which more than a speck is set."""
    return float((mask.mean(axis=lines) >= SPECK).mean())


def _together(*parts: float) -> float:
    """Independent uncertainties add as the root of their squares."""
    return float(np.sqrt(sum(part * part for part in parts)))
