"""The annotated photo, tested by meaning: letters at their ends, whatever way the flank lies."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from PIL import Image

from patternscan.frame import End, Flank
from patternscan.measuring.reading import Reading
from patternscan.reporting.drawing.lettering import CONTACT_TONE, LIGHT, dashes, hatch_lines, thinned
from patternscan.reporting.drawing.on_photo import (
    BADGE_RADIUS_PX,
    PICTURE_WIDTH_PX,
    TALLEST,
    frame_outlines,
    letter_places,
    tip_place,
)
from patternscan.reporting.pictures.annotation import annotate
from patternscan.reporting.text.figures.captions import reading_lines
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.segmentation.contact_shape import trace_border, without_specks
from tests.drawn import slanted_outline
from tests.reporting.builders import drawn_reading
from tests.seeing.inverse_map import places_at


@pytest.fixture(scope="module")
def reading() -> Reading:
    return drawn_reading(Flank.RIGHT)


def size_of(reading: Reading) -> tuple[int, int]:
    return reading.photo.width_px, reading.photo.height_px


@pytest.mark.parametrize("flank", list(Flank))
def test_each_letter_stands_outside_its_own_end(flank: Flank) -> None:
    # ISO 1122-1 with end face A as reference: seen with the tip up, the right flank has end A on the left.
    outline = slanted_outline(flank)
    window = frame_outlines([outline], (900, 640))
    places = letter_places(outline, window)
    if flank is Flank.RIGHT:
        assert places[End.A][0] < places[End.B][0]
    else:
        assert places[End.A][0] > places[End.B][0]
    border = window.in_picture(outline.border)
    assert min(places[End.A][0], places[End.B][0]) < border[:, 0].min()
    assert max(places[End.A][0], places[End.B][0]) > border[:, 0].max()


@pytest.mark.parametrize("flank", list(Flank))
def test_the_letters_are_painted_where_they_are_placed_and_differ(flank: Flank) -> None:
    reading = drawn_reading(flank)
    picture = annotate(reading.photo, [reading])
    window = frame_outlines([reading.outline], size_of(reading))
    places = letter_places(reading.outline, window)
    spots = {end: badge_pixels(picture, place) for end, place in places.items()}
    assert all((spot == LIGHT).all(axis=2).mean() > 0.3 for spot in spots.values())
    # B has a straight stem on its left where A has only a foot: more ink in the letter's upper left quarter.
    ink = {end: (spot[: len(spot) // 2, : len(spot) // 2] < 80).all(axis=2).mean() for end, spot in spots.items()}
    assert ink[End.B] > 1.3 * ink[End.A]


def badge_pixels(picture: Image.Image, place: tuple[float, float]) -> np.ndarray:
    half = BADGE_RADIUS_PX * 0.6
    x, y = place
    return np.asarray(picture.crop((round(x - half), round(y - half), round(x + half), round(y + half))))


def test_the_word_tip_stands_beyond_the_tip_edge() -> None:
    outline = slanted_outline()
    window = frame_outlines([outline], (900, 640))
    x, y = tip_place(outline, window)
    tip = window.in_picture(outline.tip)
    assert tip[:, 0].min() < x < tip[:, 0].max()
    assert y < np.interp(x, tip[:, 0], tip[:, 1])


def test_contact_border_surrounds_the_print_and_nothing_else(reading: Reading) -> None:
    picture = np.asarray(annotate(reading.photo, [reading]))
    window = frame_outlines([reading.outline], size_of(reading))
    rows, columns = np.nonzero((picture[: window.size_px[1]] == CONTACT_TONE).all(axis=2))
    photo_pixels = (np.stack([columns, rows], axis=1) + 0.5) / window.scale - 0.5 + [window.left, window.top]
    places = places_at(reading.flank_map, photo_pixels[::97])
    # The drawn print spans 0.35..0.65 along and 0.3..0.7 up; the line is 5 of about 1100 pixels wide.
    assert places.min(axis=0) == pytest.approx([0.35, 0.3], abs=0.05)
    assert places.max(axis=0) == pytest.approx([0.65, 0.7], abs=0.05)


def test_what_cannot_be_judged_is_hatched(reading: Reading) -> None:
    judged = np.ones_like(reading.contact_map.judged)
    judged[:, :100] = False
    hidden = dataclasses.replace(reading, contact_map=dataclasses.replace(reading.contact_map, judged=judged))
    plain = dataclasses.replace(
        reading, contact_map=dataclasses.replace(reading.contact_map, judged=np.ones_like(judged))
    )
    changed = (np.asarray(annotate(reading.photo, [hidden])) != np.asarray(annotate(reading.photo, [plain]))).any(
        axis=2
    )
    window = frame_outlines([reading.outline], size_of(reading))

    def share(along: float) -> float:
        x, y = window.in_picture(reading.flank_map.to_photo(np.array([[along, 0.5]])))[0].round().astype(int)
        return float(changed[y - 40 : y + 40, x - 40 : x + 40].mean())

    assert share(0.1) > 0.08
    assert share(0.3) == share(0.8) == 0.0


def test_the_flank_fills_the_picture_and_its_surroundings_stay(reading: Reading) -> None:
    window = frame_outlines([reading.outline], size_of(reading))
    border = window.in_picture(reading.outline.border)
    width, height = window.size_px
    assert width == PICTURE_WIDTH_PX
    assert 0.5 < np.ptp(border[:, 0]) / width < 0.9
    assert (border > BADGE_RADIUS_PX).all()
    assert (border < np.array([width, height]) - BADGE_RADIUS_PX).all()


def test_an_upright_flank_makes_no_endless_strip() -> None:
    outline = slanted_outline()
    turned = dataclasses.replace(
        outline, **{name: getattr(outline, name)[:, ::-1].copy() for name in ("root", "tip", "end_a", "end_b")}
    )
    width, height = frame_outlines([turned], (640, 900)).size_px
    assert width <= PICTURE_WIDTH_PX
    assert height <= TALLEST * PICTURE_WIDTH_PX + 1


def test_the_picture_holds_nothing_but_pixels(reading: Reading) -> None:
    picture = annotate(reading.photo, [reading])
    assert picture.mode == "RGB"
    assert picture.info == {}
    assert len(picture.getexif()) == 0


def test_the_photo_itself_stays_as_it_is(reading: Reading) -> None:
    before = reading.photo.pixels.copy()
    annotate(reading.photo, [reading])
    assert (reading.photo.pixels == before).all()


def test_a_photo_without_a_reading_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one reading"):
        annotate(Photo("none.png", np.zeros((80, 80, 3), np.uint8)), [])


def test_the_legend_gives_the_numbers(reading: Reading) -> None:
    first, second = reading_lines([reading])
    assert first.startswith("Right flank, tooth 1: touched ")
    assert second.startswith("Middle of the pattern ")
    assert second.endswith("from end A")


def test_border_of_a_block_runs_along_its_true_edges() -> None:
    mask = np.zeros((256, 512), bool)
    mask[64:128, 128:384] = True  # along 0.25..0.75, up 0.5..0.75
    (loop,) = trace_border(mask)
    assert loop.min(axis=0) == pytest.approx([0.25, 0.5], abs=1 / 256)
    assert loop.max(axis=0) == pytest.approx([0.75, 0.75], abs=1 / 256)
    assert (loop[0] == loop[-1]).all()


def test_border_shows_holes_and_leaves_specks_out() -> None:
    mask = np.zeros((256, 512), bool)
    mask[50:200, 50:200] = True
    mask[100:150, 100:150] = False
    mask[10:12, 400:402] = True
    assert len(trace_border(mask)) == 2
    assert trace_border(np.zeros((256, 512), bool)) == []


def test_specks_that_cannot_be_judged_are_not_hatched() -> None:
    hidden = np.zeros((256, 512), bool)
    hidden[100:105, 200:207] = True
    assert not without_specks(hidden).any()
    hidden[:, 500:] = True
    assert without_specks(hidden).sum() == 256 * 12


def test_hatch_lines_stay_on_what_they_hatch() -> None:
    mask = np.zeros((256, 512), bool)
    mask[:, :128] = True
    ends = np.concatenate(hatch_lines(mask, 16))
    assert len(ends) > 20
    assert ends[:, 0].max() <= 0.25 + 1 / 256
    assert hatch_lines(~np.ones((256, 512), bool), 16) == []


def test_dashes_cover_half_of_a_straight_line() -> None:
    pieces = dashes(np.array([[0.0, 0.0], [100.0, 0.0]]), 10.0)
    assert sum(float(np.linalg.norm(piece[-1] - piece[0])) for piece in pieces) == pytest.approx(50.0)


def test_a_thinned_line_keeps_its_ends_and_its_shape() -> None:
    angle = np.linspace(0, np.pi, 400)
    arc = 100 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    few = thinned(arc, 5.0)
    assert len(few) < 80
    assert np.array_equal(few[[0, -1]], arc[[0, -1]])
    assert np.linalg.norm(np.diff(few, axis=0), axis=1).max() < 7.0
    assert np.array_equal(thinned(arc[::100], 5.0), arc[::100])
