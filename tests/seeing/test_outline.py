"""Outlines are accepted only when they make a flank, and tell left from right by their sense of rotation."""

from __future__ import annotations

import json
from base64 import b64encode
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.measure import grid_points_in_poly

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline
from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import (
    EDGE_NAMES,
    Outline,
    OutlineSource,
    PictureSide,
    checked_outline,
    edge_length,
    flank_shown,
    resampled,
    signed_area,
)
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes, read_outline_file
from patternscan.seeing.image.fingerprint import BYTES, Fingerprint

UP, DOWN, LEFT, RIGHT = PictureSide.UP, PictureSide.DOWN, PictureSide.LEFT, PictureSide.RIGHT

Edges = dict[str, list[list[float]]]


def edges() -> Edges:
    """A right flank, tip up: end A on the left. x runs right and y down, so the tip has the smaller y."""
    return {
        "root": [[100, 200], [250, 210], [400, 200]],
        "tip": [[110, 100], [250, 90], [390, 100]],
        "end_a": [[100, 200], [102, 150], [110, 100]],
        "end_b": [[400, 200], [390, 100]],
    }


# --- sense of rotation ---------------------------------------------------------------------------------------

CORNERS = {
    # (tip points, flank): root_A, root_B, tip_B, tip_A as seen, in pixels, x right, y down
    (UP, Flank.RIGHT): [(100, 200), (400, 200), (400, 100), (100, 100)],
    (UP, Flank.LEFT): [(400, 200), (100, 200), (100, 100), (400, 100)],
    (DOWN, Flank.RIGHT): [(400, 100), (100, 100), (100, 200), (400, 200)],
    (DOWN, Flank.LEFT): [(100, 100), (400, 100), (400, 200), (100, 200)],
    (LEFT, Flank.RIGHT): [(200, 700), (200, 400), (100, 400), (100, 700)],
    (LEFT, Flank.LEFT): [(200, 400), (200, 700), (100, 700), (100, 400)],
    (RIGHT, Flank.RIGHT): [(100, 400), (100, 700), (200, 700), (200, 400)],
    (RIGHT, Flank.LEFT): [(100, 700), (100, 400), (200, 400), (200, 700)],
}
"""Landmarks: with the tip up the right flank shows end A on the left, the left flank shows it on the right.
Source: ISO 1122-1 / ISO 21771 with end face A as the reference face; the other six turned by hand."""


def four_cornered(corners: list[tuple[int, int]]) -> dict[str, Any]:
    root_a, root_b, tip_b, tip_a = corners
    return {"root": [root_a, root_b], "tip": [tip_a, tip_b], "end_a": [root_a, tip_a], "end_b": [root_b, tip_b]}


@pytest.mark.parametrize(("tip", "flank"), CORNERS)
def test_sense_tells_the_flank(tip: PictureSide, flank: Flank) -> None:
    shown = four_cornered(CORNERS[tip, flank])
    assert checked_outline(shown, flank).flank is flank
    other = Flank.LEFT if flank is Flank.RIGHT else Flank.RIGHT
    with pytest.raises(InconsistentInputs) as caught:
        checked_outline(shown, other)
    assert caught.value.exit_code == 6
    assert f"declared {other.value}" in caught.value.found
    assert "mirrored" in caught.value.remedy
    assert "end A and end B are swapped" in caught.value.remedy


@pytest.mark.parametrize(("tip", "flank"), CORNERS)
def test_landmarks_agree_with_where_end_a_is_seen(tip: PictureSide, flank: Flank) -> None:
    root_a, root_b, *_ = CORNERS[tip, flank]
    step = (np.sign(root_a[0] - root_b[0]), np.sign(root_a[1] - root_b[1]))
    side = {(-1, 0): LEFT, (1, 0): RIGHT, (0, -1): UP, (0, 1): DOWN}[step]
    assert flank_shown(tip, side) is flank


@pytest.mark.parametrize(
    ("tip", "end_a", "flank"),
    [
        (UP, LEFT, Flank.RIGHT),
        (UP, RIGHT, Flank.LEFT),
        (DOWN, RIGHT, Flank.RIGHT),
        (DOWN, LEFT, Flank.LEFT),
        (LEFT, DOWN, Flank.RIGHT),
        (LEFT, UP, Flank.LEFT),
        (RIGHT, UP, Flank.RIGHT),
        (RIGHT, DOWN, Flank.LEFT),
    ],
)
def test_flank_shown(tip: PictureSide, end_a: PictureSide, flank: Flank) -> None:
    """Written out: the right flank shows end A on the left of an observer who sees the tip up."""
    assert flank_shown(tip, end_a) is flank


