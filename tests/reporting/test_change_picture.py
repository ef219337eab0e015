"""The picture of what changed on a flank: known masks, the same ends everywhere, tones that survive a grey printer."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.reporting.drawing.flat_flank import SIDE_PX, WIDTH_PX
from patternscan.reporting.pictures.bare_flank import KeptTooth
from patternscan.reporting.pictures.change_picture import BARE, FLANK_PX, GAINED, KEPT, LOST, draw_change
from patternscan.reporting.pictures.contact_change import find_contact_change
from tests.reporting.test_change_report import CHANGE

ROWS, COLS = 128, 256


def tooth(*touched: tuple[int, int], hidden: tuple[int, int] | None = None) -> KeptTooth:
    """A flank touched over its whole height between some columns, column 0 being end A."""
    contact = np.zeros((ROWS, COLS), dtype=np.uint8)
    for start, stop in touched:
        contact[:, start:stop] = 255
    if hidden is not None:
        contact[:, slice(*hidden)] = 128
    return KeptTooth("1", np.full((256, 512, 3), 170, dtype=np.uint8), contact)


def columns(mask: NDArray[np.bool_]) -> tuple[int, ...]:
    """The first and the last column that is set."""
    return tuple(int(column) for column in np.flatnonzero(mask.any(axis=0))[[0, -1]])


def test_gained_lost_and_kept_lie_where_the_pattern_went() -> None:
    change = find_contact_change([tooth((100, 180))], [tooth((60, 140))])
    assert columns(change.gained) == (60, 99)
    assert columns(change.kept) == (100, 139)
    assert columns(change.lost) == (140, 179)
    assert not change.hidden.any()


def test_time_turned_back_exchanges_gained_and_lost() -> None:
    before, after = [tooth((100, 180), (200, 220))], [tooth((60, 140), hidden=(210, 256))]
    there, back = find_contact_change(before, after), find_contact_change(after, before)
    assert np.array_equal(there.gained, back.lost)
    assert np.array_equal(there.lost, back.gained)
    assert np.array_equal(there.kept, back.kept)
    assert columns(there.hidden) == (210, 255)
    assert not (there.lost & there.hidden).any()


def test_of_several_teeth_at_least_half_must_be_touched() -> None:
    teeth = [tooth((100, 140)), tooth((120, 160)), tooth((120, 180))]
    assert columns(find_contact_change(teeth, [tooth()]).lost) == (120, 159)
    partly = find_contact_change([tooth(hidden=(0, 128)), tooth((0, 128))], [tooth()])
    assert columns(partly.lost) == (0, 127)


def test_no_tooth_no_map() -> None:
    with pytest.raises(ValueError, match="tooth on both sides"):
        find_contact_change([], [tooth()])


def luminance(tone: tuple[int, int, int]) -> float:
    """Relative luminance of sRGB (WCAG 2.1)."""
    linear = [v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in (part / 255 for part in tone)]
    return float(np.dot((0.2126, 0.7152, 0.0722), linear))


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Contrast ratio (WCAG 2.1)."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_tones_are_told_apart_without_colour() -> None:
    # WCAG 2.1, 1.4.11: parts of a picture need a contrast of 3:1; luminance is what a grey printer and every eye keep.
    assert contrast(GAINED, LOST) >= 3
    assert contrast(GAINED, BARE) >= 3
    assert all(contrast(one, other) > 1.3 for one, other in combinations((GAINED, LOST, KEPT, BARE), 2))


def drawn_map(flank: Flank) -> NDArray[np.int64]:
    """The inner part of the map of a pattern that went from end B to end A, as pixels (rows, cols, 3)."""
    image = draw_change(CHANGE, flank, [tooth((140, 256))], [tooth((0, 116))])
    assert image.width == WIDTH_PX
    pixels = np.asarray(image).astype(np.int64)[:, SIDE_PX : WIDTH_PX - SIDE_PX]
    rows = np.flatnonzero((pixels == GAINED).all(axis=2).sum(axis=1) > 150)
    assert rows[-1] - rows[0] == pytest.approx(FLANK_PX, abs=12)
    return pixels[rows[0] + 90 : rows[-1] - 20]


@pytest.mark.parametrize("flank", list(Flank))
def test_end_a_is_on_the_left_for_both_flanks(flank: Flank) -> None:
    pixels = drawn_map(flank)
    for tone, on_the_left in ((GAINED, True), (LOST, False)):
        places = np.nonzero((pixels == tone).all(axis=2))[1]
        assert len(places) > 10_000
        assert bool(places.mean() < pixels.shape[1] / 2) is on_the_left


def test_strokes_rise_toward_b_where_gained_and_fall_where_lost() -> None:
    grey = drawn_map(Flank.LEFT).mean(axis=2)
    width = grey.shape[1]
    for part, way in ((grey[:, 80 : width // 3], 1), (grey[:, 2 * width // 3 : -80], -1)):
        across_rising = float(np.abs(part[1:, :-1] - part[:-1, 1:]).mean())
        across_falling = float(np.abs(part[1:, 1:] - part[:-1, :-1]).mean())
        assert (across_falling - across_rising) * way > 1


def test_a_flank_without_numbers_is_drawn_too() -> None:
    assert CHANGE.right is None
    image = draw_change(CHANGE, Flank.RIGHT, [tooth()], [tooth((0, 100)), tooth((0, 100))])
    assert image.height > 3 * FLANK_PX
