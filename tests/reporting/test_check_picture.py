"""The picture to check the machine by, tested by meaning: one side bare, the other with what was found."""

from __future__ import annotations

import dataclasses
import itertools
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from patternscan.cautions import caution
from patternscan.frame import Compound, End, Flank, Marking
from patternscan.measuring.reading import Reading
from patternscan.reporting.drawing.lettering import CONTACT_TONE, LIGHT, PAPER
from patternscan.reporting.drawing.lightened import tone_of
from patternscan.reporting.drawing.on_photo import BADGE_RADIUS_PX, letter_places, tip_place
from patternscan.reporting.pictures import check_picture
from patternscan.reporting.pictures.check_picture import FLAT_ENLARGED, PHOTO_SIDE_PX, draw_check, frame_whole
from patternscan.reporting.text.figures.captions import check_lines
from patternscan.seeing.geometry.mapping import map_outline
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.workflow.read import read_flank
from tests.drawn import drawn_photo, slanted_outline
from tests.reporting.builders import drawn_reading
from tests.seeing.inverse_map import places_at

SAMPLES = Path(__file__).parents[2] / "sample_images"
TURNS = {"up": 0, "right": 1, "down": 2, "left": 3}
"""Quarter turns clockwise of a photo whose tip points up."""


@pytest.fixture(scope="module")
def reading() -> Reading:
    return drawn_reading(Flank.RIGHT)


@pytest.fixture(scope="module")
def posed() -> Reading:
    """A sample photo whose flank fits a tooth's shape."""
    photo = load_photo(SAMPLES / "boat_winch_left.jpg", 50)
    (outline,) = read_outline_file(SAMPLES / "boat_winch_left.outline.json").outlines
    return read_flank(photo, outline, Marking.TRANSFER)


def turned(flank: Flank, quarters: int, scale: float = 1.0) -> Reading:
    """A drawn flank in a photo turned clockwise by quarters and enlarged, read."""
    outline = slanted_outline(flank)
    pixels = drawn_photo(outline, (0.35, 0.65, 0.3, 0.7)).pixels
    edges = {name: getattr(outline, name) for name in ("root", "tip", "end_a", "end_b")}
    for _ in range(quarters):
        height = pixels.shape[0]
        edges = {name: np.stack([height - 1 - edge[:, 1], edge[:, 0]], axis=1) for name, edge in edges.items()}
        pixels = np.rot90(pixels, -1)
    size = (round(pixels.shape[1] * scale), round(pixels.shape[0] * scale))
    sized = cv2.resize(np.ascontiguousarray(pixels), size, interpolation=cv2.INTER_AREA)
    photo = Photo("turned.png", sized.astype(np.uint8))
    edges = {name: (edge + 0.5) * scale - 0.5 for name, edge in edges.items()}
    return read_flank(photo, checked_outline(edges, flank), Marking.TRANSFER, Compound.BLUE)


def photo_part(reading: Reading) -> NDArray[np.uint8]:
    """The drawn side of the picture."""
    width, height = frame_whole(reading.outline.border).size_px
    picture = np.asarray(draw_check(reading))
    top = round(1.6 * 66)
    return picture[top : top + height, :width]


def bare_part(picture: Image.Image, reading: Reading) -> NDArray[np.uint8]:
    """The rectified flank as the picture shows it."""
    width = frame_whole(reading.outline.border).size_px[0]
    box = check_picture.flat_box(reading)
    left, top = round(width + box.left), round(1.6 * 66 + box.top)
    return np.asarray(picture)[top : top + round(box.height), left : left + round(box.width)]


@pytest.mark.parametrize("flank", list(Flank))
def test_the_bare_flank_is_the_flattened_one_to_the_last_pixel(flank: Flank) -> None:
    reading = drawn_reading(flank)
    bare = bare_part(draw_check(reading), reading)
    for row in range(FLAT_ENLARGED):
        for column in range(FLAT_ENLARGED):
            assert (bare[row::FLAT_ENLARGED, column::FLAT_ENLARGED] == reading.rectified.pixels).all()


def test_whatever_was_found_leaves_the_bare_flank_as_it_is(reading: Reading) -> None:
    nothing = np.zeros_like(reading.contact_map.judged)
    blind = dataclasses.replace(reading, contact_map=dataclasses.replace(reading.contact_map, judged=nothing))
    assert (bare_part(draw_check(blind), blind) == bare_part(draw_check(reading), reading)).all()