@pytest.mark.parametrize("tip", PictureSide)
def test_end_a_cannot_be_seen_along_the_tooth_height(tip: PictureSide) -> None:
    opposite = {UP: DOWN, DOWN: UP, LEFT: RIGHT, RIGHT: LEFT}[tip]
    for end_a in (tip, opposite):
        with pytest.raises(InconsistentInputs):
            flank_shown(tip, end_a)


# --- corners -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["root", "tip"])
@pytest.mark.parametrize("place", [0, -1])
def test_corners_within_two_pixels_are_joined_at_their_mean(name: str, place: int) -> None:
    shifted = edges()
    shifted[name][place][0] += 1.9
    outline = checked_outline(shifted, Flank.RIGHT)
    end = outline.end_a if place == 0 else outline.end_b
    corner = getattr(outline, name)[place]
    np.testing.assert_array_equal(corner, end[0 if name == "root" else -1])
    assert corner[0] == pytest.approx(edges()[name][place][0] + 0.95)


@pytest.mark.parametrize("name", ["root", "tip"])
@pytest.mark.parametrize("place", [0, -1])
def test_corners_further_apart_are_refused(name: str, place: int) -> None:
    apart = edges()
    apart[name][place][1] -= 2.1
    with pytest.raises(NoTrustworthyOutline, match=r"do not meet: 2\.1 px"):
        checked_outline(apart, Flank.RIGHT)


def test_edge_given_backward_is_refused() -> None:
    backward = edges() | {"root": edges()["root"][::-1]}
    with pytest.raises(NoTrustworthyOutline, match="run from end A to end B"):
        checked_outline(backward, Flank.RIGHT)


# --- refusals ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", EDGE_NAMES)
@pytest.mark.parametrize(
    "points",
    [
        None,
        [],
        "along the tooth",
        7,
        {"x": 1},
        [[1, 2]],
        [[1, 2, 3], [4, 5, 6]],
        [[1, 2], [3]],
        [[1, 2], ["a", "b"]],
        [[0, 0], [0, 0]],
        [[1, 2], [float("nan"), 3]],
        [[1, 2], [float("inf"), 3]],
        [[1, 2], [1e9, 3]],
    ],
)
def test_what_is_no_edge_is_refused_by_name(name: str, points: object) -> None:
    spoken = {"root": "root edge", "tip": "tip edge", "end_a": "edge at end A", "end_b": "edge at end B"}[name]
    with pytest.raises(NoTrustworthyOutline, match=spoken) as caught:
        checked_outline(edges() | {name: points}, Flank.RIGHT)
    assert caught.value.exit_code == 4


@pytest.mark.parametrize("name", EDGE_NAMES)
def test_missing_edge_is_refused(name: str) -> None:
    with pytest.raises(NoTrustworthyOutline, match="missing"):
        checked_outline({key: value for key, value in edges().items() if key != name}, Flank.RIGHT)


def test_tiny_and_flat_flanks_are_refused() -> None:
    tiny = {name: [[x / 50, y / 50] for x, y in points] for name, points in edges().items()}
    with pytest.raises(NoTrustworthyOutline, match="tiny"):
        checked_outline(tiny, Flank.RIGHT)
    flat = four_cornered([(0, 9), (300, 9), (301, 0), (1, 0)]) | {"root": [[0, 9], [150, 0.5], [300, 9]]}
    with pytest.raises(NoTrustworthyOutline, match="tiny"):
        checked_outline(flat, Flank.RIGHT)


def test_crossing_edges_are_refused() -> None:
    crossed = edges() | {"root": [[100, 200], [250, 60], [400, 200]]}
    with pytest.raises(NoTrustworthyOutline, match="root edge and the tip edge of the outline cross"):
        checked_outline(crossed, Flank.RIGHT)


def test_bow_tie_is_refused() -> None:
    with pytest.raises(NoTrustworthyOutline):
        checked_outline(four_cornered([(0, 100), (300, 100), (0, 0), (300, 0)]), Flank.RIGHT)


