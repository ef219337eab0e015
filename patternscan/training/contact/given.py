"""Drawn pictures as the net is given them: by the very function that feeds it in use."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache

import numpy as np
import torch
from torch import Tensor

from patternscan.frame import Compound, Marking
from patternscan.seeing.segmentation.net_input import NAMES, input_planes
from patternscan.training.drawn.pictures import Pictures


def given_planes(pictures: Pictures, told: Sequence[Compound | None]) -> Tensor:
    """PLANES of each picture, (n, planes, rows, columns), on its device. ``told``: the compound, where it is told.

    Worked out on the processor, since use does so too; numpy lets other threads go on meanwhile.
    """
    pixels = (pictures.pixels * 255).round().to(torch.uint8).permute(0, 2, 3, 1).contiguous().cpu().numpy()
    seen = (pictures.seen > 0).cpu().numpy()
    marking = [Marking.RUB_OFF if rub_off else Marking.TRANSFER for rub_off in pictures.rub_off.tolist()]
    planes = np.stack(list(_workers().map(input_planes, pixels, seen, marking, told)))
    return torch.from_numpy(planes).to(pictures.pixels.device)


def told_to(kinds: Tensor, share: float) -> list[Compound | None]:
    """The compounds (n,) as the net is told them: this share of them, as a user may do, and none that is not there."""
    known = (torch.rand(len(kinds)) < share).tolist()
    return [
        NAMES[kind] if here and kind < len(NAMES) else None for kind, here in zip(kinds.tolist(), known, strict=True)
    ]


@cache
def _workers() -> ThreadPoolExecutor:
    return ThreadPoolExecutor()
