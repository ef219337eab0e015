"""The hand-marking page: safe and self-contained as text, and working under mouse, finger and keys."""

from __future__ import annotations

import io
import json
import re
from base64 import b64decode, b64encode
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from patternscan.errors import PatternscanError
from patternscan.frame import Flank
from patternscan.reporting.pages.marking_page import outline_page
from patternscan.reporting.text.safety import SAFETY_LINE
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, OutlineSource, checked_outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import Photo
from tests.reporting.seen_page import faint_texts, fresh_page, least_letter_px, tags_of, wait_until_painted

EDGES = {
    "root": [[100.125, 300.25], [200.0, 320.0], [300.0, 300.0]],
    "tip": [[120.0, 150.0], [200.0, 165.0], [290.0, 140.0]],
    "end_a": [[100.125, 300.25], [105.0, 220.0], [120.0, 150.0]],
    "end_b": [[300.0, 300.0], [290.0, 140.0]],
}


def made_photo(name: str = "tooth.jpg", width: int = 640, height: int = 480) -> Photo:
    rows, columns = np.mgrid[0:height, 0:width]
    pixels = np.stack([rows * 255 / height, columns * 255 / width, np.full((height, width), 90)], axis=-1)
    return Photo(name, pixels.astype(np.uint8))


def right_outline() -> Outline:
    return checked_outline(EDGES, Flank.RIGHT, "3")


def island(page: str) -> dict[str, Any]:
    found = re.search(r'<script type="application/json" id="job">(.*?)</script>', page, re.DOTALL)
    assert found is not None
    job: dict[str, Any] = json.loads(found[1])
    return job


def embedded_jpeg(page: str) -> bytes:
    found = re.search(r'src="data:image/jpeg;base64,([^"]+)"', page)
    assert found is not None
    return b64decode(found[1])


# ---- the page as text


def test_page_needs_nothing_from_outside() -> None:
    page = outline_page(made_photo(), [right_outline()], Flank.RIGHT)
    assert set(re.findall(r"https?://[^\"'\s)]+", page)) == {"http://www.w3.org/2000/svg"}
    for tag, attributes in tags_of(page):
        assert tag not in {"link", "iframe", "object", "embed", "base"}
        assert not (attributes.get("src") or "data:").startswith(("http", "//", "file"))
        assert attributes.get("src") is None or str(attributes["src"]).startswith("data:image/jpeg;base64,")
    assert not re.search(r"@import|url\(|fetch\(|XMLHttpRequest|WebSocket", page)


def test_page_forbids_the_network_by_policy() -> None:
    policy = next(
        str(attributes["content"])
        for tag, attributes in tags_of(outline_page(made_photo(), [], None))
        if tag == "meta" and attributes.get("http-equiv") == "Content-Security-Policy"
    )
    rules = {rule.split()[0]: rule.split()[1:] for rule in policy.split(";")}
    assert rules["default-src"] == ["'none'"]
    assert rules["img-src"] == ["data:"]
    assert "connect-src" not in rules


