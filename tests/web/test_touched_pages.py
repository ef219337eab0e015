"""The pages in a browser with touch: what the few scripts do, and that every screen can be read on a small phone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import Event
from typing import Any

import msgspec
import numpy as np
import pytest
from PIL import Image

from patternscan.frame import Marking
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth
from patternscan.reporting.documents.truth import read_truth_file
from patternscan.reporting.pages.painting_page import painting_job
from patternscan.reporting.pages.parts import Section, WebPage
from patternscan.reporting.pictures.photo_piece import COLUMNS, ROWS, PhotoPiece
from patternscan.reporting.text.table import Table
from patternscan.reporting.text.web import desk_words, machine_words, reading_words
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.setting.log.events import Note
from patternscan.web.drafts.draft import Draft, DraftPhoto, Remark
from patternscan.web.drafts.store import DraftFolder, DraftStore
from patternscan.workflow.inputs.settings import SettingsRequest
from patternscan.workflow.job.folder import start_job
from patternscan.workflow.job.log import LogRequest, log_event
from tests.reporting.seen_page import BEYOND, faint_texts, least_letter_px, wait_until_painted
from tests.web.conftest import at_address, seen_photo
from tests.web.test_drafts import looked, said

pytestmark = pytest.mark.browser
SMALL, USUAL = {"width": 320, "height": 640}, {"width": 390, "height": 844}
BROKEN_OFF = "net::ERR_"
"""What a browser says of a connection that a test broke."""
PATIENCE_MS = 120_000.0
"""So long a page may take before a test gives up; nothing is proved by it."""
SHORT_PAUSES = "const later = setTimeout; setTimeout = (go, pause_ms) => later(go, pause_ms / 20);"
"""What a page does after a pause it does soon."""


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A phone's browser; it may have nothing to complain of."""
    complaints: list[str] = []
    context = browser.new_context(viewport=USUAL, has_touch=True, is_mobile=True)
    context.set_default_timeout(PATIENCE_MS)
    context.add_init_script(SHORT_PAUSES)
    one = context.new_page()
    one.on("console", lambda message: complaints.append(message.text))
    one.on("pageerror", lambda error: complaints.append(str(error)))
    yield one
    context.close()
    assert [one for one in complaints if BROKEN_OFF not in one] == []


def answered(folder: Path) -> list[str]:
    """Where the answer to a reading is shown that is laid down here: the page, and the engineer's one."""
    reading, _ = seen_photo(folder)
    draft = reading.change(Draft.asking)
    place = reading.answer_path(draft)
    place.mkdir()
    (place / "judgement.json").write_text("{}")
    section = Section("Files", ["**One** line"], [Table("Numbers", ("what", "value"), (("along", "0.5"),))], small=True)
    page = WebPage("Stay", "Leave the wheel where it is.", [section], "Lift", ["Is A at A?"], doubts=["A doubt."])
    (place / "screen.json").write_bytes(msgspec.json.encode(page))
    return [f"/readings/{draft.key}/answer", f"/desk/{draft.key}"]


def test_a_touch_waits_for_a_connection(site: tuple[Path, str], page: Any) -> None:
    folder, address = site
    reading, _ = seen_photo(folder)
    page.goto(f"{address}/readings/{reading.read().key}/")
    page.context.set_offline(True)
    seen = page.locator(".touch .seen")
    seen.tap(position={"x": seen.bounding_box()["width"] * 0.08, "y": 20})
    page.locator("#told", has_text=reading_words.SEND_BROKE).wait_for()
    page.context.set_offline(False)
    seen.wait_for(state="detached")
    (photo,) = reading.read().photos
    assert photo.end_a is not None


