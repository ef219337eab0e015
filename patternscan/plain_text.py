"""Words from outside, made fit for a line: no sign in them steers a screen or breaks a report."""

from __future__ import annotations

import re
from pathlib import Path

LONGEST = 80
"""Letters of a value that a message repeats; the first ones tell which value it is."""
LONGEST_STEM = 200
"""Bytes; file systems take names of 255."""


def printable(text: str) -> str:
    """Text with a blank for each line break, control, direction and escape sign and each half of a sign.

    What counts is ``str.isprintable``: categories Other and Separator of the Unicode character database.
    """
    return "".join(sign if sign.isprintable() else " " for sign in text)


def one_line(text: str) -> str:
    r"""A person's words on one line, single blanks between them.

    >>> one_line("Goods\nlift,  north ")
    'Goods lift, north'
    """
    return " ".join(printable(text).split())


def shortened(text: str) -> str:
    """Text as a message repeats it: on one line, cut off after LONGEST letters."""
    line = one_line(text)
    return line if len(line) <= LONGEST else f"{line[:LONGEST]}..."


def letters_of(word: str) -> str:
    """What is left of a word, however it was written: its small letters from a to z.

    >>> letters_of("Rub off")
    'ruboff'
    """
    return re.sub("[^a-z]", "", word.casefold())


def quoted(value: object) -> str:
    """A value as Python writes it, shortened; a whole number of thousands of digits is not written out.

    >>> quoted("upper")
    "'upper'"
    """
    try:
        return shortened(repr(value))
    except (ValueError, RecursionError):
        return "a huge value"


def file_stem(name: str) -> str:
    """A photo's name without its ending, cut so that the name of a file made of it still fits on every disk."""
    return Path(name).stem.encode()[:LONGEST_STEM].decode("utf-8", "ignore")
