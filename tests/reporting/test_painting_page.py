"""The painting page: what a person paints in a browser comes back from the truth file."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from patternscan.frame import Flank
from patternscan.judging.proof.truth import TRUTH_COLUMNS
from patternscan.reporting.documents.truth import read_truth_file
from patternscan.reporting.pages.painting_page import painting_job, painting_page
from patternscan.reporting.pictures import photo_piece
from patternscan.reporting.pictures.bare_flank import contact_map_image
from patternscan.seeing.geometry.placed_flank import PlacedFlank, place_flank
from tests.judging.test_proof import painted
from tests.reporting.builders import drawn_reading
from tests.reporting.seen_page import seen

MIDDLE = """() => {
  const own = [...levels.keys()].filter((cell) => levels[cell] === CONTACT);
  const mean = (told) => own.reduce((sum, cell) => sum + told(cell) + 0.5, 0) / own.length;
  const column = (cell) => cell % job.columns, row = (cell) => Math.floor(cell / job.columns);
  return [mean(column) / job.columns, 1 - mean(row) / job.rows];
}"""
"""Along and up of the middle of what is painted."""
HOSTILE = "<script>alert(1)</script>"


@cache
def placed(flank: Flank) -> PlacedFlank:
    """A drawn flank in its photo."""
    reading = drawn_reading(flank)
    return place_flank(reading.photo, reading.outline, None)


def page_of(flank: Flank, machine: str = "Barn hoist") -> str:
    """The page of a drawn flank that nobody has painted yet."""
    truth, reading = painted(flank), drawn_reading(flank)
    bare = dataclasses.replace(truth, contact=np.zeros_like(truth.judged), by="", made_at="")
    job = painting_job(bare, photo_piece.piece_round(placed(flank)), contact_map_image(reading), str(flank), machine)
    return painting_page(job, Image.fromarray(reading.rectified.pixels))


def painted_cells(page: Any) -> int:
    """How many cells of the flank carry contact on the page."""
    return int(page.evaluate("levels.filter((level) => level === CONTACT).length"))


def press_by_finger(page: Any, places: list[tuple[float, float]]) -> None:
    """A finger laid down at the first place, led to the others and taken up; a palm touches the page on the way."""
    session = page.context.new_cdp_session(page)
    palm = {"x": places[0][0], "y": places[0][1] + 100, "id": 1}
    kinds = ["touchStart", "touchStart", *["touchMove"] * (len(places) - 1)]
    for number, (kind, (x, y)) in enumerate(zip(kinds, [places[0], *places], strict=True)):
        finger = {"x": x, "y": y, "id": 0}
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [finger, palm] if number else [finger]})
    session.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def press_by(pointer: str, page: Any, places: list[tuple[float, float]]) -> None:
    """The same by ``pen`` or ``mouse``."""
    session = page.context.new_cdp_session(page)
    kinds = ["mousePressed", *["mouseMoved"] * (len(places) - 1), "mouseReleased"]
    for kind, (x, y) in zip(kinds, [*places, places[-1]], strict=True):
        told = {"type": kind, "x": x, "y": y, "pointerType": pointer, "button": "left", "buttons": 1, "clickCount": 1}
        session.send("Input.dispatchMouseEvent", told)


def test_what_a_person_wrote_is_no_script() -> None:
    assert HOSTILE not in page_of(Flank.LEFT, HOSTILE)


@pytest.mark.parametrize("flank", Flank)
def test_the_net_lies_where_the_flank_is_seen(flank: Flank) -> None:
    """Each knot has the colour of its place in the photo, in a piece made to half its size."""
    one = placed(flank)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(photo_piece, "LONGEST_PX", max(photo_piece.piece_round(one).image.size) / 2)
        piece = photo_piece.piece_round(one)
    rows, columns = np.mgrid[2:15, 2:31]
    told = np.stack([columns / 32, 1 - rows / 16], axis=-1).reshape(-1, 2)
    x, y = np.rint(one.flank_map.to_photo(told)).astype(int).T
    column, row = np.floor(piece.net[rows, columns]).astype(int).reshape(-1, 2).T
    seen, true = np.asarray(piece.image)[row, column].astype(int), one.photo.pixels[y, x].astype(int)
    assert np.median(np.abs(seen - true)) < 8
    assert np.median(np.abs(seen[::-1] - true)) > 8


@pytest.mark.browser
@pytest.mark.parametrize("flank", Flank)
def test_what_is_painted_near_a_and_the_tip_comes_back_there(browser: Any, tmp_path: Path, flank: Flank) -> None:
    with seen(browser, page_of(flank), tmp_path) as page:
        box = page.locator("#painted").bounding_box()
        assert page.locator("#save").is_disabled()
        a, b, tip, root = (page.locator(name).bounding_box() for name in ("#a", "#b", "#tip", "#root"))
        assert a["x"] + a["width"] <= box["x"] < box["x"] + box["width"] <= b["x"]
        assert tip["y"] + tip["height"] <= box["y"] < box["y"] + box["height"] <= root["y"]
        page.mouse.move(box["x"] + 0.2 * box["width"], box["y"] + 0.25 * box["height"])
        page.mouse.down()
        page.mouse.move(box["x"] + 0.4 * box["width"], box["y"] + 0.25 * box["height"])
        page.mouse.up()
        page.locator("#by").fill("R. Moss")
        with page.expect_download() as caught:
            page.locator("#save").click()
        assert caught.value.suggested_filename == f"{flank}.r-moss.truth.json"
        caught.value.save_as(tmp_path / "saved.truth.json")
    (back,) = read_truth_file(tmp_path / "saved.truth.json").truths
    middle = back.centroid
    assert middle is not None
    assert (middle.along, middle.up) == pytest.approx((0.3, 0.75), abs=0.02)
    assert (back.by, back.outline.flank, back.compound) == ("R. Moss", flank, "blue")
    assert read_truth_file(tmp_path / "saved.truth.json").machine == "Barn hoist"


@pytest.mark.browser
def test_undo_erase_hiding_and_the_tools_own_contact(browser: Any, tmp_path: Path) -> None:
    with seen(browser, page_of(Flank.RIGHT), tmp_path) as page:
        box = page.locator("#painted").bounding_box()
        middle = box["x"] + 0.5 * box["width"], box["y"] + 0.5 * box["height"]
        page.locator("[data-paint='255']").click()
        page.mouse.click(*middle)
        page.locator("#compare").click()
        assert page.locator("#state").inner_text().startswith("You and the tool agree on ")
        assert "you 50 %, the tool 50 %" in page.locator("#state").inner_text()
        page.locator("[data-paint='128']").click()
        page.mouse.click(*middle)
        assert page.locator("#state").inner_text() == "Nothing painted yet."
        page.locator("#undo").click()
        page.locator("[data-paint='0']").click()
        page.mouse.click(*middle)
        assert page.locator("#state").inner_text() == "Nothing painted yet."
        page.locator("#undo").click()
        page.locator("#undo").click()
        assert page.locator("#undo").is_disabled()


@pytest.mark.browser
def test_finger_pen_and_mouse_paint_alike_in_two_sizes(browser: Any, tmp_path: Path) -> None:
    """The brush's width in cells is that of its circle: the ends of a stroke are round, its middle is straight."""
    hands: dict[str, Callable[[Any, list[tuple[float, float]]], None]] = {
        "touch": press_by_finger,
        "pen": partial(press_by, "pen"),
        "mouse": partial(press_by, "mouse"),
    }
    with seen(browser, page_of(Flank.LEFT), tmp_path) as page:
        page.evaluate("at('stage').addEventListener('pointerdown', (event) => { window.hand = event.pointerType; })")
        box = page.locator("#painted").bounding_box()
        places = [(box["x"] + part * box["width"], box["y"] + 0.5 * box["height"]) for part in (0.25, 0.5, 0.75)]
        for radius in (3, 8):
            page.locator(f"[data-radius='{radius}']").click()
            for pointer, press in hands.items():
                press(page, places)
                assert page.evaluate("window.hand") == pointer
                expected = 2 * radius * TRUTH_COLUMNS / 2 + np.pi * radius**2
                assert painted_cells(page) == pytest.approx(expected, rel=0.1), (pointer, radius)
                page.locator("#undo").click()
                assert painted_cells(page) == 0


