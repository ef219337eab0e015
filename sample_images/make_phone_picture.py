"""Makes pictures/on_the_phone.jpg, four screens of the phone: `python sample_images/make_phone_picture.py`.

The pages are served as anybody serves them and driven in Chromium, with the goods lift's photos and outlines. Run
make_ledger.py after it.
"""

from __future__ import annotations

import io
import json
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[1]))

from patternscan.reporting.text.web import reading_words
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.workflow.job.folder import start_job
from tests.benchmarks.served_phone import Server, free_port
from tests.benchmarks.served_way import browser

HERE = Path(__file__).parent
TARGET = HERE / "pictures" / "on_the_phone.jpg"
MACHINE, NAME = "goods_lift", "R. Moss"
PLACES = ("left", "right")
GAP, QUALITY = 24, 76
BETWEEN = "#6b727c"
HAND_IN = """(outline) => { const form = document.getElementById("hand-in");
form.elements.outline.value = outline; form.submit(); }"""


def screens(page: Any, address: str) -> Iterator[bytes]:
    """Safety, touching the A, the answer, what the job asks for next; as PNG."""
    page.goto(f"{address}/readings/new?machine={MACHINE}")
    page.fill("#name", NAME)
    yield page.screenshot()
    page.locator("main button").last.tap()
    page.wait_for_selector("#photo", state="attached")
    key = page.url.rstrip("/").rpartition("/")[2]
    for number, flank in enumerate(PLACES, 1):
        place = taken(page, f"{address}/readings/{key}", number, flank)
        if flank == PLACES[0]:
            yield page.screenshot()
        page.locator(".touch .seen").tap(position=place)
    page.wait_for_url("**/answer")
    yield page.screenshot()
    page.goto(f"{address}/machines/{MACHINE}/")
    yield page.screenshot()


def taken(page: Any, reading: str, number: int, flank: str) -> dict[str, float]:
    """Take the photo of a flank and set its outline; gives where the A is to be touched, in pixels of the screen."""
    photo = HERE / f"goods_lift_before_{flank}.jpg"
    page.set_input_files("#photo", photo)
    page.wait_for_selector(".seen")
    outline = json.loads(photo.with_suffix(".outline.json").read_text()) | {"photo": f"photo_{number}.jpg"}
    page.goto(f"{reading}/photos/{number}/corners")
    page.evaluate(HAND_IN, json.dumps(outline))
    page.wait_for_selector(f"h1:has-text('{reading_words.TOUCH_A}')")
    (marked,) = read_outline_file(photo.with_suffix(".outline.json")).outlines
    seen = page.locator(".touch .seen")
    scale = seen.bounding_box()["width"] / float(seen.get_attribute("data-width"))
    x, y = marked.end_a.mean(axis=0) * scale
    return {"x": float(x), "y": float(y)}


def side_by_side(pictures: Sequence[Image.Image]) -> Image.Image:
    """The pictures in a row."""
    width, height = pictures[0].size
    row = Image.new("RGB", (len(pictures) * (width + GAP) - GAP, height), BETWEEN)
    for number, one in enumerate(pictures):
        row.paste(one, (number * (width + GAP), 0))
    return row


def main() -> None:
    """Serve a folder with the goods lift, look at it, and lay the picture down."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        start_job(folder / MACHINE, sheet_path=HERE / "goods_lift.toml")
        server = Server.start(folder, free_port())
        try:
            with browser() as page:
                taken_of = [Image.open(io.BytesIO(one)) for one in screens(page, f"http://127.0.0.1:{server.port}")]
        finally:
            server.kill()
    side_by_side(taken_of).save(TARGET, quality=QUALITY)


if __name__ == "__main__":
    main()
