"""The picture of a computed pattern, tested by meaning: end A on the left, tip on top, told apart without colour."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from patternscan.frame import Flank
from patternscan.gearing.contact import FlankContact
from patternscan.gearing.pair import Placement
from patternscan.reporting.drawing.flat_flank import WIDTH_PX, Box, frame_flank, stack_strips
from patternscan.reporting.pictures.predicted_picture import (
    CLEAN,
    FINER,
    TOUCHED,
    contact_cells,
    draw_prediction,
    flank_boxes,
)
from tests.reporting.computed import WELL_SET, Block, contact, flank_contact, prediction, read_state

INNER_PX = WIDTH_PX - 260


def picture_of(left: Block, right: Block) -> Image.Image:
    return draw_prediction(dataclasses.replace(prediction(), stands=contact(left, right, Placement())))


def touched_parts(picture: Image.Image) -> list[NDArray[np.float64]]:
    """Where the contact tone is, one (n, 2) array of x, y a flank, from the top down; the key is left out."""
    rows, columns = np.nonzero((np.asarray(picture)[:-150] == TOUCHED).all(axis=2))
    gaps = np.flatnonzero(np.diff(rows) > 100) + 1
    parts = zip(np.split(columns, gaps), np.split(rows, gaps), strict=True)
    return [np.stack([x, y], axis=1).astype(float) for x, y in parts]


def test_each_flank_shows_its_block_with_end_a_on_the_left_and_the_tip_on_top() -> None:
    left, right = touched_parts(picture_of((0.1, 0.3, 0.75, 1.0), (0.6, 0.9, 0.0, 0.25)))
    for part, along in ((left, (0.1, 0.3)), (right, (0.6, 0.9))):
        # The outline of 5 of 940 pixels and the rounding of the border hide up to a hundredth of the face at each end.
        assert (part[:, 0].min() - 130) / INNER_PX == pytest.approx(along[0], abs=0.015)
        assert (part[:, 0].max() - 130) / INNER_PX == pytest.approx(along[1], abs=0.015)
    high, low = (touched_parts(picture_of((0.1, 0.3, up, up + 0.25), (0.1, 0.3, 0.0, 0.25)))[0] for up in (0.75, 0.0))
    height = flank_boxes(1)[0].height
    assert low[:, 1].mean() - high[:, 1].mean() == pytest.approx(0.75 * height, abs=12)


def test_contact_and_bare_flank_differ_in_grey_and_have_a_dark_border() -> None:
    # WCAG 2.2, 1.4.11 (non-text contrast): parts of a picture needed to understand it differ by at least 3 to 1.
    def luminance(tone: tuple[int, int, int]) -> float:
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (v / 255 for v in tone)]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    assert (luminance(CLEAN) + 0.05) / (luminance(TOUCHED) + 0.05) > 3
    grey = np.asarray(picture_of((0.4, 0.6, 0.3, 0.7), (0.4, 0.6, 0.3, 0.7)).convert("L"))
    y = round(touched_parts(picture_of((0.4, 0.6, 0.3, 0.7), (0.4, 0.6, 0.3, 0.7)))[0][:, 1].mean()) + 45
    for along in (0.4, 0.6):
        x = round(130 + along * INNER_PX)
        assert grey[y, x - 8 : x + 8].min() < 40


def test_a_move_adds_a_second_flank_below_each_first() -> None:
    alone, moved = draw_prediction(prediction()), draw_prediction(prediction(WELL_SET))
    assert moved.height > alone.height + 2 * flank_boxes(1)[0].height
    assert (len(touched_parts(alone)), len(touched_parts(moved))) == (2, 4)
    middles = [(part[:, 0].mean() - 130) / INNER_PX for part in touched_parts(moved)]
    assert middles == pytest.approx([0.7, 0.5, 0.8, 0.5], abs=0.01)


def test_what_was_read_is_drawn_at_its_place_on_its_flank_only() -> None:
    plain = np.asarray(draw_prediction(prediction()))
    read = np.asarray(draw_prediction(prediction(measured=read_state(0.2, None))))
    changed = (plain != read).any(axis=2)[: plain.shape[0] - 160]
    rows, columns = np.nonzero(changed)
    assert (columns.min() + columns.max()) / 2 == pytest.approx(130 + 0.2 * INNER_PX, abs=3)
    assert np.ptp(columns) == pytest.approx(0.1 * INNER_PX, abs=25)
    first, _ = touched_parts(draw_prediction(prediction()))
    assert abs(rows.mean() - first[:, 1].mean()) < flank_boxes(1)[0].height / 2


def test_a_flank_without_contact_is_drawn_bare() -> None:
    bare = dataclasses.replace(prediction(), stands=contact(None, None, Placement()))
    assert touched_parts(draw_prediction(bare))[0].size == 0


def test_finer_cells_keep_the_share_and_the_place_of_the_film() -> None:
    # A gap that grows evenly from end A: 0 to 20 micrometres over the face; a film of 10 prints half of it.
    gap = np.broadcast_to((np.arange(100) + 0.5) / 5, (40, 100))
    cells = contact_cells(FlankContact(Flank.LEFT, gap, np.zeros(1)), 10.0)
    assert cells.shape == (40 * FINER, 100 * FINER)
    assert cells.mean() == pytest.approx(0.5, abs=1 / 800)
    assert cells[:, 0].all()
    assert not cells[:, -1].any()


def test_places_out_of_reach_take_nothing_from_the_contact_but_a_part_of_a_cell() -> None:
    cells = contact_cells(flank_contact(Flank.LEFT, (0.4, 0.6, 0.25, 0.75)), 10.0)
    # Half a cell of 100 by 40 on each side at most.
    assert cells.mean() == pytest.approx(0.1, abs=0.01)


def test_flanks_are_framed_with_a_left_and_b_right() -> None:
    picture = Image.new("RGB", (WIDTH_PX, 400), CLEAN)
    box = Box(130, 60, INNER_PX, 270)
    frame_flank(ImageDraw.Draw(picture), box)
    quarters = [np.asarray(picture.crop((x - 28, 195 - 28, x, 195))) for x in (65, WIDTH_PX - 65)]
    on_left, on_right = (float((quarter < 80).all(axis=2).mean()) for quarter in quarters)
    assert on_right > 1.3 * on_left > 0  # B has a stem in its upper left quarter, A has only a slant


def test_strips_stand_one_below_the_other() -> None:
    tones = [(255, 0, 0), (0, 255, 0)]
    whole = stack_strips([Image.new("RGB", (WIDTH_PX, 20), tone) for tone in tones])
    assert whole.size == (WIDTH_PX, 40)
    assert [whole.getpixel((5, y)) for y in (0, 39)] == tones


def test_the_picture_holds_nothing_but_pixels() -> None:
    picture = draw_prediction(prediction(WELL_SET))
    assert picture.mode == "RGB"
    assert picture.info == {}
