"""Pages that say what was found: they open on a phone and print on a sheet; there is no script at all."""

from __future__ import annotations

from patternscan.reporting.pages.frame import framed, pieces
from patternscan.reporting.pages.paper import SIZES_PT, fitting_letters
from patternscan.reporting.pages.parts import BROAD, MANY, WebPage

STYLES = ("base.css", "report.css")


def web_page(page: WebPage) -> str:
    """The page as HTML."""
    style = pieces(STYLES).replace("8.5pt", f"{_print_size(page):g}pt")
    return framed("report.html.jinja", style, page=page, broad=BROAD, many=MANY)


def _print_size(page: WebPage) -> float:
    if page.long:
        return SIZES_PT[0]
    lengths = [length for section in page.sections for length in section.lengths]
    said = [*lengths, 2 * len(page.answer), len(page.why), len(page.closing)]
    return fitting_letters(said, len(page.sections), sum(section.pictures_mm for section in page.sections))
