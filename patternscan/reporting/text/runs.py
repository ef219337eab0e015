"""Lines of a report in Markdown as runs of plain and of strong words, for pages and paper."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

BOUND = re.compile(r"(?<=\d) (?=%|mm\b|in\b|degrees\b)|(?<=\bend) (?=[AB]\b)")
"""Between a number and its unit, and between "end" and its letter, no line ends."""
SPOKEN = re.compile(r"\\([!-/:-@\[-`{-~])|\*\*([^*\\]+)\*\*|\[([^\]\\]+)\]\(#([a-z0-9-]+)\)")
"""Of Markdown what the reports use: a sign freed of its meaning by a stroke before it, bold words, and words that lead
to a place of the same page."""


class Run(NamedTuple):
    """Words of a line that look alike; ``anchor`` is the place of the page to which they lead, if they do."""

    words: str
    strong: bool
    anchor: str = ""


def runs(line: str) -> list[Run]:
    r"""A line of a report in Markdown as runs of plain and of strong words, and of words that lead elsewhere.

    >>> [(one.words, one.strong) for one in runs(r"a \*b\*. **Do:** wait.")]
    [('a *b*. ', False), ('Do:', True), (' wait.', False)]
    >>> runs("Look at [the photo](#photo-1)")[1]
    Run(words='the photo', strong=False, anchor='photo-1')
    """
    found, at = [Run("", False)], 0
    for sign in SPOKEN.finditer(line):
        freed, strong, linked, anchor = sign.groups(default="")
        found += [Run(line[at : sign.start()] + freed, False), Run(strong or linked, bool(strong), anchor)]
        at = sign.end()
    return [one._replace(words=bound(one.words)) for one in _joined([*found, Run(line[at:], False)])]


def bound(words: str) -> str:
    """The words with no-break spaces where no line may end."""
    return BOUND.sub("\u00a0", words)


def _joined(parts: Sequence[Run]) -> list[Run]:
    """Neighbours that look alike as one, empty ones left out."""
    joined: list[Run] = []
    for part in (part for part in parts if part.words):
        if joined and joined[-1][1:] == part[1:]:
            part = part._replace(words=joined.pop().words + part.words)
        joined.append(part)
    return joined
