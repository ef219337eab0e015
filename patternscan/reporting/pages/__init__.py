"""Pages that open on a phone and print on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.reporting.pages import comparison_page as comparison_page
    from patternscan.reporting.pages import judgement_page as judgement_page
    from patternscan.reporting.pages import marking_page as marking_page
    from patternscan.reporting.pages import web_page as web_page
else:
    __getattr__ = door(__name__, "comparison_page", "judgement_page", "marking_page", "web_page")