def test_edge_that_crosses_itself_is_refused() -> None:
    looped = edges() | {"root": [[100, 200], [300, 230], [300, 260], [200, 190], [400, 200]]}
    with pytest.raises(NoTrustworthyOutline, match="root edge of the outline crosses itself"):
        checked_outline(looped, Flank.RIGHT)


def test_straight_edges_of_many_points_are_accepted() -> None:
    """Rounding makes neighbouring pieces of a slanted straight edge almost, not quite, parallel."""
    t = np.linspace(0, 1, 41)[:, None]
    corners = {name: np.array([points[0], points[-1]], dtype=float) / 3 for name, points in edges().items()}
    many = {name: ends[0] + t * (ends[1] - ends[0]) for name, ends in corners.items()}
    assert checked_outline(many, Flank.RIGHT).root.shape == (41, 2)


def test_repeated_points_are_dropped() -> None:
    double = edges()
    double["root"].insert(1, [100.0, 200.0])
    assert len(checked_outline(double, Flank.RIGHT).root) == 3


# --- sizes and places ----------------------------------------------------------------------------------------


def test_sizes_of_a_rectangle() -> None:
    outline = checked_outline(four_cornered([(10, 60), (310, 60), (310, 20), (10, 20)]), Flank.RIGHT)
    assert (outline.width_px, outline.height_px, outline.area_px) == (300, 40, 12000)
    assert signed_area(outline.border) == 12000
    assert signed_area(outline.border[::-1]) == -12000


def test_area_as_scikit_image_counts_it() -> None:
    """Reference: skimage.measure.grid_points_in_poly of the border, within half the pixels on the border."""
    outline = checked_outline(edges(), Flank.RIGHT)
    inside = grid_points_in_poly((300, 500), outline.border[:, ::-1])  # type: ignore[no-untyped-call]
    assert inside.sum() == pytest.approx(outline.area_px, abs=outline.width_px + outline.height_px)


def test_resampled_goes_by_length() -> None:
    """A 3-4-5 bend: 3 + 4 = 7 long, so 3/7 of the way is the bend."""
    bend = np.array([[0.0, 0.0], [3.0, 0.0], [3.0, 4.0]])
    assert edge_length(bend) == 7
    np.testing.assert_allclose(resampled(bend, [0, 3 / 7, 5 / 7, 1]), [[0, 0], [3, 0], [3, 2], [3, 4]], atol=1e-12)


def test_edges_are_read_only_and_independent_of_what_was_given() -> None:
    given_root = np.array(edges()["root"], dtype=float)
    outline = checked_outline({**edges(), "root": given_root}, Flank.RIGHT)
    given_root[1] = 0
    assert outline.root[1, 0] == 250
    with pytest.raises(ValueError, match="read-only"):
        outline.root[0, 0] = 5


@st.composite
def slanted(draw: st.DrawFn) -> Outline:
    """A convex four-sided flank with bent edges, turned by any angle, on either flank."""
    sag = draw(st.floats(-0.08, 0.08))
    lean, squeeze = draw(st.floats(-0.3, 0.3)), draw(st.floats(0.7, 1.3))
    size, turn = draw(st.floats(80, 3000)), draw(st.floats(0, 2 * np.pi))
    flank = draw(st.sampled_from(Flank))
    t = np.linspace(0, 1, draw(st.integers(3, 12)))
    root = np.stack([t, 0.3 + sag * 4 * t * (1 - t)], axis=1)
    tip = np.stack([lean + squeeze * t, 0.05 * t], axis=1)
    if flank is Flank.LEFT:
        root, tip = root * [-1, 1], tip * [-1, 1]
    spin = size * np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    root, tip = root @ spin + 4000, tip @ spin + 4000
    ends = {"end_a": np.stack([root[0], tip[0]]), "end_b": np.stack([root[-1], tip[-1]])}
    return checked_outline({"root": root, "tip": tip, **ends}, flank)


@settings(deadline=None, max_examples=60)
@given(slanted())
def test_any_turn_keeps_the_flank_and_a_mirror_swaps_it(outline: Outline) -> None:
    mirrored = {name: getattr(outline, name) * [-1, 1] for name in EDGE_NAMES}
    with pytest.raises(InconsistentInputs):
        checked_outline(mirrored, outline.flank)
    other = Flank.LEFT if outline.flank is Flank.RIGHT else Flank.RIGHT
    assert checked_outline(mirrored, other).area_px == pytest.approx(outline.area_px)


