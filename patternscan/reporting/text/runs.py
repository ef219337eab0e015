"""Lines of a report in Markdown as runs of plain and of strong words, for pages and paper."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

BOUND = re.compile(r"(?<=\d) (?=%|mm\b|in\b|degrees\b)|(?<=\bend) (?=[AB]\b)")
"""Between a number and its unit, and between "end" and its letter, no line ends."""
SPOKEN = re.compile(r"\\([!-/:-@\[-`{-~])|\*\*([^*\\]+)\*\*")
"""Of Markdown what the reports use: a sign freed of its meaning by a stroke before it, and bold words."""


class Run(NamedTuple):
    """Words of a line that look alike."""

    words: str
    strong: bool


def runs(line: str) -> list[Run]:
    r"""A line of a report in Markdown as runs of plain and of strong words.

    >>> runs(r"a \*b\*. **Do:** wait.")
    [Run(words='a *b*. ', strong=False), Run(words='Do:', strong=True), Run(words=' wait.', strong=False)]
    """
    found, at = [Run("", False)], 0
    for sign in SPOKEN.finditer(line):
        plain = line[at : sign.start()] + (sign[1] or "")
        found.append(Run(plain, False))
        found += [Run(sign[2], True)] if sign[2] else []
        at = sign.end()
    return [Run(bound(words), strong) for words, strong in _joined([*found, Run(line[at:], False)])]


def bound(words: str) -> str:
    """The words with no-break spaces where no line may end."""
    return BOUND.sub("\u00a0", words)


def _joined(parts: Sequence[Run]) -> list[Run]:
    """Neighbours that look alike as one, empty ones left out."""
    joined: list[Run] = []
    for part in (part for part in parts if part.words):
        if joined and joined[-1].strong is part.strong:
            part = Run(joined.pop().words + part.words, part.strong)
        joined.append(part)
    return joined
