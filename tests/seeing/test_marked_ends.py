"""Ends of a person's outline, weighed by the photo's edges and by the tooth's shape together."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from patternscan.frame import End, Flank
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.mapping import map_flank
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline, resampled
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.marked_edges import MarkedEdges, look_at_edges
from patternscan.seeing.outline_search.marked_ends import doubtful_ends
from tests.seeing.wheel_pictures import PAIR, SIZE, grained, true_edges, wheel_picture

TRUTH = checked_outline(true_edges(), Flank.RIGHT)
PHOTO = Photo("wheel.png", wheel_picture())
SEEN = MarkedEdges({}, {})


def dark_at_b() -> Photo:
    """The clean wheel, its light failing little by little toward end B."""
    first, last = TRUTH.root[0, 0], TRUTH.root[-1, 0]
    light = np.interp(np.arange(SIZE[0]), [(first + last) / 2, last - (last - first) / 10], [1, 0.01])
    return Photo("dark.png", grained(np.asarray(wheel_picture(blued=()) * light[:, None], np.float32)))


def with_end_b(share: float) -> Outline:
    """The outline with its end B moved by a part of the face width, outward along the edges as they ran there."""
    places = np.linspace(0, 1 + share, 33)
    edges = {name: getattr(TRUTH, name) for name in EDGE_NAMES}
    for name in ("root", "tip"):
        last, before = resampled(edges[name], np.array([1.0, 0.9]))
        beyond = last + (places[places > 1, None] - 1) * (last - before) / 0.1
        edges[name] = np.vstack([resampled(edges[name], places[places <= 1]), beyond])
    moves = [edges[name][-1] - getattr(TRUTH, name)[-1] for name in ("root", "tip")]
    part = np.linspace(0, 1, len(edges["end_b"]))[:, None]
    edges["end_b"] = edges["end_b"] + (1 - part) * moves[0] + part * moves[1]
    return checked_outline(edges, TRUTH.flank)


def doubts(photo: Photo | None, outline: Outline, pair: WormPair | None = None) -> list[tuple[str, str]]:
    """Code and end of each doubt; with no photo every end lies on an edge."""
    edges = SEEN if photo is None else look_at_edges(photo, outline)
    pose = map_flank(outline, pair, SIZE)[0].pose
    return [(one.code, str(one["end"])) for one in doubtful_ends(edges, outline, pose, SIZE)]


def test_the_right_outline_is_borne_out() -> None:
    assert doubts(PHOTO, TRUTH) == []


def test_a_dark_end_is_borne_out_by_the_shape_of_the_tooth() -> None:
    photo = dark_at_b()
    assert look_at_edges(photo, TRUTH).unseen_ends == (End.B,)
    assert doubts(photo, TRUTH) == []


def test_a_dark_end_at_the_wrong_place_is_not() -> None:
    assert doubts(dark_at_b(), with_end_b(-0.12)) == [("end-off-edges", "B")]


def test_nor_is_one_that_was_drawn_by_the_shape_itself() -> None:
    """An outline that was pulled onto edges has the shape of a tooth wherever its ends lie."""
    assert doubts(dark_at_b(), replace(TRUTH, pulled=True)) == [("end-off-edges", "B")]


def test_an_unseen_end_beside_a_plain_edge_is_doubted_whatever_the_shape() -> None:
    pose = map_flank(TRUTH, None, SIZE)[0].pose
    (told,) = doubtful_ends(MarkedEdges({}, {End.A: 0.3}), TRUTH, pose, SIZE)
    assert (told.code, told["end"]) == ("end-off-edges", "A")


@pytest.mark.parametrize(("share", "pair"), [(-0.12, None), (0.12, PAIR)])
def test_an_end_on_an_edge_of_something_else_is_told_by_the_shape(share: float, pair: WormPair | None) -> None:
    assert doubts(None, with_end_b(share), pair) == [("end-off-shape", "B")]


def test_an_outline_that_is_no_tooth_has_its_unseen_ends_doubted() -> None:
    edges = MarkedEdges({}, {End.A: 0.0, End.B: 0.0})
    assert [one["end"] for one in doubtful_ends(edges, TRUTH, None, SIZE)] == ["A", "B"]