@settings(deadline=None, max_examples=60)
@given(slanted())
def test_swapped_ends_swap_the_flank(outline: Outline) -> None:
    swapped = {
        "root": outline.root[::-1],
        "tip": outline.tip[::-1],
        "end_a": outline.end_b,
        "end_b": outline.end_a,
    }
    with pytest.raises(InconsistentInputs):
        checked_outline(swapped, outline.flank)


PICTURE = Fingerprint("übersicht 3.jpg", 4000, 3000, b64encode(bytes(BYTES)).decode())
"""A black photo in little."""


# --- file ----------------------------------------------------------------------------------------------------


@settings(deadline=None, max_examples=30)
@given(st.lists(slanted(), min_size=1, max_size=3))
def test_written_and_read_again(tmp_path_factory: pytest.TempPathFactory, outlines: list[Outline]) -> None:
    path = tmp_path_factory.mktemp("outline") / "flank.json"
    path.write_bytes(outline_file_bytes(outline_document("übersicht 3.jpg", outlines, PICTURE)))
    again = read_outline_file(path)
    assert (again.photo, again.photo_px, again.picture) == (PICTURE.name, (4000, 3000), PICTURE)
    assert [o.flank for o in again.outlines] == [o.flank for o in outlines]
    for read, written in zip(again.outlines, outlines, strict=True):
        assert read.source is OutlineSource.GIVEN
        for name in EDGE_NAMES:
            np.testing.assert_allclose(getattr(read, name), getattr(written, name), atol=0.0101)


def content_of(outline: Outline) -> dict[str, Any]:
    """What the file of one outline holds."""
    content: dict[str, Any] = json.loads(outline_file_bytes(outline_document("p.jpg", [outline], None)))
    return content


def test_file_has_the_keys_other_programs_rely_on() -> None:
    document = content_of(checked_outline(edges(), Flank.RIGHT, tooth="7"))
    assert (document["format"], document["version"], document["photo"]) == ("patternscan-outline", 1, "p.jpg")
    assert set(document["flanks"][0]) == {"flank", "tooth", "root", "tip", "end_a", "end_b"}
    assert document["flanks"][0]["flank"] == "right"
    assert document["flanks"][0]["tooth"] == "7"
    assert document["flanks"][0]["root"] == [[100.0, 200.0], [250.0, 210.0], [400.0, 200.0]]


def entry(**changes: object) -> dict[str, object]:
    return {"flank": "right", **edges(), **changes}


def one_flank(**changes: object) -> str:
    """A file of one flank with some keys changed."""
    return json.dumps({"format": "patternscan-outline", "version": 1, "flanks": [entry(**changes)]})


def one_flank_of(**told: object) -> str:
    """A file of one flank that tells something of its photo."""
    return json.dumps({"format": "patternscan-outline", "version": 1, "flanks": [entry()]} | told)


NO_EDGES: list[object] = [
    None,
    [],
    "x",
    7,
    {"x": 1},
    [[1, 2]],
    [[1, 2, 3], [4, 5, 6]],
    [[1, 2], [3]],
    [[1, 2], ["a", 1]],
]


@pytest.mark.parametrize(
    ("told", "source", "confidence"),
    [
        ({}, OutlineSource.GIVEN, 1.0),
        ({"source": "given", "confidence": 0.3}, OutlineSource.GIVEN, 1.0),
        ({"source": "corrected", "confidence": 0.3}, OutlineSource.CORRECTED, 1.0),
        ({"source": "found", "confidence": 0.62}, OutlineSource.FOUND, 0.62),
        ({"source": "found"}, OutlineSource.FOUND, 0.0),
    ],
)
def test_who_drew_an_outline_comes_back(
    tmp_path: Path, told: dict[str, object], source: OutlineSource, confidence: float
) -> None:
    path = tmp_path / "flank.json"
    path.write_text(one_flank(**told), encoding="utf-8")
    (outline,) = read_outline_file(path).outlines
    assert (outline.source, outline.confidence) == (source, confidence)
    path.write_bytes(outline_file_bytes(outline_document("p.jpg", [outline], None)))
    (again,) = read_outline_file(path).outlines
    assert (again.source, again.confidence) == (source, confidence)


