"""Prints on tape and paper: a film on a flat white card, in a drawn frame, seen at a slant and under an uneven lamp."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoCompound, NoTrustworthyOutline, PatternscanError
from patternscan.frame import Compound, Flank, Lift, Marking, Medium, Seen
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, OutlineSource, PictureSide, checked_frame
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.lifts.drawn_line import DrawnLines
from patternscan.seeing.lifts.flat_patch import map_frame
from patternscan.seeing.lifts.frame_search import LEAST_SHARE, find_frame
from patternscan.seeing.lifts.placed_lift import place_lift
from patternscan.seeing.tags.tag_face import tag_cells
from patternscan.workflow.read import read_flank

PAPER, TAPE = Lift(Medium.PAPER, Seen.TOUCHED), Lift(Medium.TAPE, Seen.THROUGH)
LEFT, TOP, WIDE, HIGH, BOW = 130.0, 110.0, 560.0, 150.0, 40.0
SIZE = (820, 430)
FILMS = {"blue": (0.08, 0.2, 0.6), "yellow": (0.8, 0.7, 0.1), "red": (0.7, 0.15, 0.1), "violet": (0.3, 0.1, 0.45)}
"""Linear light that a film on white card sends back; the hues of usual pigments (from memory)."""
SLANT = np.array([[0.94, -0.1, 30.0], [0.06, 0.9, 12.0], [0.0, -0.0002, 1.0]])
"""A camera held at a slant, as a homography from the card."""


def places(along: NDArray[np.float64], up: NDArray[np.float64]) -> NDArray[np.float64]:
    """Pixels of the card where a flank with its end A on the left has these places; root and tip bow downward."""
    dip = BOW * (1 - (2 * np.clip(along, 0, 1) - 1) ** 2)
    return np.stack([LEFT + WIDE * along, TOP + dip + HIGH * (1 - up)], axis=-1)


def frame_edges() -> dict[str, NDArray[np.float64]]:
    steps, few = np.linspace(0, 1, 13), np.linspace(0, 1, 3)
    return {
        "root": places(steps, np.zeros(13)),
        "tip": places(steps, np.ones(13)),
        "end_a": places(np.zeros(3), few),
        "end_b": places(np.ones(3), few),
    }


def seen_from(edges: dict[str, NDArray[np.float64]], camera: NDArray[np.float64]) -> dict[str, NDArray[np.float64]]:
    return {name: cv2.perspectiveTransform(edge[None], camera)[0] for name, edge in edges.items()}


def drawn(film: NDArray[np.bool_], colour: tuple[float, float, float]) -> NDArray[np.uint8]:
    """The card with its frame and a film where ``film`` (rows, cols; row 0 = tip) has it, seen at a slant."""
    x, y = np.meshgrid(np.arange(SIZE[0], dtype=np.float64), np.arange(SIZE[1], dtype=np.float64))
    along = (x - LEFT) / WIDE
    up = 1 - (y - TOP - BOW * (1 - (2 * np.clip(along, 0, 1) - 1) ** 2)) / HIGH
    rows, cols = film.shape
    at = (along * cols - 0.5).astype(np.float32), ((1 - up) * rows - 0.5).astype(np.float32)
    there = cv2.remap(film.astype(np.float32), *at, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)[..., None]
    light = 0.85 * (1 - there) + there * np.array(colour)
    line = [np.rint(edge).astype(np.int32) for edge in frame_edges().values()]
    cv2.polylines(light, line, False, (0.04, 0.04, 0.05), 4, cv2.LINE_AA)
    light *= np.exp(-0.5 * x / SIZE[0] + 0.2 * y / SIZE[1])[..., None]
    shot = cv2.warpPerspective(light, SLANT, SIZE, borderMode=cv2.BORDER_CONSTANT, borderValue=(0.3, 0.3, 0.3))
    chance = np.random.default_rng(1)
    return np.asarray(np.round(255 * np.clip(shot + chance.normal(0, 0.004, shot.shape), 0, 1) ** (1 / 2.2)), np.uint8)


def oval(along: float, half: float = 0.16) -> NDArray[np.bool_]:
    x, y = np.meshgrid((np.arange(256) + 0.5) / 256, 1 - (np.arange(128) + 0.5) / 128)
    return np.asarray(((x - along) / half) ** 2 + ((y - 0.5) / 0.38) ** 2 < 1)


def photo_of(pixels: NDArray[np.uint8]) -> Photo:
    return Photo("lift.png", np.ascontiguousarray(pixels))


def framed(lift: Lift, flank: Flank) -> Outline:
    """The frame as outlined; whose end A lies on the right has its edges counted from there."""
    edges = seen_from(frame_edges(), SLANT)
    if (flank is Flank.RIGHT) is lift.mirrored:
        edges = {
            "root": edges["root"][::-1],
            "tip": edges["tip"][::-1],
            "end_a": edges["end_b"],
            "end_b": edges["end_a"],
        }
    return checked_frame(edges, flank, lift)


def read(pixels: NDArray[np.uint8], frame: Outline, marking: Marking = Marking.TRANSFER) -> Reading:
    return read_flank(photo_of(pixels), frame, marking)


@pytest.mark.parametrize("name", FILMS)
def test_a_print_is_found_where_it_lies_and_named(name: str) -> None:
    found = read(drawn(oval(0.3), FILMS[name]), framed(TAPE, Flank.RIGHT))
    assert found.contact_map.compound == name
    assert found.measurement.along is not None
    assert found.measurement.along.value == pytest.approx(0.3, abs=0.01)
    assert found.measurement.coverage.value == pytest.approx(np.pi * 0.16 * 0.38, abs=0.01)
    assert {one.code for one in found.cautions} == {"lifted"}


@pytest.mark.parametrize("flank", Flank)
@pytest.mark.parametrize("lift", [PAPER, TAPE])
def test_the_side_that_touched_the_tooth_is_a_mirror_image(lift: Lift, flank: Flank) -> None:
    found = read(drawn(oval(0.3), FILMS["blue"]), framed(lift, flank))
    assert found.measurement.along is not None
    # with the tip up a right flank shows end A on the left (ISO 1122-1), its mirror image on the right
    a_on_the_left = (flank is Flank.RIGHT) is not lift.mirrored
    assert found.measurement.along.value == pytest.approx(0.3 if a_on_the_left else 0.7, abs=0.01)


def test_rubbed_off_the_bare_part_is_contact() -> None:
    painted = np.zeros((128, 256), dtype=np.bool_)
    painted[6:-6, 6:-6] = True
    painted[:, 150:200] = False
    found = read(drawn(painted, FILMS["blue"]), framed(TAPE, Flank.RIGHT), Marking.RUB_OFF)
    assert found.measurement.along is not None
    assert found.measurement.along.value == pytest.approx(175 / 256, abs=0.015)


def test_a_print_under_the_other_marking_is_refused() -> None:
    with pytest.raises(InconsistentInputs, match="printed by the worm"):
        read(drawn(oval(0.4, 0.3), FILMS["blue"]), framed(TAPE, Flank.RIGHT), Marking.RUB_OFF)


@pytest.mark.parametrize("told", Marking)
def test_much_film_looks_painted_and_little_looks_printed(told: Marking) -> None:
    film = np.zeros((128, 256), dtype=np.bool_)
    film[:, : 170 if told is Marking.TRANSFER else 90] = True
    found = read(drawn(film, FILMS["blue"]), framed(TAPE, Flank.RIGHT), told)
    (doubt,) = [one for one in found.cautions if one.code == "marking-doubtful"]
    assert doubt["seen"] == told.other
    assert doubt.grave


def test_a_shadow_is_no_film() -> None:
    with pytest.raises(NoCompound, match="No marking compound"):
        read(drawn(oval(0.3), (0.35, 0.35, 0.35)), framed(TAPE, Flank.RIGHT))


def test_a_mirrored_lamp_on_the_tape_is_not_judged_and_told() -> None:
    pixels, frame = drawn(oval(0.3), FILMS["blue"]), framed(TAPE, Flank.RIGHT)
    x, y = map_frame(frame).to_photo(np.array([[0.3, 0.5]]))[0]
    lamp = cv2.circle(pixels.copy(), (round(x), round(y)), 25, (255, 255, 255), -1)
    plain, found = (read(each, frame).measurement for each in (pixels, np.asarray(lamp, np.uint8)))
    hidden = np.pi * 25**2 / frame.area_px
    assert hidden < 1 - found.judged_fraction < 2 * hidden
    assert "glare" in {one.code for one in read(np.asarray(lamp, np.uint8), frame).cautions}
    assert found.along is not None
    assert found.along.holds(0.3)
    assert found.coverage.width > plain.coverage.width


def test_white_shows_on_no_white_card() -> None:
    with pytest.raises(InconsistentInputs, match="White compound"):
        read_flank(
            photo_of(drawn(oval(0.3), FILMS["blue"])), framed(TAPE, Flank.RIGHT), Marking.TRANSFER, Compound.WHITE
        )


def test_a_lift_without_card_round_it_is_refused() -> None:
    pixels = np.full((*SIZE[::-1], 3), (30, 80, 160), dtype=np.uint8)
    pixels[::2, ::3] = (200, 60, 40)
    with pytest.raises(PatternscanError):
        read(pixels, framed(TAPE, Flank.RIGHT))


@pytest.mark.parametrize("flank", Flank)
@pytest.mark.parametrize("lift", [PAPER, TAPE])
def test_the_drawn_frame_is_found(lift: Lift, flank: Flank) -> None:
    frame = framed(lift, flank)
    found = find_frame(photo_of(drawn(oval(0.3), FILMS["blue"])), flank, PictureSide.UP, lift)
    assert found.source is OutlineSource.FOUND
    for edge in ("root", "tip"):
        np.testing.assert_allclose(getattr(found, edge)[[0, -1]], getattr(frame, edge)[[0, -1]], atol=6)


def test_upside_down_the_frame_is_the_other_way_round() -> None:
    pixels = np.ascontiguousarray(drawn(oval(0.3), FILMS["blue"])[::-1, ::-1])
    found = find_frame(photo_of(pixels), Flank.RIGHT, PictureSide.DOWN, TAPE)
    along = read(pixels, found).measurement.along
    assert along is not None
    assert along.value == pytest.approx(0.3, abs=0.02)


def test_a_printed_tag_is_no_frame_and_a_frame_with_another_tip_than_was_said_is_not_taken() -> None:
    pixels = drawn(oval(0.3), FILMS["blue"])
    face = np.kron(np.pad(~tag_cells(6), 1, constant_values=True), np.ones((16, 16))) * 200 + 20
    tagged = np.full((pixels.shape[0], pixels.shape[1] + 200, 3), 220, dtype=np.uint8)
    tagged[:, :-200] = pixels
    tagged[100 : 100 + len(face), -190 : -190 + len(face)] = face[..., None]
    (shape,) = (one for one in DrawnLines.of(photo_of(tagged)).shapes() if one.border[:, 0].min() > pixels.shape[1])
    assert shape.share > LEAST_SHARE
    frame = framed(TAPE, Flank.RIGHT)
    found = find_frame(photo_of(tagged), Flank.RIGHT, PictureSide.UP, TAPE)
    np.testing.assert_allclose(found.root[[0, -1]], frame.root[[0, -1]], atol=6)
    with pytest.raises(NoTrustworthyOutline, match="No frame"):
        find_frame(photo_of(tagged), Flank.RIGHT, PictureSide.LEFT, TAPE)


def test_no_frame_and_two_frames_are_not_taken() -> None:
    plain = np.full((*SIZE[::-1], 3), 220, dtype=np.uint8)
    one = cv2.resize(drawn(oval(0.3), FILMS["blue"]), (410, 215), interpolation=cv2.INTER_AREA)[20:200, 40:380]
    two = np.full((600, 800, 3), 225, dtype=np.uint8)
    for row in (40, 320):
        two[row : row + one.shape[0], 100 : 100 + one.shape[1]] = one
    for pixels, found in ((plain, "No frame"), (two, "2 frames")):
        with pytest.raises(NoTrustworthyOutline, match=found):
            find_frame(photo_of(pixels), Flank.LEFT, PictureSide.UP, TAPE)


def test_four_corners_are_bent_as_the_frame_is_drawn() -> None:
    whole = framed(TAPE, Flank.RIGHT)
    corners = replace(whole, **{name: getattr(whole, name)[[0, -1]].copy() for name in EDGE_NAMES})
    placed = place_lift(photo_of(drawn(oval(0.3), FILMS["blue"])), corners)
    middle = placed.flank_map.to_photo(np.array([[0.5, 0.0], [0.5, 1.0]]))
    np.testing.assert_allclose(middle, map_frame(whole).to_photo(np.array([[0.5, 0.0], [0.5, 1.0]])), atol=4)


def test_a_frame_that_runs_the_other_way_is_refused() -> None:
    edges = seen_from(frame_edges(), SLANT)
    assert checked_frame(edges, Flank.RIGHT, TAPE).flank is Flank.RIGHT
    assert checked_frame(edges, Flank.LEFT, PAPER).flank is Flank.LEFT
    with pytest.raises(InconsistentInputs, match="other side of the tape or paper"):
        checked_frame(edges, Flank.RIGHT, PAPER)
    with pytest.raises(InconsistentInputs, match="right flank, but the flank is declared left"):
        checked_frame(edges, Flank.LEFT, TAPE)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(-0.12, 0.12), min_size=8, max_size=8),
    st.tuples(st.floats(0, 1), st.floats(0, 1)),
)
def test_a_card_at_any_slant_keeps_its_places(off: list[float], place: tuple[float, float]) -> None:
    # the camera is a homography, worked out here from four corners by itself
    square = np.array([[0, 0], [SIZE[0], 0], [SIZE[0], SIZE[1]], [0, SIZE[1]]], dtype=np.float32)
    moved = (square + np.reshape(off, (4, 2)) * SIZE[1]).astype(np.float32)
    camera = np.asarray(cv2.getPerspectiveTransform(square, moved), dtype=np.float64)
    flat = map_frame(checked_frame(seen_from(frame_edges(), camera), Flank.RIGHT, TAPE))
    true = cv2.perspectiveTransform(places(np.array([place[0]]), np.array([place[1]]))[None], camera)[0]
    np.testing.assert_allclose(flat.to_photo(np.array([place])), true, atol=1.0)
