"""Readings and inspections of drawn flanks, for tests of pictures and reports."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from functools import cache

import numpy as np

from patternscan.cautions import Caution
from patternscan.frame import Compound, End, Flank, Marking
from patternscan.judging.advice import Advice, Move, ShimAdvice, ShimChange
from patternscan.judging.comparison import Comparison, PooledFlank, Target
from patternscan.judging.judgement import Judgement
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading
from patternscan.reasons import Finding, Reason
from patternscan.seeing.geometry.placed_flank import place_flank
from patternscan.seeing.image.photo import Photo
from patternscan.workflow.judge import judge_pair
from patternscan.workflow.read import read_flank
from tests.drawn import drawn_photo, slanted_outline

MIDDLE = (0.35, 0.65, 0.3, 0.7)
"""A print in the middle of the flank: along from, along to, up from, up to."""


@cache
def drawn_reading(flank: Flank, print_at: tuple[float, float, float, float] = MIDDLE, tooth: int = 0) -> Reading:
    """One drawn flank with one blue print, read once for all tests: it is frozen."""
    outline = slanted_outline(flank)
    photo = drawn_photo(outline, print_at, f"{flank}.png", tooth)
    return read_flank(photo, outline, Marking.TRANSFER, Compound.BLUE)


def drawn_inspection(teeth: tuple[int, int] = (1, 1)) -> Judgement:
    """Both flanks drawn, each with so many teeth whose prints lie a little apart (left, right)."""

    def readings(flank: Flank, count: int) -> list[Reading]:
        return [drawn_reading(flank, (0.35 + 0.02 * k, 0.65 + 0.02 * k, 0.3, 0.7), k) for k in range(count)]

    return judge_pair(readings(Flank.LEFT, teeth[0]), readings(Flank.RIGHT, teeth[1]))


def two_on_each_photo() -> Judgement:
    """Both flanks drawn, each on one photo with two teeth, one below the other."""
    return judge_pair(_two_on_a_photo(Flank.LEFT), _two_on_a_photo(Flank.RIGHT))


def _two_on_a_photo(flank: Flank) -> list[Reading]:
    outline = slanted_outline(flank)
    photos = [drawn_photo(outline, (0.45 + 0.02 * k, 0.75 + 0.02 * k, 0.3, 0.7), tooth=k) for k in range(2)]
    both = Photo(f"{flank}.png", np.concatenate([photo.pixels for photo in photos]), sha256="ab" * 32)
    below = outline.moved((0, photos[0].held_px[1]))
    teeth = (dataclasses.replace(one, tooth=str(number)) for number, one in enumerate((outline, below), 1))
    return [read_flank(both, one, Marking.TRANSFER, Compound.BLUE) for one in teeth]


def with_move(judgement: Judgement, move: Move) -> Judgement:
    """The same flanks with another advice."""
    return dataclasses.replace(judgement, advice=dataclasses.replace(judgement.advice, move=move))


def with_red_dot(reading: Reading, along: float, up: float) -> Reading:
    """The reading with a pure red dot painted at one place of the flank, in the photo and in the rectified flank."""
    pixels = reading.photo.pixels.copy()
    x, y = reading.flank_map.to_photo(np.array([[along, up]]))[0]
    columns, rows = np.meshgrid(np.arange(pixels.shape[1]), np.arange(pixels.shape[0]))
    pixels[np.hypot(columns - x, rows - y) < 16] = (255, 0, 0)
    photo = Photo(reading.photo.name, pixels)
    return dataclasses.replace(reading, photo=photo, rectified=place_flank(photo, reading.outline, None).rectified)


def written_inspection(
    move: Move, shims: ShimAdvice, because: Reason, findings: Sequence[Finding] = (), cautions: Sequence[Caution] = ()
) -> Judgement:
    """A judgement of plain numbers without photos: both flanks 9 % toward A, for reports to the character."""
    left, right = pooled(Flank.LEFT, 0.40), pooled(Flank.RIGHT, 0.42)
    comparison = Comparison(left, right, Target(), Interval(-0.09, -0.12, -0.06), Interval(-0.01, -0.04, 0.02))
    advice = Advice(move, shims, because, tuple(findings))
    return Judgement((), (), comparison, advice, tuple(cautions), "Barn hoist")


def pooled(flank: Flank, along: float) -> PooledFlank:
    """Plain pooled numbers of one tooth."""
    along_face, up, coverage = Interval.around(along, 0.04), Interval.around(0.5, 0.1), Interval.around(0.3, 0.05)
    return PooledFlank(flank, 1, along_face, up, coverage, Interval.around(0.5, 0.1), Interval.around(0.6, 0.1), None)


ADD_AT_A = ShimAdvice(End.A, ShimChange.ADD)
NOT_KNOWN = ShimAdvice(None, ShimChange.UNKNOWN)