@pytest.mark.browser
def test_the_tools_contact_is_shown_only_to_who_painted(browser: Any, tmp_path: Path) -> None:
    with seen(browser, page_of(Flank.LEFT), tmp_path) as page:
        assert page.locator("#compare").is_disabled()
        page.locator("#painted").click()
        assert page.locator("#compare").is_enabled()


@pytest.mark.browser
def test_what_is_painted_after_looking_is_not_saved(browser: Any, tmp_path: Path) -> None:
    with seen(browser, page_of(Flank.LEFT), tmp_path) as page:
        box = page.locator("#painted").bounding_box()
        for along in (0.25, 0.75):
            page.mouse.click(box["x"] + along * box["width"], box["y"] + 0.5 * box["height"])
            page.locator("#compare").click()
        assert page.locator("#state").inner_text() == "Say who you are, then save."
        page.locator("#by").fill("R. Moss")
        with page.expect_download() as caught:
            page.locator("#save").click()
        caught.value.save_as(tmp_path / "saved.truth.json")
    (back,) = read_truth_file(tmp_path / "saved.truth.json").truths
    assert back.centroid is not None
    assert back.centroid.along == pytest.approx(0.25, abs=0.02)


@pytest.mark.browser
@pytest.mark.parametrize("flank", Flank)
def test_what_is_painted_in_the_photo_comes_back_at_its_place_on_the_flank(
    browser: Any, tmp_path: Path, flank: Flank
) -> None:
    """The place is looked up in the photo by the flank's own map."""
    (at_px,) = placed(flank).flank_map.to_photo(np.array([[0.3, 0.7]]))
    border, pixels = placed(flank).border, placed(flank).photo.pixels
    low = np.maximum(np.floor(border.min(axis=0) - 0.1 * np.ptp(border, axis=0)), 0)
    with seen(browser, page_of(flank), tmp_path) as page:
        page.locator("#in-photo").click()
        box = page.locator("#painted").bounding_box()
        high = np.minimum(np.ceil(border.max(axis=0) + 0.1 * np.ptp(border, axis=0)) + 1, pixels.shape[1::-1])
        x, y = (at_px - low + 0.5) / (high - low) * (box["width"], box["height"]) + (box["x"], box["y"])
        assert not page.locator("#a").is_visible()
        page.locator("[data-radius='8']").click()
        page.mouse.click(x, y)
        along, up = page.evaluate(MIDDLE)
        assert (along, up) == pytest.approx((0.3, 0.7), abs=0.02)
        kept = painted_cells(page)
        page.locator("#in-photo").click()
        assert page.locator("#a").is_visible()
        assert painted_cells(page) == kept
        page.locator("#undo").click()
        assert painted_cells(page) == 0
