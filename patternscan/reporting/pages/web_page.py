"""Pages that say what was found: they open on a phone and print on paper; there is no script at all."""

from __future__ import annotations

from patternscan.reporting.pages.frame import framed, pieces
from patternscan.reporting.pages.parts import WebPage
from patternscan.reporting.text.safety import safety_lines

STYLES = ("base.css", "report.css")


def web_page(page: WebPage) -> str:
    """The page as HTML."""
    return framed("report.html.jinja", pieces(STYLES), page=page, safety=safety_lines())
