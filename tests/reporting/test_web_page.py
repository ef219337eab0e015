"""The frame of every page that goes out: texts stay texts, nothing comes from outside, it reads on phone and paper."""

from __future__ import annotations

import hashlib
import io
import re
from base64 import b64decode, b64encode
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from patternscan.plain_text import printable
from patternscan.reporting.pages.parts import (
    LARGEST_CLOSE_UP_PX,
    Figure,
    Picture,
    Section,
    WebPage,
    close_up_picture,
    photo_picture,
    table_look,
)
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.text.runs import runs
from patternscan.reporting.text.table import Table
from patternscan.reporting.text.wording import as_markdown
from tests.reporting.seen_page import beyond_the_side, contrast, faint_texts, least_letter_px, seen, tags_of

HOSTILE = (
    "</style><script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onload='alert(1)",
    "<!--",
    "{{ 7 * 7 }}{% raw %}",
    "&lt;b&gt; a&amp;b",
    "-->]]>é\u2028ü",
)


def made_picture(words: str = "A grey square, 40 %", size: tuple[int, int] = (40, 30)) -> Picture:
    return photo_picture(Image.new("RGB", size, (120, 120, 120)), words)


def made_page(name: str = "plain", head: str = "Left flank") -> WebPage:
    """One of everything, with the name wherever words of a person can stand."""
    figure = Figure(made_picture(name), name, made_picture(name, (900, 700)))
    many = Table(name, ("", head, "c", "d", "e"), ((name, "2", name, "4", "5"),) * 2, struck=frozenset({1}))
    few = Table(name, ("", head), ((name, name),))
    section = Section(name, (as_markdown(name), f"**Do:** {as_markdown(name)}"), (many, few), (figure, figure))
    words = as_markdown(name)
    return WebPage(name, name, [section], name, [words], [figure], [words], words)


# ---- the page as text


@pytest.mark.parametrize("name", HOSTILE)
def test_words_of_a_file_never_become_layout(name: str) -> None:
    """Read by the standard library's HTML parser, the page has the same tags whatever the names in it."""
    tags, plain = tags_of(web_page(made_page(name, name))), tags_of(web_page(made_page()))
    assert [tag for tag, _ in tags] == [tag for tag, _ in plain]
    assert [sorted(one) for _, one in tags] == [sorted(one) for _, one in plain]
    assert {one["alt"] for tag, one in tags if tag == "img"} == {name}


def test_there_is_no_script_and_nothing_from_outside() -> None:
    html = web_page(made_page())
    assert "http://" not in html
    assert "https://" not in html
    assert not re.search(r"@import|url\(", html)
    for tag, attributes in tags_of(html):
        assert tag not in {"script", "link", "iframe", "object", "embed", "base", "form", "a"}
        assert not [name for name in attributes if name.startswith("on") or name in {"href", "style"}]
        assert str(attributes.get("src", "data:")).startswith("data:")


def test_policy_allows_pictures_inside_and_this_very_style_alone() -> None:
    """W3C Content Security Policy Level 3, 2.3.1: a style is allowed by the SHA-256 of its text."""
    html = web_page(made_page())
    policies = [one["content"] for _, one in tags_of(html) if one.get("http-equiv") == "Content-Security-Policy"]
    rules = {rule.split()[0]: rule.split()[1:] for rule in str(policies[0]).split(";")}
    style = re.search(r"<style>(.*?)</style>", html, re.DOTALL)
    assert style is not None
    digest = b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert rules == {
        "default-src": ["'none'"],
        "img-src": ["data:"],
        "style-src": [f"'sha256-{digest}'"],
        "base-uri": ["'none'"],
        "form-action": ["'none'"],
    }


def test_language_title_and_one_main_heading() -> None:
    html = web_page(made_page("Barn hoist"))
    tags = tags_of(html)
    assert next(one["lang"] for tag, one in tags if tag == "html") == "en"
    assert "<title>Barn hoist</title>" in html
    assert [tag for tag, _ in tags].count("h1") == 1
    assert html.index("<h1>") < html.index("<img")


def test_empty_sections_are_left_out() -> None:
    html = web_page(WebPage("t", "a", [Section("Nothing here"), Section("Something", ["one line"])]))
    assert "Nothing here" not in html
    assert "Something" in html


@pytest.mark.parametrize("make", [photo_picture, close_up_picture])
def test_photos_go_out_as_bare_pixels(make: Any) -> None:
    """JPEG, ITU-T T.81 annex B: application data and comments stand in segments APPn (FFE0-FFEF) and COM (FFFE)."""
    source, memory = Image.new("RGB", (64, 48), (90, 60, 30)), io.BytesIO()
    exif = Image.Exif()
    exif[0x013B] = "PRIVATE-PERSON"
    source.save(memory, "JPEG", exif=exif, comment=b"PRIVATE-COMMENT")
    assert b"PRIVATE" in memory.getvalue()
    with Image.open(memory) as image:
        content = b64decode(make(image, "a").address.removeprefix("data:image/jpeg;base64,"))
    header = content[: content.index(b"\xff\xda")]
    assert b"PRIVATE" not in content
    assert b"\xff\xe1" not in header
    assert b"\xff\xfe" not in header


