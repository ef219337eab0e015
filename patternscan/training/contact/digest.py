"""What the contact net was trained on, in few words: by them two trainings can be told to have seen the same."""

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
    """SHA-256 of the rolled wheels, and the mean pixel of a few pictures drawn of them on the processor, so coarse that
    processors which round in other ways agree.
    """
    with np.load(gaps) as kept:
        rolled = sha256(b"".join(np.ascontiguousarray(kept[name]).tobytes() for name in sorted(kept)))
    yield f"wheels {rolled.hexdigest()}"
    drawn = draw_pictures(throw(FEW, "cpu", SEED), read_gaps(gaps, "cpu"))
    means = " ".join(f"{mean:.3f}" for mean in drawn.pixels.mean((1, 2, 3)).tolist())
    yield f"{FEW} pictures of seed {SEED}, mean pixel {means}"
