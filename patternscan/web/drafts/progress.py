"""How far a longer piece of work is: its stage and the part that is done, on the disk for the page that waits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from patternscan.web.drafts.store import keep, kept

LEAST_STEP = 0.04
"""Smaller steps are not told: nobody sees them, and each is a file."""


class Stage(StrEnum):
    """What is being done, in the order of work."""

    FINDING = "finding"
    MEASURING = "measuring"
    COMPARING = "comparing"
    DRAWING = "drawing"


@dataclass(frozen=True, slots=True)
class Progress:
    """The stage that is worked at, and the part of the whole that is done, 0 to 1."""

    stage: Stage
    done: float


Tell = Callable[[Stage, float], None]


def telling(path: Path) -> Tell:
    """What lays progress down at a place; steps back and very small ones are left out."""
    told = -1.0

    def tell(stage: Stage, done: float) -> None:
        nonlocal told
        if done >= told + LEAST_STEP:
            told = done
            keep(path, Progress(stage, round(done, 2)))

    return tell


def progress_at(path: Path) -> Progress | None:
    """How far the work is that tells it there, None when it has not begun."""
    return kept(path, Progress)
