"""Words on printed sheets: which letters can be drawn, how wide words are, and where lines break."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import matplotlib
from matplotlib.ft2font import FT2Font

from patternscan.reporting.pages.web_page import Run
from patternscan.reporting.pictures.lettering import FONT_FILES, font
from patternscan.units import MM_PER_INCH

MM_PER_POINT = MM_PER_INCH / 72
LACKING = "\u25a1"
"""Stands for every sign that the letters lack."""
DRAWN_PX = 1000
"""Words are measured this large, so that rounding to pixels does not count."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Words of one look in a line, and where they begin and end, in mm from the line's beginning."""

    words: str
    strong: bool
    from_mm: float
    to_mm: float


Line = tuple[Piece, ...]


def font_path(strong: bool) -> Path:
    """DejaVu Sans as it comes with matplotlib."""
    return Path(matplotlib.get_data_path()) / "fonts" / "ttf" / FONT_FILES[strong]


def drawable(words: str) -> str:
    """The words with LACKING in place of every sign that cannot be drawn; line ends become spaces.

    >>> drawable("wheel 車")
    'wheel □'
    """
    known = _known()
    return "".join(sign if ord(sign) in known else LACKING for sign in re.sub(r"[\s\x00]+", " ", words))


def width_mm(words: str, size_pt: float, strong: bool) -> float:
    """How wide the words are at a size in points."""
    return _width(words, strong) * size_pt * MM_PER_POINT


def wrap(runs: Sequence[Run], size_pt: float, room_mm: float) -> list[Line]:
    """The words broken into lines no wider than the room; a word that is wider itself is broken anywhere."""
    lines: list[list[Piece]] = [[]]
    for word, strong, spaced in _words(runs, size_pt, room_mm):
        line = lines[-1]
        at = line[-1].to_mm if line else 0.0
        gap = width_mm(" ", size_pt, strong) if spaced and line else 0.0
        wide = width_mm(word, size_pt, strong)
        if line and at + gap + wide > room_mm:
            lines.append([Piece(word, strong, 0.0, wide)])
        elif line and line[-1].strong is strong:
            last = line.pop()
            line.append(replace(last, words=last.words + " " * (gap > 0) + word, to_mm=at + gap + wide))
        else:
            line.append(Piece(word, strong, at + gap, at + gap + wide))
    return [tuple(line) for line in lines]


def _words(runs: Sequence[Run], size_pt: float, room_mm: float) -> Iterator[tuple[str, bool, bool]]:
    """Every word with its look and whether there is a space before it."""
    spaced = False
    for words, strong in runs:
        for part in re.split("( +)", drawable(words)):
            if not part.strip(" "):
                spaced = spaced or bool(part)
                continue
            for number, bit in enumerate(_bits(part, strong, size_pt, room_mm)):
                yield bit, strong, spaced and number == 0
            spaced = False


def _bits(word: str, strong: bool, size_pt: float, room_mm: float) -> Iterator[str]:
    """The word whole when it fits, else in bits that do."""
    while width_mm(word, size_pt, strong) > room_mm and len(word) > 1:
        fits = max(1, int(len(word) * room_mm / width_mm(word, size_pt, strong)))
        while fits > 1 and width_mm(word[:fits], size_pt, strong) > room_mm:
            fits -= 1
        yield word[:fits]
        word = word[fits:]
    yield word


@cache
def _width(words: str, strong: bool) -> float:
    """Width as a part of the size."""
    return font(DRAWN_PX, strong).getlength(words) / DRAWN_PX


@cache
def _known() -> frozenset[int]:
    """Code points that both cuts of the font have."""
    plain, strong = (FT2Font(str(font_path(each))).get_charmap() for each in (False, True))
    return frozenset(plain) & frozenset(strong)
