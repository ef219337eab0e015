"""Coverage, centroid and extents of the contact on one flank, each with its interval."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.calibration.measuring import (
    BORDER_UNCERTAINTY,
    FADING_ALONG,
    FADING_UP,
    LIFT_STRETCH_ALONG,
    LIFT_STRETCH_COVERAGE,
    LIFT_STRETCH_UP,
    SPECK,
    STRETCH_ALONG,
    STRETCH_COVERAGE,
    STRETCH_UP,
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
class Stretch:
    """How far the intervals are stretched or drawn together, by what was photographed."""

    along: float
    up: float
    coverage: float


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


def measure(found: ContactMap, uncertainty: PlaceUncertainty, lifted: bool = False) -> Measurement:
    """Measure the contact of a contact map; only judged places count, the others widen the intervals.

    ``lifted``: it was read from a print on tape or paper.
    """
    stretch = _stretch(lifted)
    areas = _Areas.of(found)
    along, up = _places(found.contact.shape)
    misplaced = misplacement(found.expected_iou, found.agreement)
    return Measurement(
        coverage=_coverage(areas, uncertainty).stretched(stretch.coverage).clipped(0.0, 1.0),
        along=_stretched(_centroid(areas, along, NINE_IN_TEN * uncertainty.along, misplaced), stretch.along),
        up=_stretched(_centroid(areas, up, NINE_IN_TEN * uncertainty.up, misplaced), stretch.up),
        length=_extent(areas, 0, NINE_IN_TEN * float(np.hypot(uncertainty.along, FADING_ALONG))),
        height=_extent(areas, 1, NINE_IN_TEN * float(np.hypot(uncertainty.up, FADING_UP))),
        judged_fraction=float(found.judged.mean()),
    )


def _stretch(lifted: bool) -> Stretch:
    if lifted:
        return Stretch(LIFT_STRETCH_ALONG, LIFT_STRETCH_UP, LIFT_STRETCH_COVERAGE)
    return Stretch(STRETCH_ALONG, STRETCH_UP, STRETCH_COVERAGE)


@dataclass(frozen=True, slots=True, eq=False)
class _Areas:
    """Masks (rows, cols): the contact, the contact at each of PROBABILITY_LEVELS, and what cannot be judged."""

    contact: Mask
    levels: tuple[Mask, ...]
    unjudged: Mask

    @classmethod
    def of(cls, found: ContactMap) -> _Areas:
        levels = tuple(found.judged & (found.probability >= level) for level in PROBABILITY_LEVELS)
        return cls(found.contact & found.judged, levels, ~found.judged)

    def each(self, figure: Callable[[Mask], float]) -> tuple[float, float, float]:
        """A figure of the contact, and its least and largest value over all levels with contact."""
        value = figure(self.contact)
        values = [value, *(figure(level) for level in self.levels if level.any())]
        return value, min(values), max(values)


def _places(shape: tuple[int, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Along and up of every cell centre of a rectified flank (rows, cols)."""
    rows, cols = shape
    along = np.broadcast_to((np.arange(cols) + 0.5) / cols, (rows, cols))
    up = np.broadcast_to((1 - (np.arange(rows) + 0.5) / rows)[:, None], (rows, cols))
    return along, up


def _coverage(areas: _Areas, uncertainty: PlaceUncertainty) -> Interval:
    """Contact area over flank area, with what may be unseen; the bracket reaches down to what is seen alone."""
    unjudged = float(areas.unjudged.mean())
    allowed = 1 + UNJUDGED_LIKE_SEEN * unjudged / max(1 - unjudged, 1e-3)
    value, *shares = (min(float(area.mean()) * allowed, 1.0) for area in (areas.contact, *areas.levels))
    outline = NINE_IN_TEN * value * uncertainty.area
    border = NINE_IN_TEN * BORDER_UNCERTAINTY if value else 0.0
    bare, full = value - float(areas.contact.mean()), (1 - value) * unjudged * UNJUDGED_SHARE
    low = value - _together(value - min([*shares, value]), outline, border, bare)
    high = value + _together(max([*shares, value]) - value, outline, border, full)
    return Interval(value, low, high)


def _stretched(centroid: Interval | None, factor: float) -> Interval | None:
    return None if centroid is None else centroid.stretched(factor).clipped(0.0, 1.0)


def _centroid(areas: _Areas, place: NDArray[np.float64], margin: float, misplaced: float) -> Interval | None:
    """Centroid of the contact by the ``place`` of every cell; ``margin`` and ``misplaced`` are 90 % half-widths."""
    if not areas.contact.any():
        return None
    value, least, largest = areas.each(lambda area: float(place[area].mean()))
    placed = _together(margin, NINE_IN_TEN * BORDER_UNCERTAINTY, misplaced)
    below, above = (_pull(areas, (place - value) * side) for side in (-1, 1))
    low, high = value - _together(value - least, placed, below), value + _together(largest - value, placed, above)
    return Interval(value, low, high)


def _pull(areas: _Areas, ahead: NDArray[np.float64]) -> float:
    """How far contact in unjudged places could pull the centroid; ``ahead``: how far each cell lies to that side."""
    there = areas.unjudged & (ahead > 1e-9)
    weight = UNJUDGED_SHARE * float(there.sum())
    lever = float(ahead[there].mean()) if weight else 0.0
    return weight * lever / (float(areas.contact.sum()) + weight)


def _extent(areas: _Areas, lines: int, margin: float) -> Interval:
    """Share of the columns (``lines`` 0) or rows (1) with contact; ``margin`` is a 90 % half-width.

    What cannot be judged may carry contact in columns or rows where none is seen.
    """
    if not areas.contact.any():
        return Interval(0.0, 0.0, 0.0)
    value, least, largest = areas.each(lambda area: _filled(area, lines))
    unseen = UNJUDGED_SHARE * (_filled(areas.contact | areas.unjudged, lines) - value)
    low, high = value - _together(value - least, margin), value + _together(largest - value, margin, unseen)
    return Interval(value, low, high).clipped(0.0, 1.0)


def _filled(mask: Mask, lines: int) -> float:
    """Share of the columns (0) or rows (1) of which more than a speck is set."""
    return float((mask.mean(axis=lines) >= SPECK).mean())


def _together(*parts: float) -> float:
    """Independent uncertainties add as the root of their squares."""
    return float(np.sqrt(sum(part * part for part in parts)))