def test_hatching_lies_where_the_flank_was_not_judged_and_nowhere_else(reading: Reading) -> None:
    judged = np.ones_like(reading.contact_map.judged)
    plain = dataclasses.replace(reading, contact_map=dataclasses.replace(reading.contact_map, judged=judged))
    judged = judged.copy()
    judged[:, :100] = False
    hidden = dataclasses.replace(reading, contact_map=dataclasses.replace(reading.contact_map, judged=judged))
    changed = (photo_part(hidden) != photo_part(plain)).any(axis=2)
    window = frame_whole(reading.outline.border)

    def share(along: float) -> float:
        x, y = window.in_picture(reading.flank_map.to_photo(np.array([[along, 0.5]])))[0].round().astype(int)
        return float(changed[y - 30 : y + 30, x - 30 : x + 30].mean())

    assert share(0.1) > 0.08
    assert share(0.3) == share(0.8) == 0.0


def test_the_thin_border_runs_round_the_contact(reading: Reading) -> None:
    rows, columns = np.nonzero((photo_part(reading) == CONTACT_TONE).all(axis=2))
    window = frame_whole(reading.outline.border)
    pixels = (np.stack([columns, rows], axis=1) + 0.5) / window.scale - 0.5 + [window.left, window.top]
    places = places_at(map_outline(reading.outline), pixels[::37])
    # The print was drawn from 0.35 to 0.65 along and from 0.3 to 0.7 up.
    assert places.min(axis=0) == pytest.approx([0.35, 0.3], abs=0.05)
    assert places.max(axis=0) == pytest.approx([0.65, 0.7], abs=0.05)
    assert len(pixels) < 0.02 * window.size_px[0] * window.size_px[1]


@pytest.mark.parametrize("flank", list(Flank))
@pytest.mark.parametrize("tip", list(TURNS))
def test_letters_and_the_word_tip_stand_right_and_outside_the_flank(flank: Flank, tip: str) -> None:
    reading = turned(flank, TURNS[tip])
    window = frame_whole(reading.outline.border)
    places = letter_places(reading.outline, window)
    # ISO 1122-1 with end face A as reference: seen with the tip up, the right flank has end A on the left.
    to_b = np.subtract(places[End.B], places[End.A])
    right_hand = {"up": (1, 0), "right": (0, 1), "down": (-1, 0), "left": (0, -1)}[tip]
    assert bool(to_b @ right_hand > 0) is (flank is Flank.RIGHT)
    border = window.in_picture(reading.outline.border).astype(np.float32)
    room = {places[End.A]: BADGE_RADIUS_PX, places[End.B]: BADGE_RADIUS_PX, tip_place(reading.outline, window): 34}
    for place, radius in room.items():
        assert cv2.pointPolygonTest(border, place, True) < -radius
        assert all(radius <= part <= side - radius for part, side in zip(place, window.size_px, strict=True))


@pytest.mark.parametrize("flank", list(Flank))
def test_the_letters_painted_beside_both_flanks_are_a_and_b(flank: Flank) -> None:
    reading = turned(flank, TURNS["right"])
    picture, window = np.asarray(draw_check(reading)), frame_whole(reading.outline.border)
    drawn = letter_places(reading.outline, window)
    box, top = check_picture.flat_box(reading), round(1.6 * 66)
    left = window.size_px[0] + 65
    bare = {End.A: (left, top + box.middle), End.B: (left + 130 + box.width, top + box.middle)}
    photo = {end: (x, y + top) for end, (x, y) in drawn.items()}
    for places, half in ((photo, 37), (bare, 30)):
        ink = {end: stem_ink(picture, place, half) for end, place in places.items()}
        # B has a straight stem on its upper left where A has nothing but its foot further down.
        assert ink[End.B] > 1.3 * ink[End.A] > 0


def stem_ink(picture: NDArray[np.uint8], place: tuple[float, float], half: int) -> float:
    """Dark share of the upper left quarter of a badge, light around it."""
    x, y = (round(part) for part in place)
    spot = picture[y - half : y + half, x - half : x + half]
    assert (spot == LIGHT).all(axis=2).mean() > 0.3
    return float((spot[:half, :half] < 80).all(axis=2).mean())


@pytest.mark.parametrize("scale", [0.12, 5.0])
def test_tiny_and_huge_photos_make_a_picture_of_the_same_size(scale: float) -> None:
    usual, other = draw_check(turned(Flank.LEFT, 0)), draw_check(turned(Flank.LEFT, 0, scale))
    assert np.subtract(usual.size, other.size) == pytest.approx([0, 0], abs=60)


def test_a_long_photo_side_keeps_its_limits() -> None:
    for border in (
        np.array([[0.0, 0], [10, 0], [10, 900], [0, 900]]),
        np.array([[0.0, 0], [900, 0], [900, 9], [0, 9]]),
    ):
        width, height = frame_whole(border).size_px
        assert width <= PHOTO_SIDE_PX[0]
        assert height <= PHOTO_SIDE_PX[1]
        assert width == PHOTO_SIDE_PX[0] or height == PHOTO_SIDE_PX[1]


