"""One question of a form: what is asked, what is written in its fields now, and what there is to choose from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FormField:
    """A question as fields, one for each of ``written``; ``counts`` are the numbers of shims beside them.

    ``choices`` are the words to choose from, each with what a person reads. ``is_number``: a number pad helps,
    ``signed`` one with a minus. ``seen`` is what the form gives back of what stood there when it was shown, as JSON;
    empty where that does not matter.
    """

    name: str
    asked: str
    sort: str
    written: Sequence[str]
    counts: Sequence[str]
    choices: Sequence[tuple[str, str]] = ()
    units: Sequence[str] = ()
    unit: str = ""
    needed: bool = False
    many: bool = False
    is_number: bool = False
    signed: bool = False
    seen: str = ""
