"""Outlines that a person set beside the tooth, with an end at the wrong place, or on no tooth at all."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import skimage.data

from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import End, Flank
from patternscan.seeing.geometry.mapping import map_outline
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, checked_outline
from patternscan.seeing.geometry.placed_flank import place_uncertainty
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.marked_edges import look_at_edges, refuse_beside_tooth, refuse_no_tooth
from tests.seeing.wheel_pictures import SIZE, true_edges, wheel_picture

TRUTH = checked_outline(true_edges(), Flank.RIGHT)
PHOTO = Photo("wheel.png", wheel_picture())
ALONG = TRUTH.root[-1] - TRUTH.root[0]


def check(photo: Photo, outline: Outline) -> tuple[End, ...]:
    """The ends that no edge bears out, unless the outline is refused."""
    edges = look_at_edges(photo, outline)
    refuse_beside_tooth(edges, photo.name)
    refuse_no_tooth(edges, photo.name)
    return edges.unseen_ends


def stretched(at_a: float, at_b: float) -> Outline:
    """The outline with its ends moved toward B by these parts of the face width."""
    share = {name: (getattr(TRUTH, name) - TRUTH.root[0]) @ ALONG / (ALONG @ ALONG) for name in EDGE_NAMES}
    moves = {name: (at_a * (1 - part) + at_b * part)[:, None] * ALONG for name, part in share.items()}
    return checked_outline({name: getattr(TRUTH, name) + moves[name] for name in EDGE_NAMES}, TRUTH.flank)


def test_the_right_outline_is_borne_out() -> None:
    assert check(PHOTO, TRUTH) == ()


@pytest.mark.parametrize(("at_a", "at_b"), [(0.1, 0.1), (-0.15, -0.15), (0.1, -0.1)])
def test_an_outline_beside_the_flank_is_refused(at_a: float, at_b: float) -> None:
    with pytest.raises(NoTrustworthyOutline, match="Neither end of the outline"):
        check(PHOTO, stretched(at_a, at_b))


@pytest.mark.parametrize(
    ("at_a", "at_b", "end"), [(0.1, 0, End.A), (-0.1, 0, End.A), (0, 0.1, End.B), (0, -0.1, End.B)]
)
def test_an_end_at_the_wrong_place_makes_places_less_sure(at_a: float, at_b: float, end: End) -> None:
    outline = stretched(at_a, at_b)
    assert check(PHOTO, outline) == (end,)
    flank_map = map_outline(outline)
    sure, doubted = (place_uncertainty(outline, flank_map, count) for count in (0, 1))
    assert doubted.along > 0.05 > sure.along
    assert doubted.up == sure.up


def test_an_end_at_the_photos_border_is_no_wrong_end() -> None:
    """The photo ends half-way along the flank; the outline is drawn along its border, as a person has to."""
    last = round(TRUTH.border[:, 0].mean())
    photo = Photo("cut.png", np.ascontiguousarray(PHOTO.pixels[:, : last + 1]))
    edges = {"end_a": TRUTH.end_a} | {name: up_to(getattr(TRUTH, name), last) for name in ("root", "tip")}
    edges["end_b"] = np.stack([edges["root"][-1], edges["tip"][-1]])
    assert check(photo, checked_outline(edges, TRUTH.flank)) == ()


def up_to(edge: Edge, last: float) -> Edge:
    """The part of an edge left of a column, up to it."""
    y = np.interp(last, *edge.T)
    return np.vstack([edge[edge[:, 0] < last], [last, y]])


def test_an_outline_on_something_that_is_no_tooth_is_refused() -> None:
    grain = np.random.default_rng(5).normal(128, 6, (SIZE[1], SIZE[0], 3))
    wall = Photo("wall.png", np.clip(grain, 0, 255).astype(np.uint8))
    with pytest.raises(NoTrustworthyOutline, match="No edges of a tooth are seen"):
        check(wall, TRUTH)


@pytest.mark.parametrize("name", ["camera.png", "clock_motion.png", "rocket.jpg", "text.png"])
def test_an_outline_on_another_picture_is_refused(name: str) -> None:
    """Open pictures that come with scikit-image, the outline in their middle."""
    photo = load_photo(Path(skimage.data.__file__).parent / name)
    size = np.array([photo.width_px, photo.height_px])
    shrink = 0.6 * float((size / np.ptp(TRUTH.border, axis=0)).min())
    middle = (TRUTH.border.min(axis=0) + TRUTH.border.max(axis=0)) / 2
    edges = {edge: (getattr(TRUTH, edge) - middle) * shrink + size / 2 for edge in EDGE_NAMES}
    with pytest.raises(NoTrustworthyOutline):
        check(photo, checked_outline(edges, Flank.RIGHT))
