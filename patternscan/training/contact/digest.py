"""Digests of what the contact net was trained on: by them two trainings can be told to have seen the same."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import numpy as np

from patternscan.training.drawn.dice import throw
from patternscan.training.drawn.pattern import read_gaps
from patternscan.training.drawn.pictures import draw_pictures

FEW, SEED = 8, 1


def digests(gaps: Path) -> Iterator[str]:
    """SHA-256 of the rolled wheels, and of a few pictures drawn of them on the processor."""
    with np.load(gaps) as kept:
        rolled = sha256(b"".join(np.ascontiguousarray(kept[name]).tobytes() for name in sorted(kept)))
    yield f"wheels {rolled.hexdigest()}"
    drawn = draw_pictures(throw(FEW, "cpu", SEED), read_gaps(gaps, "cpu"))
    pixels = (drawn.pixels * 255).round().byte()
    yield f"{FEW} pictures of seed {SEED} {sha256(pixels.numpy().tobytes()).hexdigest()}"
