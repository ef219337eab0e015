"""Printed tags: what they look like, what they tell, and what they refuse."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs
from patternscan.frame import End, Flank
from patternscan.seeing.geometry.outline import Outline, PictureSide, flank_shown
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.tags.seen_tag import SeenTag, SeenTags, see_tags
from patternscan.seeing.tags.tag_face import tag_cells
from patternscan.seeing.tags.tag_pair import LAST_PAIR, PAIRS, pair_and_end, tag_number
from patternscan.seeing.tags.told_ends import ends_told, refuse_foreign
from patternscan.seeing.tags.told_tip import tip_on_card, tip_told
from tests.drawn import drawn_photo, slanted_outline
from tests.reporting.builders import MIDDLE

CELL_PX, PAIR = 7, 41
MIDDLE_PX = np.array([150.0, 150.0])


def stuck(photo: Photo, number: int, middle: NDArray[np.float64]) -> Photo:
    """The photo with a tag pasted upright round a pixel."""
    cells = np.pad(~tag_cells(number), 1, constant_values=True)
    face = np.kron(cells, np.ones((CELL_PX, CELL_PX))) * 180 + 30
    left, top = (np.round(middle) - len(face) / 2).astype(int)
    pixels = photo.pixels.copy()
    pixels[top : top + len(face), left : left + len(face)] = face[..., None]
    return Photo(photo.name, pixels)


def beside(outline: Outline, end: End) -> NDArray[np.float64]:
    """A pixel a little beyond an end of the flank."""
    a, b = outline.end_a.mean(axis=0), outline.end_b.mean(axis=0)
    place = a - 0.14 * (b - a) if end is End.A else b + 0.14 * (b - a)
    return np.asarray(place)


def tagged(flank: Flank, *tags: tuple[End, End]) -> tuple[Photo, Outline]:
    """A drawn flank with tags, each of an end stuck beside an end."""
    outline = slanted_outline(flank)
    photo = drawn_photo(outline, MIDDLE, "a.png")
    for tag, place in tags:
        photo = stuck(photo, tag_number(PAIR, tag), beside(outline, place))
    return photo, outline


def told(photo: Photo, outline: Outline) -> bool:
    return ends_told(see_tags(photo), outline, photo.name)


@given(st.integers(0, LAST_PAIR), st.sampled_from(End))
def test_a_number_tells_pair_and_end(pair: int, end: End) -> None:
    assert pair_and_end(tag_number(pair, end)) == (pair, end)


def test_no_tag_reads_in_a_mirror_even_with_two_cells_wrong_and_one_put_right() -> None:
    faces = np.array([tag_cells(number) for number in range(2 * PAIRS)])
    turned = np.stack([np.rot90(faces, turn, axes=(1, 2)) for turn in range(4)])
    mirrored = faces[:, :, ::-1].reshape(len(faces), -1).astype(np.float32)
    plain = turned.reshape(-1, mirrored.shape[1]).astype(np.float32)
    alike = mirrored @ plain.T + (1 - mirrored) @ (1 - plain).T
    assert mirrored.shape[1] - alike.max() > 3


@pytest.mark.parametrize("flank", Flank)
@pytest.mark.parametrize("end", End)
def test_a_tag_beside_its_own_end_tells_it(flank: Flank, end: End) -> None:
    photo, outline = tagged(flank, (end, end))
    (seen,) = see_tags(photo).tags
    assert (seen.pair, seen.end) == (PAIR, end)
    assert seen.centre == pytest.approx(beside(outline, end), abs=1.5)
    assert told(photo, outline)


@pytest.mark.parametrize("flank", Flank)
@pytest.mark.parametrize("end", End)
def test_a_tag_beside_the_other_end_is_refused_with_both_causes(flank: Flank, end: End) -> None:
    photo, outline = tagged(flank, (end, end.other))
    with pytest.raises(
        InconsistentInputs, match=f"tag of end {end} where the {flank} flank has its end {end.other}"
    ) as stop:
        told(photo, outline)
    assert "swapped in the outline" in stop.value.remedy
    assert "tags sit on the wrong end faces" in stop.value.remedy


def test_two_tags_of_which_one_is_wrong_are_refused() -> None:
    photo, outline = tagged(Flank.LEFT, (End.A, End.A), (End.A, End.B))
    assert see_tags(photo).tags == ()
    photo, outline = tagged(Flank.LEFT, (End.A, End.B), (End.B, End.A))
    with pytest.raises(InconsistentInputs):
        told(photo, outline)


def test_without_a_tag_or_with_one_before_the_flank_nothing_is_told() -> None:
    photo, outline = tagged(Flank.RIGHT)
    assert not told(photo, outline)
    middle = stuck(photo, tag_number(PAIR, End.A), outline.border.mean(axis=0))
    assert len(see_tags(middle).tags) == 1
    assert not told(middle, outline)


def test_tags_of_two_machines_tell_nothing() -> None:
    photo, outline = tagged(Flank.RIGHT, (End.A, End.A))
    both = stuck(photo, tag_number(PAIR + 1, End.B), beside(outline, End.B))
    assert len(see_tags(both).tags) == 2
    assert not told(both, outline)


def test_a_mirrored_photo_is_refused() -> None:
    photo, _ = tagged(Flank.LEFT, (End.A, End.A))
    seen = see_tags(Photo("a.png", np.ascontiguousarray(photo.pixels[:, ::-1])))
    assert seen.mirrored
    assert seen.tags == ()
    with pytest.raises(InconsistentInputs, match="mirrored"):
        refuse_foreign(seen, None, "a.png")


def test_the_tag_of_another_machine_is_refused() -> None:
    photo, _ = tagged(Flank.LEFT, (End.A, End.A))
    seen = see_tags(photo)
    refuse_foreign(seen, PAIR, "a.png")
    refuse_foreign(seen, None, "a.png")
    refuse_foreign(SeenTags(), 7, "a.png")
    with pytest.raises(InconsistentInputs, match="pair 41, but the machine sheet says pair 7"):
        refuse_foreign(seen, 7, "a.png")


def test_a_far_tag_tells_nothing() -> None:
    photo, outline = tagged(Flank.LEFT, (End.A, End.A))
    half = {name: outline.border.mean(axis=0) + 0.1 * (getattr(outline, name) - outline.border.mean(axis=0))
            for name in ("root", "tip", "end_a", "end_b")}  # fmt: skip
    assert not ends_told(see_tags(photo), replace(outline, **half), photo.name)


def tag_at(end: End, x: float, y: float, pair: int = PAIR) -> SeenTag:
    return SeenTag(tag_number(pair, end), np.array([[x, y], [x, y], [x, y], [x, y]]))


@pytest.mark.parametrize("tip", PictureSide)
@pytest.mark.parametrize("end_a", PictureSide)
def test_tags_of_both_ends_show_where_the_tip_points(tip: PictureSide, end_a: PictureSide) -> None:
    if abs(np.dot(tip.vector, end_a.vector)) > 0.5:
        return
    x, y = 300 * np.array(end_a.vector) + [400, 410]
    tags = SeenTags((tag_at(End.A, x, y), tag_at(End.B, 800 - x, 820 - y)))
    # where end A is seen and where the tip points tell the flank (ISO 1122-1); so flank and end A tell the tip
    assert tip_told(tags, flank_shown(tip, end_a)) is tip


@pytest.mark.parametrize("turns", range(4))
def test_an_upright_tag_on_a_card_shows_where_the_tip_points(turns: int) -> None:
    photo = stuck(Photo("a.png", np.full((300, 300, 3), 210, dtype=np.uint8)), tag_number(PAIR, End.A), MIDDLE_PX)
    seen = see_tags(Photo("a.png", np.ascontiguousarray(np.rot90(photo.pixels, turns))))
    assert tip_on_card(seen) is (PictureSide.UP, PictureSide.LEFT, PictureSide.DOWN, PictureSide.RIGHT)[turns]
    assert tip_on_card(SeenTags()) is None


def test_one_tag_tags_of_two_pairs_and_a_slant_tell_no_tip() -> None:
    one, other = tag_at(End.A, 100, 100), tag_at(End.B, 500, 100)
    assert tip_told(SeenTags((one, other)), Flank.RIGHT) is PictureSide.UP
    for tags in ((one,), (), (one, tag_at(End.B, 500, 100, PAIR + 1)), (one, tag_at(End.B, 400, 380))):
        assert tip_told(SeenTags(tags), Flank.RIGHT) is None
