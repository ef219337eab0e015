"""Pages that say what was found: they open on a phone and print on a sheet; there is no script at all."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.reporting.pages.frame import framed, pieces
from patternscan.reporting.pages.paper import SIZES_PT, fitting_letters
from patternscan.reporting.pages.parts import Section, WebPage
from patternscan.reporting.text.safety import LIMIT, safety_lines
from patternscan.reporting.text.wording import as_markdown

STYLES = ("base.css", "report.css")


def web_page(page: WebPage) -> str:
    """The page as HTML."""
    style = pieces(STYLES).replace("8.5pt", f"{_print_size(page):g}pt")
    return framed("report.html.jinja", style, page=page, safety=safety_lines())


def answer_page(answer: str, because: str, about: str, sections: Sequence[Section], tone: str = "") -> str:
    """A page that gives an answer, and why; ``about``: machine, date and marking; ``tone``: a colour for it."""
    title = f"{answer}: {about}" if about else answer
    why = f"**Why:** {as_markdown(because)}"
    return web_page(WebPage(title, f"{answer}.", sections, about, why, LIMIT, tone=tone))


def _print_size(page: WebPage) -> float:
    if page.long:
        return SIZES_PT[0]
    lengths = [length for section in page.sections for length in section.lengths]
    said = [*lengths, 2 * len(page.answer), len(page.why), len(page.closing)]
    return fitting_letters(said, len(page.sections), sum(section.pictures_mm for section in page.sections))