def test_close_up_keeps_its_size_up_to_a_limit() -> None:
    for size, expected in (((900, 700), (900, 700)), ((6000, 300), (LARGEST_CLOSE_UP_PX, 205))):
        picture = close_up_picture(Image.new("RGB", size), "a")
        assert (picture.width_px, picture.height_px) == expected


@settings(deadline=None, max_examples=60)
@given(st.text(st.characters(exclude_categories=("Cs", "Zl", "Zp", "Cc")), max_size=30))
def test_words_made_safe_for_the_report_are_read_back_as_they_were(words: str) -> None:
    """What as_markdown makes safe comes out plain, on one line, and never bold; no-break spaces only before units."""
    found = runs(as_markdown(words))
    assert not [run for run in found if run.strong]
    assert "".join(run.words for run in found).split() == printable(words).split()


def test_no_line_ends_between_number_and_unit() -> None:
    assert runs("0.12 mm (0.005 in), 42 % in all")[0].words == "0.12\u00a0mm (0.005\u00a0in), 42\u00a0% in all"
    assert runs("toward end B, at end A.")[0].words == "toward end\u00a0B, at end\u00a0A."


def test_tables_with_long_cells_are_shown_row_by_row_on_a_phone() -> None:
    def look(*rows: tuple[str, ...]) -> str:
        return table_look(Table("t", ("", "b", "c"), rows))

    assert "broad" not in look(("a", "word " * 12, "c"))
    assert "broad" in look(("a", "b", "c"), ("a", "b", "word " * 13))


# ---- in a browser


def test_contrast_is_that_of_the_standard() -> None:
    """Landmarks: black on white is 21 by definition; #767676 is the lightest grey that passes on white (common
    practice), #777777 the first that does not."""
    white = "rgb(255, 255, 255)"
    assert contrast("rgb(0, 0, 0)", white) == pytest.approx(21.0)
    assert contrast("rgb(118, 118, 118)", white) >= 4.5 > contrast("rgb(119, 119, 119)", white)


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("name", ["Goods lift 3", "x" * 300, *HOSTILE[:3]])
def test_page_fits_and_reads(browser: Any, tmp_path: Path, width: int, name: str) -> None:
    with seen(browser, web_page(made_page(name)), tmp_path, width) as page:
        assert beyond_the_side(page) == []
        assert faint_texts(page) == []
        page.emulate_media(media="print")
        assert faint_texts(page) == []


@pytest.mark.browser
def test_the_checks_see_faint_and_broad_pages(browser: Any, tmp_path: Path) -> None:
    """A page that nobody should send: grey on white, and wider than a phone."""
    bad = '<body style="background: #fff; color: #777"><p style="width: 500px">faint and broad</p></body>'
    with seen(browser, bad, tmp_path, 360) as page:
        assert [words for words, _, _ in faint_texts(page)] == ["faint and broad"]
        assert len(beyond_the_side(page)) == 2


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
def test_close_up_opens_at_its_own_size_and_is_moved_about_in(browser: Any, tmp_path: Path, width: int) -> None:
    figure = Figure(made_picture(), "photo.jpg", made_picture("bare, 2400 px", (2400, 1800)))
    with seen(browser, web_page(WebPage("t", "a", [Section("s", figures=[figure])])), tmp_path, width) as page:
        page.click(".fold > summary")
        assert not page.locator(".close-up").is_visible()
        page.click("figure summary")
        assert page.locator(".close-up img").bounding_box()["width"] == 2400
        assert beyond_the_side(page) == []
        page.locator(".close-up").focus()
        page.keyboard.press("ArrowRight")
        page.wait_for_timeout(300)
        assert page.eval_on_selector(".close-up", "one => one.scrollLeft") > 0


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
def test_everything_is_folded_on_the_screen_and_opened_on_paper(browser: Any, tmp_path: Path, width: int) -> None:
    page = WebPage("t", "Move the wheel toward end B.", [Section("The numbers", ["one line"])])
    with seen(browser, web_page(page), tmp_path, width) as shown:
        assert not shown.get_by_text("one line").is_visible()
        shown.emulate_media(media="print")
        assert shown.get_by_text("one line").is_visible()
        shown.emulate_media(media="screen")
        shown.click("summary")
        assert shown.get_by_text("one line").is_visible()


@pytest.mark.browser
def test_letters_are_large_enough_on_phone_and_paper(browser: Any, tmp_path: Path) -> None:
    """12 px on a phone, 9 pt on paper, as the trade asks of what is read in a pit; 72 pt are 96 px (CSS Values 3)."""
    with seen(browser, web_page(made_page()), tmp_path, 360) as shown:
        for summary in shown.locator("summary").all():
            summary.click()
        assert least_letter_px(shown) >= 12
        shown.emulate_media(media="print")
        assert least_letter_px(shown) * 72 / 96 >= 9