def test_the_file_is_written_to_the_letter() -> None:
    corners = four_cornered([(10, 60), (310, 60), (310, 20), (10, 20)])
    found = checked_outline(corners, Flank.RIGHT, source=OutlineSource.FOUND, confidence=0.62)
    written = outline_file_bytes(
        outline_document("p.jpg", [found], replace(PICTURE, width_px=320, height_px=240))
    ).decode()
    assert "".join(written.split()) == (
        '{"format":"patternscan-outline","version":1,"photo":"p.jpg","photo_px":[320,240],'
        f'"grey_cells":"{PICTURE.cells}","flanks":['
        '{"flank":"right","tooth":"1",'
        '"source":"found","confidence":0.62,"root":[[10.0,60.0],[310.0,60.0]],"tip":[[10.0,20.0],[310.0,20.0]],'
        '"end_a":[[10.0,60.0],[10.0,20.0]],"end_b":[[310.0,60.0],[310.0,20.0]]}]}'
    )


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ("not json at all", "is damaged"),
        ("[1, 2]", "is not an outline file"),
        ('{"format": "something-else"}', "is not an outline file"),
        (json.dumps({"format": "patternscan-outline", "version": 2, "flanks": [entry()]}), "of version 2"),
        (json.dumps({"format": "patternscan-outline", "version": 1}), "holds no flank"),
        (json.dumps({"format": "patternscan-outline", "version": 1, "flanks": []}), "holds no flank"),
        (json.dumps({"format": "patternscan-outline", "version": 1, "flanks": "two"}), "holds no flank"),
        (json.dumps({"format": "patternscan-outline", "version": 1, "flanks": [7]}), "names a flank 7"),
        (
            json.dumps({"format": "patternscan-outline", "version": 1, "flanks": [entry(flank="upper")]}),
            "names a flank 'upper'",
        ),
        (
            json.dumps({"format": "patternscan-outline", "version": 1, "flanks": [entry(flank=["left"])]}),
            "names a flank",
        ),
        ("[" * 100_000, "is damaged"),
        (one_flank(tooth=None), "names a tooth None"),
        (one_flank(source="drawn"), "names a source 'drawn'"),
        (one_flank(confidence=2), "names a confidence 2"),
        (json.dumps({"format": "patternscan-outline", "version": 1, "flanks": [{}]}), "names a flank None"),
        (json.dumps({"format": "patternscan-outline", "version": 1, "photo": 5, "flanks": [entry()]}), "a photo 5"),
        *((one_flank_of(photo_px=size), "names a photo_px") for size in ("4000 x 3000", [4000], [4000, 0], 12)),
        (one_flank_of(photo_px=[4000, 3000], grey_cells="AAAA"), "is damaged: a fingerprint has"),
        (one_flank_of(photo_px=[4000, 3000], grey_cells="?"), "is damaged: a fingerprint is written as base 64"),
        *((one_flank(**{name: points}), "is missing or not a list") for name in EDGE_NAMES for points in NO_EDGES),
        *((one_flank(**{name: [[1, 2], [1e9, 3]]}), "holds a number") for name in EDGE_NAMES),
    ],
)
def test_faulty_files_are_refused(tmp_path: Path, content: str, found: str) -> None:
    path = tmp_path / "flank.json"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(NoTrustworthyOutline) as caught:
        read_outline_file(path)
    assert found in caught.value.found


def test_missing_and_binary_files_are_refused(tmp_path: Path) -> None:
    with pytest.raises(NoTrustworthyOutline, match="cannot be read"):
        read_outline_file(tmp_path / "gone.json")
    with pytest.raises(NoTrustworthyOutline, match="cannot be read"):
        read_outline_file(tmp_path)
    (tmp_path / "photo.json").write_bytes(b"\xff\xd8\xff\xe0")
    with pytest.raises(NoTrustworthyOutline, match="is damaged"):
        read_outline_file(tmp_path / "photo.json")


def test_file_with_a_byte_order_mark_is_read(tmp_path: Path) -> None:
    """Some editors put one before the text."""
    path = tmp_path / "flank.json"
    document = content_of(checked_outline(edges(), Flank.RIGHT))
    path.write_text(json.dumps(document), encoding="utf-8-sig")
    assert len(read_outline_file(path).outlines) == 1


@settings(deadline=None, max_examples=60)
@given(st.recursive(st.none() | st.booleans() | st.floats() | st.text(max_size=5), lambda x: st.lists(x, max_size=4)))
def test_any_content_for_an_edge_is_accepted_or_refused(content: Any) -> None:
    try:
        checked_outline(edges() | {"root": content}, Flank.RIGHT)
    except NoTrustworthyOutline:
        return