def test_a_page_that_waits_outlasts_a_broken_connection(
    tmp_path: Path, page: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = Event()

    def slow_look(folder: DraftFolder, photo: DraftPhoto, _: SettingsRequest) -> None:
        done.wait()
        looked(folder, photo.number)

    monkeypatch.setattr("patternscan.web.screens.readings.reading.look_at", slow_look)
    reading, photo = seen_photo(tmp_path)
    (reading.path / photo.made_of("look.json")).unlink()
    with at_address(tmp_path) as address:
        try:
            page.goto(f"{address}/readings/{reading.read().key}/")
            assert page.title() == reading_words.LOOKING
            page.context.set_offline(True)
            page.locator("[role=status]", has_text=reading_words.SEND_BROKE).wait_for()
            page.context.set_offline(False)
            page.locator("[role=status]", has_text=reading_words.queue_words(0)).wait_for()
        finally:
            done.set()
        page.locator("h1", has_text=reading_words.TOUCH_A).wait_for()


HOSTILE = (
    "W" * 60,
    'Lift "Nord" <b id=boo>&<script>boo</script>' + "x" * 40,
    '\u05de\u05e2\u05dc\u05d9\u05ea 4711 "\u05d0"',
)
"""Names that people and machines may have."""


@pytest.mark.parametrize("name", HOSTILE, ids=["long", "signs", "right-to-left"])
def test_no_name_runs_off_or_becomes_a_part_of_the_page(name: str, tmp_path: Path, page: Any) -> None:
    start_job(tmp_path / "lift", name)
    log_event(LogRequest(tmp_path / "lift", Note(name), name))
    reading, _ = seen_photo(tmp_path)
    reading.change(lambda one: replace(one, by=name, machine="lift"))
    places = answered(tmp_path)
    draft = DraftStore(tmp_path / "readings").folder(places[0].split("/")[2])
    remark = Remark(name, name, datetime.now().astimezone())
    draft.change(lambda one: replace(one, by=name, machine="lift", remarks=(remark,), waits=True))
    key = reading.read().key
    places += ["/", "/desk/", *(f"/machines/lift/{one}" for one in ("", "history", "entries/1/", "sheet/machine"))]
    places += [f"/readings/{key}/{one}" for one in ("", "throw-away")]
    page.set_viewport_size({"width": 360, "height": 640})
    with at_address(tmp_path) as address:
        for place in places:
            page.goto(address + place)
            page.evaluate("document.querySelectorAll('svg').forEach((one) => one.remove())")
            assert page.evaluate(BEYOND) == [], place
            assert page.locator("#boo").count() == 0, place
            assert "boo" not in page.evaluate("[...document.scripts].map((one) => one.textContent).join()"), place


def test_every_screen_can_be_read_on_a_small_phone(site: tuple[Path, str], page: Any) -> None:
    folder, address = site
    reading, _ = seen_photo(folder)
    key = reading.read().key
    sheets = ("sheet/", "sheet/shims", "sheet/limits", "sheet/eccentrics")
    machine = ("", "history", "log/", "log/backlash", "entries/1/", "shims", *sheets)
    places = ["/", "/enter", "/readings/new", "/desk/", *(f"/machines/lift/{one}" for one in machine)]
    page.set_viewport_size(SMALL)
    page.add_init_script(
        "addEventListener('load', () => document.querySelectorAll('details').forEach((one) => { one.open = true; }))"
    )
    places += [f"/readings/{key}/", f"/readings/{key}/photos/1/tooth", *answered(folder)]
    for place in places:
        page.goto(address + place)
        page.evaluate("document.querySelectorAll('svg').forEach((one) => one.remove())")
        assert page.evaluate(BEYOND) == [], place
        assert faint_texts(page) == [], place
        assert least_letter_px(page) >= 16, place


def test_a_touch_is_a_place_in_the_photo(site: tuple[Path, str], page: Any) -> None:
    folder, address = site
    reading, _ = seen_photo(folder)
    page.goto(f"{address}/readings/{reading.read().key}/")
    picture = page.locator(".touch .seen")
    box = picture.bounding_box()
    with page.expect_navigation():
        picture.tap(position={"x": box["width"] * 0.05, "y": box["height"] * 0.6})
    touched = reading.read().photos[0].end_a
    assert touched == pytest.approx((6, 60), abs=1)


def test_keys_alone_move_a_cross_and_take_it(site: tuple[Path, str], page: Any) -> None:
    folder, address = site
    reading, _ = seen_photo(folder)
    page.goto(f"{address}/readings/{reading.read().key}/")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('role')") == "application"
    for _ in range(5):
        page.keyboard.press("Shift+ArrowLeft")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert reading.read().photos[0].end_a == pytest.approx((0, 50), abs=1)


def test_a_photo_goes_in_pieces_and_goes_on_after_a_break(site: tuple[Path, str], page: Any) -> None:
    folder, address = site
    store = DraftStore(folder / "readings")
    reading = store.folder(store.begin("R. Moss").key)
    reading.change(lambda one: replace(one, machine_said=True, marking=Marking.TRANSFER))
    content = b"\xff\xd8\xff" + bytes(range(256)) * 2400
    broken: list[str] = []

    def break_once(route: Any) -> None:
        if "at=262144" in route.request.url and not broken:
            broken.append(route.request.url)
            route.abort()
        else:
            route.continue_()

    page.route("**/parts/**", break_once)
    page.goto(f"{address}/readings/{reading.read().key}/")
    page.set_input_files("#photo", {"name": "IMG 1.JPG", "mimeType": "image/jpeg", "buffer": content})
    page.wait_for_selector(f"h1:has-text('{reading_words.UNUSABLE}')")
    (photo,) = reading.read().photos
    assert reading.photo_path(photo).read_bytes() == content
    assert broken


def test_corners_that_were_moved_are_handed_in(site: tuple[Path, str], page: Any) -> None:
    folder, address = site
    reading, _ = seen_photo(folder)
    key = reading.read().key
    page.goto(f"{address}/readings/{key}/photos/1/corners")
    wait_until_painted(page)
    page.locator(".handle").first.focus()
    page.keyboard.press("ArrowDown")
    with page.expect_navigation():
        page.get_by_role("button", name=reading_words.TAKE_OUTLINE).click()
    (photo,) = reading.read().photos
    assert photo.corners
    (outline,) = read_outline_file(reading.outline_path(photo)).outlines
    assert outline.root[0].tolist() == [10, 91]


def test_the_contact_is_painted_with_a_finger(site: tuple[Path, str], page: Any) -> None:
    folder, address = site
    reading, photo = seen_photo(folder)
    said(reading, 1, end_a=(2.0, 60.0))
    (outline,) = read_outline_file(reading.outline_path(photo)).outlines
    none = np.zeros((TRUTH_ROWS, TRUTH_COLUMNS), dtype=bool)
    bare = Truth(photo.file_name, outline, Marking.TRANSFER, None, none, ~none)
    flat = Image.new("RGB", (TRUTH_COLUMNS, TRUTH_ROWS), "#c9a15c")
    knots = np.meshgrid(np.linspace(0, flat.width, COLUMNS + 1), np.linspace(0, flat.height, ROWS + 1))
    job = painting_job(bare, PhotoPiece(flat, np.stack(knots, axis=-1)), None, "photo_1")
    (reading.path / photo.made_of("painting.json")).write_bytes(msgspec.json.encode(job))
    flat.save(reading.path / photo.made_of("painting.jpg"))
    page.goto(f"{address}/readings/{reading.read().key}/photos/1/paint/")
    wait_until_painted(page)
    box = page.locator("#stage").bounding_box()
    page.touchscreen.tap(box["x"] + 0.25 * box["width"], box["y"] + 0.5 * box["height"])
    page.locator("#in-photo").tap()
    page.locator("#in-photo").tap()
    with page.expect_navigation():
        page.get_by_role("button", name=desk_words.TAKE_PAINT).tap()
    (painted,) = (reading.path / "originals").glob("*.truth.json")
    (truth,) = read_truth_file(painted).truths
    assert truth.by == "R. Moss"
    assert np.argwhere(truth.contact).mean(axis=0) == pytest.approx((64, 64), abs=3)


def test_an_entry_is_made_with_thumbs_alone(site: tuple[Path, str], page: Any) -> None:
    _, address = site
    page.goto(f"{address}/machines/lift/log/end-play")
    page.locator("label:has(input[value=worm])").tap()
    page.fill("input[name=reading_mm]", "0.08")
    page.fill("#by", "R. Moss")
    with page.expect_navigation():
        page.get_by_role("button", name=machine_words.LOOK_BACK).tap()
    assert "0.08 mm (0.003 in)" in page.text_content("main")
    with page.expect_navigation():
        page.get_by_role("button", name=machine_words.KEEP).tap()
    assert page.text_content("h1").endswith(machine_words.KEPT.format(number=2))