@pytest.mark.parametrize(("kind", "tag"), [("style-src", "style"), ("script-src", "script")])
def test_policy_allows_this_very_style_and_script_alone(kind: str, tag: str) -> None:
    """W3C Content Security Policy Level 3, 2.3.1: text is allowed by its SHA-256."""
    page = outline_page(made_photo(), [], None)
    (content,) = re.findall(f"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
    digest = b64encode(sha256(content.encode()).digest()).decode()
    assert f"{kind} 'sha256-{digest}';" in page
    assert "unsafe-inline" not in page


def test_photo_in_page_carries_no_note_of_the_original() -> None:
    """JPEG, ITU-T T.81 annex B: application data and comments stand in segments APPn (FFE0-FFEF) and COM (FFFE)."""
    jpeg = embedded_jpeg(outline_page(made_photo(), [], Flank.LEFT))
    with Image.open(io.BytesIO(jpeg)) as picture:
        assert picture.format == "JPEG"
        assert not picture.getexif()
        assert "comment" not in picture.info
        assert "icc_profile" not in picture.info
    header = jpeg[: jpeg.index(b"\xff\xda")]
    assert b"\xff\xe1" not in header
    assert b"\xff\xfe" not in header


@pytest.mark.parametrize(("width", "height", "expected"), [(2000, 1500, (1600, 1200)), (900, 3200, (450, 1600))])
def test_large_photo_is_made_smaller_but_coordinates_stay(width: int, height: int, expected: tuple[int, int]) -> None:
    page = outline_page(made_photo(width=width, height=height), [right_outline()], Flank.RIGHT)
    with Image.open(io.BytesIO(embedded_jpeg(page))) as picture:
        assert picture.size == expected
    job = island(page)
    assert (job["width_px"], job["height_px"]) == (width, height)
    assert job["flanks"][0]["root"] == EDGES["root"]


def test_small_photo_keeps_its_size_and_colours() -> None:
    photo = made_photo()
    with Image.open(io.BytesIO(embedded_jpeg(outline_page(photo, [], None)))) as picture:
        shown = np.asarray(picture.convert("RGB"), dtype=float)
    assert shown.shape == photo.pixels.shape
    assert np.abs(shown - photo.pixels).mean() < 3


def test_points_come_unrounded() -> None:
    edges = {name: [[x + 1 / 3, y + 1 / 7] for x, y in points] for name, points in EDGES.items()}
    outline = checked_outline(edges, Flank.RIGHT)
    entry = island(outline_page(made_photo(), [outline], Flank.RIGHT))["flanks"][0]
    for name in EDGE_NAMES:
        assert np.array_equal(np.array(entry[name]), getattr(outline, name))


@pytest.mark.parametrize(
    "name", ["</script><b>.jpg", "<!--<script>.jpg", '"onload="x.jpg', "a&amp;b{{PHOTO}}{{JOB}}\\1.jpg", "é\u2028ü.jpg"]
)
def test_photo_name_stays_a_name(name: str) -> None:
    plain = outline_page(made_photo(), [right_outline()], Flank.RIGHT)
    page = outline_page(made_photo(name), [right_outline()], Flank.RIGHT)
    assert island(page)["photo"] == name
    assert [tag for tag, _ in tags_of(page)] == [tag for tag, _ in tags_of(plain)]
    assert page.count("data:image/jpeg;base64,") == 1


@pytest.mark.parametrize("flank", [Flank.LEFT, Flank.RIGHT])
def test_starting_shape_is_a_flank_of_the_chosen_side(flank: Flank) -> None:
    (entry,) = island(outline_page(made_photo(), [], flank))["flanks"]
    assert {name: len(entry[name]) for name in EDGE_NAMES} == {"root": 7, "tip": 7, "end_a": 3, "end_b": 3}
    outline = checked_outline(entry, flank)
    assert outline.border.mean(axis=0) == pytest.approx([319.5, 239.5], abs=1e-9)
    # Tip up: the right flank shows end A on the left, the left one on the right (ISO 1122-1, end face A as reference).
    assert bool(outline.end_a[0][0] < outline.end_b[0][0]) == (flank is Flank.RIGHT)


def test_without_a_flank_none_is_chosen() -> None:
    assert island(outline_page(made_photo(), [], None))["flanks"][0]["flank"] is None


# ---- the page in a browser

Opener = Callable[..., Any]


@pytest.fixture
def opened(browser: Any, tmp_path: Path) -> Iterator[Opener]:
    """Opens a page from a file, as wide and high as is said, other settings in a context of its own.

    Its console must stay clean, and it must ask for nothing but itself.
    """
    open_now, complaints = ExitStack(), []

    def page_of(settings: dict[str, Any]) -> Any:
        if settings.keys() <= {"width", "height"}:
            return open_now.enter_context(fresh_page(browser, **settings))
        context = browser.new_context(**({"viewport": {"width": 1280, "height": 800}} | settings))
        open_now.callback(context.close)
        return context.new_page()

    def open_page(html: str, **settings: Any) -> Any:
        path = tmp_path / "page.html"
        path.write_text(html, encoding="utf-8")
        page = page_of(settings)
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("request", lambda request: requests.append(request.url))
        page.goto(path.as_uri())
        wait_until_painted(page)
        return page

    requests: list[str] = []
    yield open_page
    open_now.close()
    assert complaints == []
    assert [url for url in requests if not url.startswith(("file:", "data:", "blob:"))] == []


def screen_place(page: Any, x: float, y: float) -> tuple[float, float]:
    """Where a pixel of the photo is seen, from the size at which the browser shows the whole photo."""
    box = page.locator("#photo").bounding_box()
    scale = box["width"] / page.evaluate("JSON.parse(document.getElementById('job').textContent).width_px")
    return box["x"] + (x + 0.5) * scale, box["y"] + (y + 0.5) * scale


def saved(page: Any, tmp_path: Path) -> tuple[str, Outline]:
    """Presses save and reads the file with the project's own reader."""
    with page.expect_download() as download:
        page.click("#save")
    path = tmp_path / "saved.json"
    download.value.save_as(path)
    return download.value.suggested_filename, read_outline_file(path).outlines[0]


def drag(page: Any, start: tuple[float, float], end: tuple[float, float]) -> None:
    page.mouse.move(*screen_place(page, *start))
    page.mouse.down()
    page.mouse.move(*screen_place(page, *((a + b) / 2 for a, b in zip(start, end, strict=True))))
    page.mouse.move(*screen_place(page, *end))
    page.mouse.up()


@pytest.mark.browser
def test_untouched_outline_is_saved_as_it_came(opened: Opener, tmp_path: Path) -> None:
    outline = right_outline()
    page = opened(outline_page(made_photo("shop 1.tooth.jpg"), [outline], Flank.RIGHT))
    name, again = saved(page, tmp_path)
    assert name == "shop 1.tooth.outline.json"
    assert (again.flank, again.tooth) == (Flank.RIGHT, "3")
    for edge in EDGE_NAMES:
        assert np.array_equal(getattr(again, edge), getattr(outline, edge))
    content = json.loads((tmp_path / "saved.json").read_text(encoding="utf-8"))
    assert (content["format"], content["version"], content["photo"]) == ("patternscan-outline", 1, "shop 1.tooth.jpg")
    assert read_outline_file(tmp_path / "saved.json").picture == made_photo("shop 1.tooth.jpg").fingerprint


@pytest.mark.browser
def test_a_found_outline_stays_found_until_a_point_moves(opened: Opener, tmp_path: Path) -> None:
    found = replace(right_outline(), source=OutlineSource.FOUND, confidence=0.87)
    page = opened(outline_page(made_photo(), [found], Flank.RIGHT))
    again = saved(page, tmp_path)[1]
    assert (again.source, again.confidence) == (OutlineSource.FOUND, 0.87)
    page.focus("[data-place=whole]")
    page.keyboard.press("ArrowRight")
    assert saved(page, tmp_path)[1].source is OutlineSource.CORRECTED
    page.click("#undo")
    assert saved(page, tmp_path)[1].source is OutlineSource.FOUND


@pytest.mark.browser
@pytest.mark.parametrize("width", [640, 2000])
def test_dragging_a_corner_moves_both_edges(opened: Opener, tmp_path: Path, width: int) -> None:
    """The tolerance is a quarter of a screen pixel, turned into pixels of the photo."""
    grow = width / 640
    edges = {name: (np.array(points) * grow).tolist() for name, points in EDGES.items()}
    photo = made_photo(width=width, height=width * 3 // 4)
    page = opened(outline_page(photo, [checked_outline(edges, Flank.RIGHT)], Flank.RIGHT))
    target = (330 * grow, 310 * grow)
    tolerance = 0.25 * width / page.locator("#photo").bounding_box()["width"] + 0.01
    drag(page, (300 * grow, 300 * grow), target)
    _, outline = saved(page, tmp_path)
    assert outline.root[-1] == pytest.approx(target, abs=tolerance)
    assert np.array_equal(outline.root[-1], outline.end_b[0])
    # the corner went by (30, 10); half-way along its edge the point goes half of it
    assert outline.root[1] == pytest.approx([215 * grow, 325 * grow], abs=tolerance)
    assert outline.tip[1] == pytest.approx([200 * grow, 165 * grow], abs=0.01)
    assert outline.tip[-1] == pytest.approx([290 * grow, 140 * grow], abs=0.01)


@pytest.mark.browser
def test_finger_drags_a_point_and_the_glass_appears(opened: Opener, tmp_path: Path) -> None:
    page = opened(
        outline_page(made_photo(), [right_outline()], Flank.RIGHT),
        viewport={"width": 390, "height": 844},
        has_touch=True,
        is_mobile=True,
        device_scale_factor=2,
    )
    session = page.context.new_cdp_session(page)

    def touch(kind: str, *places: tuple[float, float]) -> None:
        points = [dict(zip("xy", screen_place(page, *place), strict=True)) for place in places]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    assert page.locator("#loupe").is_hidden()
    touch("touchStart", (208.0, 330.0))  # 8 and 10 px beside the point: a finger is no needle
    touch("touchMove", (208.0, 340.0))
    touch("touchMove", (228.0, 350.0))
    assert page.locator("#loupe").is_visible()
    touch("touchEnd")
    assert page.locator("#loupe").is_hidden()
    _, outline = saved(page, tmp_path)
    assert outline.root[1] == pytest.approx([220.0, 340.0], abs=0.6)
    assert np.array_equal(outline.root[[0, 2]], right_outline().root[[0, 2]])


@pytest.mark.browser
def test_two_fingers_zoom_and_leave_the_outline(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT), has_touch=True)
    session = page.context.new_cdp_session(page)
    before = page.locator("#photo").bounding_box()["width"]
    for kind, half in (("touchStart", 50), ("touchMove", 75), ("touchMove", 100), ("touchEnd", None)):
        points = [] if half is None else [{"x": 600 - half, "y": 120, "id": 0}, {"x": 600 + half, "y": 120, "id": 1}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    assert page.locator("#photo").bounding_box()["width"] == pytest.approx(2 * before, rel=0.01)
    _, outline = saved(page, tmp_path)
    assert np.array_equal(outline.border, right_outline().border)


@pytest.mark.browser
def test_targets_are_large_enough_for_a_finger(opened: Opener) -> None:
    """WCAG 2.2, success criterion 2.5.5: a target for pointers is at least 44 by 44 CSS pixels."""
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT), width=390, height=844)
    boxes = page.eval_on_selector_all(
        ".target, button, input[type=text], #tooth",
        "nodes => nodes.map(n => n.getBoundingClientRect()).filter(b => b.width).map(b => [b.width, b.height])",
    )
    assert len(boxes) > 15
    assert np.min(boxes) >= 44 - 1e-3
    assert page.eval_on_selector(".target", "n => getComputedStyle(n).touchAction") == "none"
    assert page.eval_on_selector(".handle rect.dot", "n => n.getBBox().width") <= 12


