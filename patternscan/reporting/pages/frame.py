"""The frame of every page: one HTML file that opens without a network and takes nothing from outside.

Every text is escaped, and a browser obeys no style and no script but those that went in here.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256

from jinja2 import Environment, PackageLoader, StrictUndefined

from patternscan.reporting.pages.parts import name_pieces, table_look
from patternscan.reporting.text.runs import bound, runs

FILTERS = {"runs": runs, "bound": bound, "name_pieces": name_pieces, "look": table_look}
"""What the templates of pages do with words, in whatever frame."""


def framed(template: str, style: str, script: str = "", **content: object) -> str:
    """The page as HTML; ``style`` and ``script`` stand in it as they are and hold nothing of a person."""
    return _frame().get_template(template).render(style=style, script=script, **content)


def pieces(names: Sequence[str]) -> str:
    """Style sheets or scripts of the frame's folder, joined."""
    loader = _frame().loader
    assert loader is not None
    return "".join(loader.get_source(_frame(), name)[0] for name in names)


@cache
def _frame() -> Environment:
    frame = Environment(
        loader=PackageLoader("patternscan.reporting.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    frame.filters |= {**FILTERS, "source": _source}
    return frame


def _source(text: str) -> str:
    """How a Content Security Policy names a style or script that it allows (W3C CSP Level 3, 2.3.1 source lists)."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"