def test_beyond_the_photo_there_is_paper() -> None:
    outline = slanted_outline(Flank.RIGHT)
    photo = drawn_photo(outline, (0.35, 0.65, 0.3, 0.7))
    shifted = Photo("cut.png", np.ascontiguousarray(photo.pixels[:, 200:]))
    edges = {name: getattr(outline, name) - [200, 0] for name in ("root", "tip", "end_a", "end_b")}
    reading = read_flank(shifted, checked_outline(edges, Flank.RIGHT), Marking.TRANSFER, Compound.BLUE)
    part, window = photo_part(reading), frame_whole(reading.outline.border)
    beyond = round(-window.left * window.scale)
    assert (part[5, : beyond - 2] == PAPER).all()
    last = round((shifted.width_px - window.left) * window.scale)
    assert not (part[5, beyond + 2 : last - 2] == PAPER).all(axis=1).any()


def test_edges_from_the_tooth_s_shape_are_beads_apart_from_the_line_as_marked(posed: Reading) -> None:
    assert posed.flank_map.pose is not None
    patch = dataclasses.replace(posed, flank_map=map_outline(posed.outline))
    assert len(check_picture._key(posed)) == len(check_picture._key(patch)) + 1 == 4
    moved = dataclasses.replace(posed, outline=shifted(posed.outline, np.array([0.0, 9.0])))
    part, window = photo_part(moved), frame_whole(moved.outline.border)
    fitted = window.in_picture(posed.flank_map.pose.edges()["root"]).round().astype(int)
    marked = window.in_picture(moved.outline.root).round().astype(int)
    # Along the line as marked there is light all the way, along the beads dark and photo take turns.
    assert light_share(part, marked) > 0.6
    assert (part[fitted[[0, -1], 1], fitted[[0, -1], 0]] < 80).all()
    assert light_share(part, fitted) < 0.6


def shifted(outline: Outline, step_px: NDArray[np.float64]) -> Outline:
    """The outline moved in the photo."""
    edges = {name: getattr(outline, name) + step_px for name in ("root", "tip", "end_a", "end_b")}
    return checked_outline(edges, outline.flank)


def light_share(picture: NDArray[np.uint8], points: NDArray[np.int_]) -> float:
    """Share of a polyline's way (n, 2) that is painted light."""
    way = np.concatenate([np.linspace(a, b, 50) for a, b in itertools.pairwise(points)]).round().astype(int)
    return float((picture[way[:, 1], way[:, 0]] == LIGHT).all(axis=1).mean())


def test_the_words_say_what_to_compare(reading: Reading) -> None:
    painted, wrong_way, contact, edges, hidden = check_lines(reading)
    assert "painted A" in painted
    assert "wrong way round" in wrong_way
    assert "round the blue compound" in contact
    assert "on its edges" in edges
    assert "All of the flank" in hidden
    rubbed = dataclasses.replace(reading.contact_map, marking=Marking.RUB_OFF)
    assert "bare metal" in check_lines(dataclasses.replace(reading, contact_map=rubbed))[2]
    bare = dataclasses.replace(reading.contact_map, contact=np.zeros_like(rubbed.contact))
    assert check_lines(dataclasses.replace(reading, contact_map=bare))[2].startswith("No contact was seen")
    half = dataclasses.replace(reading, measurement=dataclasses.replace(reading.measurement, judged_fraction=0.5))
    assert check_lines(half)[4].startswith("50 % of the flank could not be judged")


def test_a_dark_flank_is_shown_lighter_in_its_own_colours(reading: Reading) -> None:
    """One number times linear light, IEC 61966-2-1 (from memory), whatever the colour."""
    dim = dataclasses.replace(reading.rectified, pixels=np.asarray(reading.rectified.pixels // 8, dtype=np.uint8))
    dark = dataclasses.replace(reading, rectified=dim, cautions=(*reading.cautions, caution("too-dark")))
    tone = tone_of(dark).astype(float) / 255
    levels = np.arange(12, 25) / 255
    gains = linear_light(tone[12:25]) / linear_light(levels)
    assert gains.min() > 10
    assert np.ptp(gains) < 0.05 * gains.mean()
    assert (np.diff(tone) >= 0).all()
    assert "shown lighter" in check_lines(dark)[-1]
    unlit = dataclasses.replace(dark, cautions=reading.cautions)
    shown, dim_still = (np.asarray(draw_check(one))[:, -400:].mean() for one in (dark, unlit))
    assert shown > dim_still + 5


def linear_light(level: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4))


def test_a_flank_in_good_light_is_shown_as_it_is(reading: Reading) -> None:
    assert (tone_of(reading) == np.arange(256)).all()
    assert not any("lighter" in line for line in check_lines(reading))


def test_the_picture_holds_nothing_but_pixels(reading: Reading) -> None:
    before = reading.photo.pixels.copy()
    picture = draw_check(reading)
    assert (picture.mode, picture.info, len(picture.getexif())) == ("RGB", {}, 0)
    assert (reading.photo.pixels == before).all()
