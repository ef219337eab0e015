"""What patterns a worm pair would print: a table over the errors and the guesses that can explain a reading.

Four numbers are open. The wheel's offset and the turn of the worm's axis are the errors looked for; the hob's oversize
and the film of compound are not known either. The offset is counted in parts of oversize * face width, the turn in
parts of a span that grows with the oversize, because a pattern moves by about offset / oversize (two nested circles
of radius r and r + dr, one moved by e, touch at the angle e / dr); so the table is smooth and few nodes are enough.
Films cost nothing: one rolling gives all.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patternscan.calibration.judging import SOFT_EDGE
from patternscan.frame import Flank
from patternscan.gearing.contact import FlankContact, Rolling
from patternscan.gearing.pair import Placement, WormPair
from patternscan.gearing.wheel_flank import cut_flank

Numbers = NDArray[np.float64]

ROWS, COLUMNS = 12, 48
"""Grid of a flank in the table; against 48 x 96 centroids mostly move by less than half a hundredth of the face, in
prints that run out at an end by up to two, and coverage by a twentieth of itself."""
OFFSETS = np.array([0.0, 0.05, 0.12, 0.22, 0.38, 0.65, 1.0])
"""Wheel's offset toward A, in parts of oversize * face width."""
TURN_SCAN_DEG = np.array([-0.4, -0.2, -0.1, -0.05, -0.025, 0.0, 0.025, 0.05, 0.1, 0.2, 0.4])
"""Turns of the worm's axis tried first, at an oversize of 4 %, to see which span explains the reading."""
CENTRE_SCAN_MM = np.array([-0.3, -0.15, -0.07, -0.03, 0.0, 0.03, 0.07, 0.15, 0.3, 0.6])
TURNS = 5
FILMS_UM = np.geomspace(3.0, 30.0, 12)


@dataclass(frozen=True, slots=True, eq=False)
class PatternTable:
    """Centroids along the face and coverages; arrays (oversizes, offsets, turns, films).

    ``offsets`` run from the B to the A side, in parts of oversize * face width, ``turns`` in parts of the oversize, in
    degrees.
    """

    oversizes: Numbers
    offsets: Numbers
    turns: Numbers
    films_um: Numbers
    left_along: Numbers
    right_along: Numbers
    left_coverage: Numbers
    right_coverage: Numbers


def tabulate(
    pair: WormPair, oversizes: Sequence[float], opposed: tuple[float, float], done: Callable[[float], None]
) -> PatternTable:
    """The table for these oversizes, with turns that give opposed shifts from ``opposed`` low to high.

    ``done`` is told the finished part of the work, 0 to 1.
    """
    turns = _turn_span(pair, oversizes[len(oversizes) // 2], opposed)
    cells = np.empty((4, len(oversizes), OFFSETS.size, turns.size, FILMS_UM.size))
    for j, oversize in enumerate(oversizes):
        flanks = _both_flanks(replace(pair, hob_oversize=oversize))
        for i, offset in enumerate(OFFSETS):
            for k, turn in enumerate(turns):
                placement = Placement(offset * oversize * pair.face_width_mm, 0.0, turn * oversize)
                cells[:, j, i, k] = _print_numbers(flanks, placement)
            done((j + (i + 1) / OFFSETS.size) / len(oversizes))
    left, right, left_coverage, right_coverage = cells
    return PatternTable(
        np.array(oversizes),
        np.concatenate([-OFFSETS[:0:-1], OFFSETS]),
        turns,
        FILMS_UM,
        _both_sides(left, 1 - right),
        _both_sides(right, 1 - left),
        _both_sides(left_coverage, right_coverage),
        _both_sides(right_coverage, left_coverage),
    )


def opposed_by_centre_error(pair: WormPair, offset_mm: float, film_um: float) -> tuple[Numbers, Numbers]:
    """Centre errors (mm) and the opposed shift that each gives, for a wheel that is off by ``offset_mm``."""
    flanks = _both_flanks(pair)
    return CENTRE_SCAN_MM, np.array(
        [_opposed(flanks, Placement(offset_mm, float(error), 0.0), film_um) for error in CENTRE_SCAN_MM]
    )


def _turn_span(pair: WormPair, oversize: float, opposed: tuple[float, float]) -> Numbers:
    """Turns of the worm's axis, in parts of the oversize, that give opposed shifts from low to high and a bit more."""
    flanks = _both_flanks(replace(pair, hob_oversize=oversize))
    scan = TURN_SCAN_DEG * oversize / 0.04
    shifts = np.minimum.accumulate([_opposed(flanks, Placement(0.0, 0.0, float(turn)), 10.0) for turn in scan])
    high, low = (float(np.interp(-shift, -shifts, scan)) for shift in opposed)
    room = 0.25 * (high - low) + 0.002
    return np.linspace(low - room, high + room, TURNS) / oversize


def _both_sides(toward_a: Numbers, mirrored: Numbers) -> Numbers:
    """Add the offsets toward B: half a turn of the pair swaps the flanks and the ends and turns the offset round."""
    return np.concatenate([mirrored[:, :0:-1], toward_a], axis=1)


def _both_flanks(pair: WormPair) -> tuple[Rolling, Rolling]:
    left, right = (Rolling(cut_flank(pair, flank, ROWS, COLUMNS)) for flank in (Flank.LEFT, Flank.RIGHT))
    return left, right


def _print_numbers(flanks: tuple[Rolling, Rolling], placement: Placement) -> Numbers:
    """Left and right centroid along the face, left and right coverage, for every film: (4, films)."""
    (left, left_coverage), (right, right_coverage) = (_soft_print(flank.contact(placement)) for flank in flanks)
    return np.stack([left, right, left_coverage, right_coverage])


def _opposed(flanks: tuple[Rolling, Rolling], placement: Placement, film_um: float) -> float:
    left, right, *_ = _print_numbers(flanks, placement)
    return float(np.interp(film_um, FILMS_UM, (left - right) / 2))


def _soft_print(contact: FlankContact) -> tuple[Numbers, Numbers]:
    """Centroid along the face and coverage for every film, the print's edge a little soft so that both are smooth."""
    gap = np.nan_to_num(contact.gap_um, nan=1e6)[:, :, None]
    weight = 1 / (1 + np.exp(np.clip((gap - FILMS_UM) / (SOFT_EDGE * FILMS_UM), -50, 50)))
    along = (np.arange(COLUMNS) + 0.5) / COLUMNS
    columns = weight.sum(axis=0)
    return (along[:, None] * columns).sum(axis=0) / columns.sum(axis=0), weight.mean(axis=(0, 1))
