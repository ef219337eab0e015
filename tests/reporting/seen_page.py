"""A page as a browser shows it: opened from a file, its contrast, its width, and the sheets of paper it takes."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from contextlib import contextmanager
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3 (AA)."""
TEXTS = """() => [...document.querySelectorAll("body *")]
  .filter(one => one.checkVisibility())
  .filter(one => [...one.childNodes].some(part => part.nodeType === 3 && part.textContent.trim()))
  .map(one => {
    const ground = part => getComputedStyle(part).backgroundColor;
    let under = one;
    while (ground(under) === "rgba(0, 0, 0, 0)" && under.parentElement) under = under.parentElement;
    return [one.textContent, getComputedStyle(one).color, ground(under)];
  })"""
"""Every element with words of its own, with its colour and the nearest ground painted under it."""
BEYOND = """() => [...document.querySelectorAll("body *")]
  .filter(one => !one.closest(".close-up") || one.matches(".close-up"))
  .filter(one => one.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5)
  .map(one => one.outerHTML.slice(0, 80))"""
"""What reaches beyond the right side of the window, but for what can be moved about in its own box."""


LETTERS = """() => [...document.querySelectorAll("body *")]
  .filter(one => one.checkVisibility())
  .filter(one => [...one.childNodes].some(part => part.nodeType === 3 && part.textContent.trim()))
  .map(one => parseFloat(getComputedStyle(one).fontSize))"""
FIRST_WORDS = """() => {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), range = document.createRange();
  let count = 0;
  while (walker.nextNode()) {
    range.selectNodeContents(walker.currentNode);
    const box = range.getBoundingClientRect();
    if (box.height > 0 && box.bottom <= innerHeight)
      count += walker.currentNode.textContent.split(/\\s+/).filter(Boolean).length;
  }
  return count;
}"""


class TagCollector(HTMLParser):
    """The tags of a page as the standard library's HTML parser sees them."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))


def tags_of(page: str) -> list[tuple[str, dict[str, str | None]]]:
    collector = TagCollector()
    collector.feed(page)
    collector.close()
    return collector.tags


def words_of(page: str) -> str:
    """What a person reads: no tags, ordinary spaces, long names and words that lead elsewhere whole."""
    body = re.sub(r"<[^>]*>", " ", re.sub(r"<wbr>|</?a\b[^>]*>", "", page[page.index("<body") :]))
    return " ".join(html.unescape(body).replace("\u00a0", " ").split())


def wait_until_painted(page: Any) -> None:
    """Two frames: Chromium may drop what a hand does before it has painted a page for the first time."""
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")


@contextmanager
def fresh_page(browser: Any, width: int = 1280, height: int = 800) -> Iterator[Any]:
    """An empty page of this size in the context that the browser keeps open; what it stored goes with it."""
    page = browser.contexts[0].new_page()
    page.set_viewport_size({"width": width, "height": height})
    try:
        yield page
    finally:
        page.evaluate("() => { try { localStorage.clear(); } catch { /* this page may store nothing */ } }")
        page.close()


@contextmanager
def seen(browser: Any, content: str, folder: Path, width: int = 1280) -> Iterator[Any]:
    """The page opened from a file; it must ask for nothing but itself and have nothing to complain of."""
    path, complaints, requests = folder / "page.html", list[str](), list[str]()
    path.write_text(content, encoding="utf-8")
    with fresh_page(browser, width) as page:
        page.on("console", lambda message: complaints.append(message.text))
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("dialog", lambda dialog: complaints.append(dialog.message))
        page.on("request", lambda request: requests.append(request.url))
        page.goto(path.as_uri())
        wait_until_painted(page)
        yield page
    assert complaints == []
    assert {url for url in requests if not url.startswith("data:")} == {path.as_uri()}


def luminance(colour: str) -> float:
    """Relative luminance of "rgb(r, g, b)", as WCAG 2.2 defines it (sRGB, IEC 61966-2-1)."""
    levels = [int(number) / 255 for number in re.findall(r"\d+", colour)]
    assert len(levels) == 3, f"{colour} is not opaque"
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in levels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: str, second: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it, 1 to 21."""
    darker, lighter = sorted((luminance(first), luminance(second)))
    return (lighter + 0.05) / (darker + 0.05)


def faint_texts(page: Any) -> list[tuple[str, str, str]]:
    """Texts whose contrast is less than LEAST_CONTRAST, with both colours."""
    texts = page.evaluate(TEXTS)
    assert texts
    return [(words, ink, ground) for words, ink, ground in texts if contrast(ink, ground) < LEAST_CONTRAST]


def least_letter_px(page: Any) -> float:
    """Size of the smallest letters that are shown, in CSS pixels."""
    return float(min(page.evaluate(LETTERS)))


def words_on_the_first_screen(page: Any) -> int:
    """How many words can be read without scrolling."""
    return int(page.evaluate(FIRST_WORDS))


def beyond_the_side(page: Any) -> list[str]:
    """What makes the page scroll sideways."""
    wider = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return [*(["the page"] if wider else []), *page.evaluate(BEYOND)]


def sheets(page: Any, paper: str) -> int:
    """How many sheets it prints on: page objects of the PDF (ISO 32000-1, 7.7.3.3)."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper)))
