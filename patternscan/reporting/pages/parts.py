"""What pages are made of: pictures, figures, tables and sections, without any layout of their own."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass

from PIL import Image

from patternscan.reporting.drawing.encoding import jpeg_bytes
from patternscan.reporting.text.table import Table

BROAD, MANY, LONG_CELL = 3, 4, 60
"""A table of more than BROAD columns, or of so many with a cell of more than LONG_CELL letters, is shown row by row on
a phone; one of more than MANY as running words on paper.
"""
LONG_NAME, NAME_SIGN = re.compile(r"\S{20,}"), re.compile(r"(?<=[_.-])(?=\w)")
"""A word so long may have no room on one line of a phone, and where it may be broken."""
LARGEST_CLOSE_UP_PX = 4096
"""A close-up with a longer side is made smaller, so that a phone can still show it."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as a data address made from bare pixels; ``alternative`` says in words what it shows, with numbers."""

    address: str
    width_px: int
    height_px: int
    alternative: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture with its caption. ``close_up`` opens below it at its own size, to be moved about in.

    ``printed`` False keeps it off the paper. ``anchor`` is the name by which a line of the page leads to it.
    """

    picture: Picture
    caption: str
    close_up: Picture | None = None
    printed: bool = True
    anchor: str = ""


def table_look(table: Table) -> str:
    """The classes of a table in the style sheet."""
    columns, longest = len(table.head), max((len(cell) for row in table.rows for cell in row), default=0)
    broad = columns > BROAD or (columns == BROAD and longest > LONG_CELL)
    looks = {"many": columns > MANY, "few": columns <= MANY, "broad": broad, "blank": table.blank}
    return " ".join(look for look, worn in looks.items() if worn)


def name_pieces(words: str) -> list[str]:
    """The words in pieces, between which a long name is broken before it is broken anywhere.

    >>> name_pieces("Take IMG_0412-before_move.jpg again")
    ['Take IMG_', '0412-', 'before_', 'move.', 'jpg again']
    """
    return LONG_NAME.sub(lambda name: NAME_SIGN.sub("\0", name[0]), words).split("\0")


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with what stands under it: figures, tables, then a list of lines; nothing of it when all are empty.

    Lines are in the reports' Markdown (``**bold**``); put ``wording.as_markdown`` round what a person wrote.
    ``small`` sets it in small letters, for hashes and versions.
    """

    title: str
    lines: Sequence[str] = ()
    tables: Sequence[Table] = ()
    figures: Sequence[Figure] = ()
    small: bool = False


@dataclass(frozen=True, slots=True)
class WebPage:
    """All that a page says: the title of the window, the answer in one sentence, then the sections.

    ``subject`` says in short what it is about; ``checks``, ``doubts`` and ``closing`` are lines like those of a
    section. ``checks`` stand right under the answer; then come the figures of ``lead``, above them what their colours
    mean (``legend``), and the few doubts that matter. ``tone`` names another colour of the style sheet for the answer.
    On a ``long`` page no section is folded away and lines have the whole width of the paper.
    """

    title: str
    answer: str
    sections: Sequence[Section]
    subject: str = ""
    checks: Sequence[str] = ()
    lead: Sequence[Figure] = ()
    doubts: Sequence[str] = ()
    closing: str = ""
    long: bool = False
    tone: str = ""
    legend: str = ""


def photo_picture(image: Image.Image, alternative: str) -> Picture:
    """A picture of a photo for a page, as JPEG from its pixels alone: nothing of the original file goes with it."""
    address = f"data:image/jpeg;base64,{b64encode(jpeg_bytes(image)).decode('ascii')}"
    return Picture(address, image.width, image.height, alternative)


def close_up_picture(image: Image.Image, alternative: str) -> Picture:
    """A piece of a photo as large as it is held; only one longer than LARGEST_CLOSE_UP_PX is made smaller."""
    if max(image.size) > LARGEST_CLOSE_UP_PX:
        image = image.copy()
        image.thumbnail((LARGEST_CLOSE_UP_PX, LARGEST_CLOSE_UP_PX), Image.Resampling.LANCZOS)
    return photo_picture(image, alternative)
