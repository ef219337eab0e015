"""The pages in WebKit, the engine of iPhones: Debian's webkit2gtk-driver under Xvfb; touches come as mouse there."""

from __future__ import annotations

import shutil
import subprocess
import time
from collections.abc import Iterator
from dataclasses import replace
from glob import glob
from pathlib import Path
from typing import Any

import pytest

from patternscan.frame import Marking
from patternscan.reporting.text.web import machine_words, reading_words
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.web.drafts.store import DraftStore
from tests.web.conftest import seen_photo

OWN_FAULT = "ignore:setting remote_server_addr"
"""Selenium warns of the way in which its own WebKit driver is built."""
pytestmark = [pytest.mark.browser, pytest.mark.study, pytest.mark.filterwarnings(OWN_FAULT)]
BROWSERS = "/usr/lib/*/webkit2gtk-4.*/MiniBrowser"
PATIENCE_S = 30.0


@pytest.fixture(scope="module")
def webkit() -> Iterator[Any]:
    """A browser window as narrow as it goes; skipped where there is none."""
    selenium = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
    driver, screen, browsers = shutil.which("WebKitWebDriver"), shutil.which("Xvfb"), glob(BROWSERS)
    if driver is None or screen is None or not browsers:
        pytest.skip("no webkit2gtk-driver or no Xvfb is installed")
    monkeypatch = pytest.MonkeyPatch()
    shown = subprocess.Popen(
        [screen, "-displayfd", "1", "-screen", "0", "1000x1000x24"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    )
    try:
        assert shown.stdout is not None
        monkeypatch.setenv("DISPLAY", f":{shown.stdout.readline().decode().strip()}")
        monkeypatch.setenv("WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS", "1")
        options = selenium.WebKitGTKOptions()
        options.binary_location = sorted(browsers)[-1]
        options.add_argument("--automation")
        one = selenium.WebKitGTK(options=options, service=selenium.WebKitGTKService(executable_path=driver))
        one.set_window_size(450, 900)
        yield one
        one.quit()
    finally:
        monkeypatch.undo()
        shown.terminate()
        shown.communicate()


def with_words(webkit: Any, kind: str, words: str) -> Any:
    """An element by its kind and some of its words, as soon as there is one; a page that changes meanwhile is none."""
    from selenium.common.exceptions import WebDriverException

    begun = time.monotonic()
    while True:
        try:
            return webkit.find_element("xpath", f"//{kind}[contains(normalize-space(.), '{words}')]")
        except WebDriverException:
            if time.monotonic() - begun > PATIENCE_S:
                raise
            time.sleep(0.1)


def pressed(webkit: Any, words: str) -> None:
    button = with_words(webkit, "button", words)
    webkit.execute_script("arguments[0].scrollIntoView({block: 'center'})", button)
    button.click()


def dragged(webkit: Any, start: tuple[float, float], end: tuple[float, float]) -> None:
    """The mouse from one place of the window to another, pressed between them."""
    from selenium.webdriver.common.action_chains import ActionChains

    chain = ActionChains(webkit)
    hand = chain.w3c_actions.pointer_action
    hand.move_to_location(*map(round, start)).pointer_down().move_to_location(*map(round, end)).pointer_up()
    chain.perform()


def test_a_photo_is_sent_and_said_to_be_unusable(site: tuple[Path, str], webkit: Any, tmp_path: Path) -> None:
    folder, address = site
    store = DraftStore(folder / "readings")
    reading = store.folder(store.begin("R. Moss").key)
    reading.change(lambda one: replace(one, machine_said=True, marking=Marking.TRANSFER))
    photo = tmp_path / "IMG 1.JPG"
    photo.write_bytes(b"\xff\xd8\xff" + bytes(range(256)) * 2400)
    webkit.get(f"{address}/readings/{reading.read().key}/")
    webkit.find_element("id", "photo").send_keys(str(photo))
    with_words(webkit, "h1", reading_words.UNUSABLE)
    assert reading.photo_path(reading.read().photos[0]).read_bytes() == photo.read_bytes()


def test_a_touch_is_a_place_in_the_photo(site: tuple[Path, str], webkit: Any) -> None:
    folder, address = site
    reading, _ = seen_photo(folder)
    webkit.get(f"{address}/readings/{reading.read().key}/")
    box = webkit.find_element("css selector", ".touch .seen").rect
    place = (box["x"] + 0.05 * box["width"], box["y"] + 0.6 * box["height"])
    dragged(webkit, place, place)
    with_words(webkit, "h1", "LEFT")
    assert reading.read().photos[0].end_a == pytest.approx((6, 60), abs=1)


def test_corners_are_dragged_and_handed_in(site: tuple[Path, str], webkit: Any) -> None:
    folder, address = site
    reading, _ = seen_photo(folder)
    webkit.get(f"{address}/readings/{reading.read().key}/photos/1/corners")
    x, y, scale = webkit.execute_script(
        "const [x, y] = toScreen(flankNow().root[0]), box = stage.getBoundingClientRect();"
        "return [x + box.x, y + box.y, view.scale]"
    )
    dragged(webkit, (x, y), (x, y + 4 * scale))
    pressed(webkit, reading_words.TAKE_OUTLINE)
    with_words(webkit, "h1", reading_words.LOOKING)
    (photo,) = reading.read().photos
    (outline,) = read_outline_file(reading.outline_path(photo)).outlines
    assert outline.root[0].tolist() == pytest.approx([10, 94], abs=1.5)


def test_an_entry_is_read_back_and_kept(site: tuple[Path, str], webkit: Any) -> None:
    _, address = site
    webkit.get(f"{address}/machines/lift/log/note")
    webkit.find_element("name", "text").send_keys("oil filled")
    name = webkit.find_element("name", "by")
    name.clear()
    name.send_keys("R. Moss")
    pressed(webkit, machine_words.LOOK_BACK)
    pressed(webkit, machine_words.KEEP)
    with_words(webkit, "h1", machine_words.KEPT.format(number=2))
