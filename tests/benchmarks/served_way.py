"""From the first page to the answer in a browser with touch: how many touches and seconds it takes."""

from __future__ import annotations

import re
import shutil
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from patternscan.frame import Flank
from patternscan.reporting.text.web import door_words, reading_words
from tests.benchmarks.scenes import Pair, Scene, Split, clicked_outline, pairs
from tests.benchmarks.served_phone import Server, free_port

PATIENCE_MS = 240_000
PHONE: Any = {"width": 390, "height": 844}
CORNERS = {"root": (0, -1), "tip": (0, -1)}
"""The first and last point of these edges are the four corners."""


@dataclass
class Thumb:
    """A person's thumb on a page: it counts its touches and tells the seconds between screens."""

    page: Any
    touches: int = 0
    begun: float = field(default_factory=time.monotonic)
    seconds: list[tuple[str, float]] = field(default_factory=list)

    def tap(self, words: str) -> None:
        """Touch a button or a link by its words."""
        self.page.locator(f"button:has-text('{words}'), a.button:has-text('{words}')").first.tap()
        self.touches += 1

    def tap_at(self, place: tuple[float, float]) -> None:
        """Touch a place of the photo, in its own pixels."""
        seen = self.page.locator(".touch .seen")
        box, width = seen.bounding_box(), float(seen.get_attribute("data-width"))
        scale = box["width"] / width
        seen.tap(position={"x": place[0] * scale, "y": place[1] * scale})
        self.touches += 1

    def waits_for(self, words: Sequence[str]) -> str:
        """Wait until one of the headings is there; gives it."""
        heading = self.page.locator("h1", has_text=re.compile("|".join(map(re.escape, words))))
        heading.wait_for(timeout=PATIENCE_MS)
        found = str(heading.text_content()).strip()
        self.seconds.append((found, round(time.monotonic() - self.begun, 1)))
        return found


def way(split: Split, by_hand: bool, only: str, scheduler: str | None) -> None:
    """Go it with both flanks of each machine, and print what it took."""
    with tempfile.TemporaryDirectory() as place, browser() as phone:
        options = [] if scheduler is None else ["--scheduler", scheduler]
        server = Server.start(Path(place), free_port(), *options)
        try:
            for pair in pairs(split):
                if only in f"{pair.machine} {pair.state}":
                    go(phone, server.port, pair, by_hand)
        finally:
            server.kill()


def go(phone: Any, port: int, pair: Pair, by_hand: bool) -> None:
    """One reading of a person whose name is known."""
    phone.goto(f"http://127.0.0.1:{port}/readings/new")
    phone.fill("#name", "R. Moss")
    with phone.expect_navigation():
        phone.locator("button.main").tap()
    phone.goto(f"http://127.0.0.1:{port}/")
    thumb = Thumb(phone)
    thumb.tap(door_words.NEW_READING)
    thumb.tap(reading_words.SAFETY_DONE)
    thumb.tap(reading_words.NO_MACHINE)
    thumb.tap(reading_words.MARKED_TITLES[pair.left.truth["marking"]])
    for one in (pair.left, pair.right):
        take(thumb, one, by_hand)
    phone.locator(f"a.button:has-text('{reading_words.SAVE_ANSWER}')").wait_for(timeout=PATIENCE_MS)
    seconds = time.monotonic() - thumb.begun
    said = phone.locator("h1").first.text_content()
    print(f"{pair.machine} {pair.state}: {thumb.touches} touches, {seconds:.0f} s, {said.strip()[:70]}")
    print("   " + ", ".join(f"{words} {at:.0f}" for words, at in thumb.seconds), flush=True)


def take(thumb: Thumb, one: Scene, by_hand: bool) -> None:
    """A photo, its outline by the tool or by hand, and the A."""
    thumb.page.set_input_files("#photo", str(one.photo))
    thumb.touches += 1
    found = thumb.waits_for((reading_words.TOUCH_A, reading_words.NOT_FOUND))
    turned = thumb.page.locator(f"button[name=tip][value={one.truth['tip']}][disabled]").count() == 0
    if not by_hand and turned:
        turn(thumb, one)
        found = thumb.waits_for((reading_words.TOUCH_A, reading_words.NOT_FOUND))
    if by_hand or found == reading_words.NOT_FOUND:
        mark(thumb, one)
        thumb.waits_for((reading_words.TOUCH_A,))
    thumb.tap_at(beside_a(one))
    wrong = reading_words.other_flank_lines(Flank.LEFT, Flank.RIGHT, mirrored=False)[0][:8]
    thumb.page.locator("#touch").wait_for(state="detached")
    assert not thumb.page.locator("h1").first.text_content().startswith(wrong), "the other flank was told"


def turn(thumb: Thumb, one: Scene) -> None:
    """Say where the tip points."""
    thumb.page.locator(f"button[name=tip][value={one.truth['tip']}]").tap()
    thumb.touches += 1
    thumb.page.wait_for_url("**/readings/*/")


def mark(thumb: Thumb, one: Scene) -> None:
    """The four corners dragged onto the flank, where they are not there yet."""
    thumb.tap(reading_words.CORNERS)
    thumb.page.wait_for_selector(".handle")
    fewer = thumb.page.locator("#fewer")
    if fewer.is_visible():
        fewer.tap()
        thumb.touches += 1
    (flank,) = clicked_outline(one)["flanks"]
    for edge in CORNERS:
        for end in CORNERS[edge]:
            drag(thumb, edge, end, flank[edge][end])
    thumb.tap(reading_words.TAKE_OUTLINE)


def drag(thumb: Thumb, edge: str, end: int, target: Sequence[float]) -> None:
    """One corner to its place."""
    places = thumb.page.evaluate(
        "([edge, end, target]) => { const box = stage.getBoundingClientRect();"
        " const at = flankNow()[edge].at(end); return [at, target].map((one) => { const [x, y] = toScreen(one);"
        " return [x + box.x, y + box.y]; }); }",
        [edge, end, list(target)],
    )
    thumb.page.mouse.move(*places[0])
    thumb.page.mouse.down()
    thumb.page.mouse.move(*places[1], steps=4)
    thumb.page.mouse.up()
    thumb.touches += 1


def beside_a(one: Scene) -> tuple[float, float]:
    """The middle of the edge at end A, in pixels."""
    first, *_, last = one.truth["outline"]["end_a"]
    return (first[0] + last[0]) / 2, (first[1] + last[1]) / 2


@contextmanager
def browser() -> Iterator[Any]:
    """A page of Chromium as on a phone."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        context = chromium.new_context(viewport=PHONE, has_touch=True, is_mobile=True)
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        yield page
        chromium.close()