@pytest.mark.browser
def test_tab_goes_on_and_arrows_move_by_one_and_ten(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    page.focus("[data-place=root-0]")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.dataset.place") == "root-1"
    for key in ("ArrowRight", "ArrowRight", "ArrowDown", "Shift+ArrowLeft", "Shift+ArrowUp"):
        page.keyboard.press(key)
    _, outline = saved(page, tmp_path)
    assert outline.root[1] == pytest.approx([192.0, 311.0])
    page.click("#undo")
    _, outline = saved(page, tmp_path)
    assert outline.root[1] == pytest.approx([200.0, 320.0])


@pytest.mark.browser
def test_point_is_added_by_double_click_and_removed(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    page.mouse.dblclick(*screen_place(page, 250, 310))
    _, outline = saved(page, tmp_path)
    assert len(outline.root) == 4
    assert outline.root[2] == pytest.approx([250, 310], abs=0.6)
    page.click("#remove")
    _, outline = saved(page, tmp_path)
    assert np.array_equal(outline.root, right_outline().root)


@pytest.mark.browser
def test_point_is_added_by_button_half_way_to_the_next(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    page.focus("[data-place=tip-1]")
    page.click("#add")
    _, outline = saved(page, tmp_path)
    assert outline.tip[2] == pytest.approx([245.0, 152.5])
    page.keyboard.press("Delete")
    _, outline = saved(page, tmp_path)
    assert len(outline.tip) == 4  # the focus had gone to the save button: a key there removes nothing


@pytest.mark.browser
def test_corner_cannot_be_removed(opened: Opener) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    page.focus("[data-place=tip-0]")
    assert page.locator("#remove").is_disabled()
    page.keyboard.press("Delete")
    assert page.locator(".handle").count() == 1 + len(right_outline().border)


@pytest.mark.browser
def test_wrong_sense_is_told_and_swap_cures_it(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    page.check("input[name=flank][value=left]")
    assert page.locator("#save").is_disabled()
    said = page.inner_text("#state")
    assert "mirrored" in said
    assert "A and B are swapped" in said
    assert "Cannot save" in page.inner_text("#save")
    page.click("#swap-now")
    _, outline = saved(page, tmp_path)
    assert outline.flank is Flank.LEFT
    assert np.array_equal(outline.root, right_outline().root[::-1])
    assert np.array_equal(outline.end_a, right_outline().end_b)


@pytest.mark.browser
def test_crossing_edges_are_told_and_undo_cures_them(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    drag(page, (200, 320), (200, 60))
    assert page.locator("#save").is_disabled()
    assert "cross" in page.inner_text("#save")
    assert "root edge" in page.inner_text("#state")
    page.click("#undo")
    _, outline = saved(page, tmp_path)
    assert np.array_equal(outline.border, right_outline().border)


@pytest.mark.browser
def test_tiny_flank_is_told(opened: Opener) -> None:
    tiny = {name: [[20 + x / 20, 20 + y / 20] for x, y in points] for name, points in EDGES.items()}
    page = opened(outline_page(made_photo(), [unchecked_outline(tiny)], Flank.RIGHT))
    assert page.locator("#save").is_disabled()
    assert "tiny" in page.inner_text("#save")


def unchecked_outline(edges: dict[str, list[list[float]]]) -> Outline:
    """An outline that the checks would refuse, as the page must meet it while a person drags."""
    root, tip, end_a, end_b = (np.array(edges[name]) for name in EDGE_NAMES)
    return Outline(Flank.RIGHT, "1", root, tip, end_a, end_b)


def random_edges(random: np.random.Generator) -> dict[str, list[list[float]]]:
    """The edges of the right outline, each point thrown about; corners stay shared."""
    thrown = {name: (np.array(points) + random.normal(0, 25, (len(points), 2))) for name, points in EDGES.items()}
    for end, k in (("end_a", 0), ("end_b", -1)):
        thrown[end][0], thrown[end][-1] = thrown["root"][k], thrown["tip"][k]
    mirror = random.choice([-1, 1])
    return {name: (edge * [mirror, 1] + [400 * (mirror < 0), 0]).tolist() for name, edge in thrown.items()}


@pytest.mark.browser
def test_page_and_reader_refuse_the_same_outlines(opened: Opener) -> None:
    """Whatever the page lets a person save, the reader takes, and the other way round: two separate programs."""
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    random = np.random.default_rng(2)
    cases = [random_edges(random) for _ in range(200)]
    shown = page.evaluate(
        "cases => cases.map(edges => troubleOf(Object.assign({ flank: 'right', tooth: '1' }, edges)) === null)", cases
    )
    taken = [is_taken(edges) for edges in cases]
    assert 20 < sum(taken) < 180
    assert shown == taken


def is_taken(edges: dict[str, list[list[float]]]) -> bool:
    try:
        checked_outline(edges, Flank.RIGHT)
    except PatternscanError:
        return False
    return True


@pytest.mark.browser
def test_fewer_points_keep_the_edge(opened: Opener, tmp_path: Path) -> None:
    """An arc of 41 points: the nine that stay leave it by less than four times the sag of eight even chords."""
    along = np.linspace(0, 1, 41)
    arc = np.stack([100 + 400 * along, 300 + 160 * along * (1 - along)], axis=1)
    edges = {
        "root": arc,
        "tip": arc - [0, 120],
        "end_a": [arc[0], arc[0] - [0, 120]],
        "end_b": [arc[-1], arc[-1] - [0, 120]],
    }
    page = opened(outline_page(made_photo(), [checked_outline(edges, Flank.RIGHT)], Flank.RIGHT))
    page.click("#fewer")
    _, outline = saved(page, tmp_path)
    assert len(outline.root) <= 9
    sag_px = 160 / 4 / 8**2  # a parabola of height h, cut into n chords, leaves each by h / n^2
    away = np.abs(np.interp(arc[:, 0], outline.root[:, 0], outline.root[:, 1]) - arc[:, 1])
    assert away.max() < 4 * sag_px


@pytest.mark.browser
def test_turned_shape_keeps_its_sense(opened: Opener, tmp_path: Path) -> None:
    """Landmark: a right flank shown tip up has A on the left; a quarter clockwise, its tip points right and A is up."""
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    page.click("#turn")
    _, outline = saved(page, tmp_path)
    assert outline.tip[:, 0].mean() > outline.root[:, 0].mean()
    assert outline.end_a[:, 1].mean() < outline.end_b[:, 1].mean()


@pytest.mark.browser
def test_flank_must_be_chosen_and_the_fresh_shape_turns_to_it(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [], None))
    assert page.locator("#save").is_disabled()
    page.check("input[name=flank][value=left]")
    assert "start" in page.inner_text("#state")
    assert page.locator("#save").is_disabled()
    page.focus("[data-place=tip-3]")
    page.keyboard.press("ArrowUp")
    _, outline = saved(page, tmp_path)
    assert outline.flank is Flank.LEFT
    assert outline.end_a[0][0] > outline.end_b[0][0]


@pytest.mark.browser
def test_fresh_edges_follow_their_corners(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [], Flank.RIGHT))
    first = checked_outline(island(outline_page(made_photo(), [], Flank.RIGHT))["flanks"][0], Flank.RIGHT)
    drag(page, (first.root[0][0], first.root[0][1]), (100, 400))
    _, outline = saved(page, tmp_path)
    along = np.linspace(0, 1, len(outline.root))[:, None]
    assert outline.root == pytest.approx(outline.root[0] * (1 - along) + outline.root[-1] * along, abs=0.02)
    assert outline.root[0] == pytest.approx([100, 400], abs=0.6)


@pytest.mark.browser
def test_several_teeth_in_one_file(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    page.click("#add-flank")
    page.fill("#tooth", "7 <b>")
    assert "copy" in page.inner_text("#state")
    assert page.inner_text("#command").split() == [
        *["patternscan", "read", "tooth.jpg", "--flank", "right"],
        *["--marking", "HOW", "--outline", "tooth.outline.json"],
    ]
    page.focus("[data-place=whole]")
    page.keyboard.press("Shift+ArrowRight")
    saved(page, tmp_path)
    outlines = read_outline_file(tmp_path / "saved.json").outlines
    assert [o.tooth for o in outlines] == ["3", "7 <b>"]
    assert np.array_equal(outlines[0].border, right_outline().border)
    page.click("#delete-flank")
    saved(page, tmp_path)
    assert [o.tooth for o in read_outline_file(tmp_path / "saved.json").outlines] == ["3"]


@pytest.mark.browser
def test_letters_stand_outside_their_ends(opened: Opener) -> None:
    """Landmark: on a right flank with the tip up, A is left of the outline, B right, the tip's word above."""
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    places = page.eval_on_selector_all(
        "#overlay text", "nodes => nodes.map(n => [n.textContent, +n.getAttribute('x'), +n.getAttribute('y')])"
    )
    seen = {text: (x, y) for text, x, y in places}
    box = page.locator("#stage").bounding_box()
    left, top = screen_place(page, 100, 140)
    right, bottom = screen_place(page, 300, 320)
    assert seen["A"][0] + box["x"] < left + 10
    assert seen["B"][0] + box["x"] > right - 10
    assert seen["tip"][1] + box["y"] < top + 10
    assert seen["root"][1] + box["y"] > bottom


@pytest.mark.browser
def test_nasty_name_runs_nothing(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo("</script><b onclick=x>.jpg"), [right_outline()], Flank.RIGHT))
    assert page.title() == "Mark the flank: </script><b onclick=x>.jpg"
    assert page.locator("b[onclick]").count() == 0
    _, outline = saved(page, tmp_path)
    assert outline.tooth == "3"


@pytest.mark.browser
def test_four_drags_mark_a_flank_from_nothing(opened: Opener, tmp_path: Path) -> None:
    """Fingers needed for one flank: its four corners. Only what was placed is saved; reading bends the edges."""
    page = opened(outline_page(made_photo(), [], Flank.RIGHT))
    fresh = checked_outline(island(outline_page(made_photo(), [], Flank.RIGHT))["flanks"][0], Flank.RIGHT)
    wanted = {"root": [(110, 410), (560, 390)], "tip": [(150, 120), (520, 90)]}
    for edge, ends in wanted.items():
        for start, end in zip(getattr(fresh, edge)[[0, -1]], ends, strict=True):
            drag(page, (float(start[0]), float(start[1])), end)
    assert "middle of the root edge" in page.inner_text("#state")
    _, outline = saved(page, tmp_path)
    for edge, ends in wanted.items():
        assert getattr(outline, edge) == pytest.approx(np.array(ends, float), abs=0.6)
    assert outline.corners_only


@pytest.mark.browser
@pytest.mark.parametrize("way", [(-60, -50), (60, 50), (-60, 50), (60, -50)])
def test_no_drag_of_a_corner_makes_edges_cross(opened: Opener, tmp_path: Path, way: tuple[int, int]) -> None:
    found = replace(right_outline(), source=OutlineSource.FOUND, confidence=0.5)
    page = opened(outline_page(made_photo(), [found], Flank.RIGHT))
    drag(page, (300, 300), (300 + way[0], 300 + way[1]))
    assert saved(page, tmp_path)[1].source is OutlineSource.CORRECTED


@pytest.mark.browser
def test_a_guess_that_is_not_trusted_must_be_dragged_first(opened: Opener, tmp_path: Path) -> None:
    guess = replace(right_outline(), source=OutlineSource.FOUND, confidence=0.2)
    page = opened(outline_page(made_photo(), [guess], Flank.RIGHT, trusted=False))
    assert page.locator("#save").is_disabled()
    assert "does not trust" in page.inner_text("#state")
    drag(page, (300, 300), (320, 310))
    assert saved(page, tmp_path)[1].source is OutlineSource.CORRECTED


@pytest.mark.browser
@pytest.mark.parametrize("flank", [Flank.LEFT, Flank.RIGHT])
def test_the_page_asks_for_the_flank_that_nobody_named(opened: Opener, tmp_path: Path, flank: Flank) -> None:
    """Which end is A follows from the flank; nothing was moved, so the shape is still the one that was found."""
    found = replace(right_outline(), source=OutlineSource.FOUND, confidence=0.8)
    page = opened(outline_page(made_photo(), [found], None))
    page.click(f"#say-{flank}-now")
    _, outline = saved(page, tmp_path)
    assert (outline.flank, outline.source) == (flank, OutlineSource.FOUND)
    assert bool(outline.root[0][0] < outline.root[-1][0]) == (flank is Flank.RIGHT)


@pytest.mark.browser
def test_nothing_is_lost_by_a_reload(opened: Opener, tmp_path: Path) -> None:
    page = opened(outline_page(made_photo(), [right_outline()], Flank.RIGHT))
    drag(page, (300, 300), (330, 310))
    assert page.locator("#undo").is_enabled(), "the browser did not take the drag"
    page.on("dialog", lambda dialog: dialog.accept())
    page.wait_for_timeout(200)  # what is kept goes to another process of the browser; no hand reloads sooner
    page.reload()
    wait_until_painted(page)
    assert saved(page, tmp_path)[1].root[-1] == pytest.approx([330, 310], abs=0.6)
    page.click("#undo")
    assert np.array_equal(saved(page, tmp_path)[1].border, right_outline().border)


@pytest.mark.browser
def test_names_never_lie_on_each_other(opened: Opener) -> None:
    small = {name: [[300 + x / 12, 200 + y / 12] for x, y in points] for name, points in EDGES.items()}
    page = opened(outline_page(made_photo(), [unchecked_outline(small)], Flank.RIGHT), width=360, height=640)
    boxes = page.eval_on_selector_all(
        "#overlay text",
        "nodes => nodes.filter(n => +n.getAttribute('x') > 0 && n.textContent.length > 1)"
        ".map(n => n.getBoundingClientRect()).map(b => [b.left, b.top, b.right, b.bottom])",
    )
    for k, (left, top, right, bottom) in enumerate(boxes):
        for other in boxes[k + 1 :]:
            assert right <= other[0] or other[2] <= left or bottom <= other[1] or other[3] <= top


@pytest.mark.browser
def test_it_reads_on_a_phone_and_tells_safety(opened: Opener) -> None:
    page = opened(outline_page(made_photo(), [], None), width=360, height=640)
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    assert faint_texts(page) == []
    assert least_letter_px(page) >= 12
    assert SAFETY_LINE in page.inner_text(".safety")


@pytest.mark.browser
def test_a_fifth_drag_bends_the_root_edge(opened: Opener, tmp_path: Path) -> None:
    """A point in the middle takes the edge along as a parabola, 4 t (1 - t); what is saved is the point alone."""
    page = opened(outline_page(made_photo(), [], Flank.RIGHT))
    fresh = checked_outline(island(outline_page(made_photo(), [], Flank.RIGHT))["flanks"][0], Flank.RIGHT)
    x, y = (float(one) for one in fresh.root[3])
    drag(page, (x, y), (x, y + 40))
    _, bent = saved(page, tmp_path)
    assert bent.root == pytest.approx(np.array([fresh.root[0], [x, y + 40], fresh.root[-1]]), abs=0.6)
    assert len(bent.tip) == len(bent.end_a) == 2
    t = np.linspace(0, 1, 7)
    shown = np.array([point[:2] for point in page.evaluate("flankNow().root")])
    assert shown[:, 1] - fresh.root[:, 1] == pytest.approx(4 * t * (1 - t) * 40, abs=0.6)
    assert "middle of the root edge" not in page.inner_text("#state")
    drag(page, (float(shown[1][0]), float(shown[1][1])), (float(shown[1][0]), float(shown[1][1]) - 15))
    _, again = saved(page, tmp_path)
    assert np.array_equal(again.root[2:], bent.root[1:])
