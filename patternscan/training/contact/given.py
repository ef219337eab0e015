"""Drawn pictures as the net is given them, and what a user would tell it about them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.seeing.image.lab import SRGB_TO_LINEAR
from patternscan.seeing.segmentation.net_input import BESIDE, DARKEST, LEAST_MEAN, NAMES, PLANES, REACH, SMOOTHED
from patternscan.training.contact.beside import colours_beside
from patternscan.training.drawn.fields import COLUMNS, ROWS
from patternscan.training.drawn.film import KINDS
from patternscan.training.drawn.pictures import Pictures

NAMED, MISNAMED, MISMARKED = 0.3, 0.1, 0.2
"""Shares of pictures with which the net is told a compound, of those with which it is told any, be it right or wrong,
and of all with which it is told the wrong marking (own guess)."""


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """What the net is told of each picture: ``rub_off`` (n,) 1 or 0, ``kind`` (n,) numbers in NAMES, -1 for none."""

    rub_off: Tensor
    kind: Tensor


def tell(pictures: Pictures) -> Told:
    """What users tell, on a clean flank too and with the mistakes that users make."""
    here = pictures.kind.device
    any_kind = torch.randint(0, len(NAMES), pictures.kind.shape, device=here)
    any_told = (torch.rand(pictures.kind.shape, device=here) < MISNAMED) | (pictures.kind == KINDS.index("none"))
    kind = torch.where(any_told, any_kind, pictures.kind)
    named = torch.rand(pictures.kind.shape, device=here) < NAMED
    mismarked = torch.rand(pictures.kind.shape, device=here) < MISMARKED
    return Told((pictures.rub_off > 0).logical_xor(mismarked).float(), torch.where(named, kind, -1))


def tell_marking(pictures: Pictures) -> Told:
    """The right marking and no compound."""
    return Told(pictures.rub_off, torch.full_like(pictures.kind, -1))


def given_planes(pictures: Pictures, told: Told) -> Tensor:
    """PLANES of each picture, (n, planes, rows, columns), on its device: as ``net_input`` makes them of one picture,
    but of all at once, and with what lies beside drawn anew, whatever the marking.
    """
    seen = (pictures.seen > 0).float()
    planes = torch.zeros(len(seen), len(PLANES), ROWS, COLUMNS, device=seen.device)
    levels = (pictures.pixels * 255).round()
    light = _smoothed(torch.cat([_linear_light(seen.device)[levels.long()], levels.amax(1, True) / 255], 1), seen)
    planes[:, :3] = _relative_light(light[:, :3], seen)
    planes[:, 3] = light[:, 3]
    planes[:, 4] = seen
    planes[:, 5] = (0.5 - (torch.arange(ROWS, device=seen.device) + 0.5) / ROWS)[:, None]
    planes[:, 6] = (2 * told.rub_off - 1)[:, None, None]
    named = 7 + len(BESIDE)
    planes[:, 7:named] = colours_beside(light[:, :3], pictures)[..., None, None]
    planes[:, named:] = (told.kind[:, None] == torch.arange(len(NAMES), device=seen.device))[..., None, None].float()
    return planes


def _smoothed(light: Tensor, seen: Tensor) -> Tensor:
    """The mean of what is seen about each cell, with Gaussian weights; 0 where nothing is seen."""
    off = torch.arange(-REACH, REACH + 1, device=seen.device)
    weights = torch.exp(-0.5 * (off / SMOOTHED) ** 2)
    weights = weights / weights.sum()
    both = torch.cat([light * seen[:, None], seen[:, None]], 1).flatten(0, 1)[:, None]
    both = functional.conv2d(functional.pad(both, (REACH, REACH, 0, 0), mode="reflect"), weights[None, None, None])
    both = functional.conv2d(functional.pad(both, (0, 0, REACH, REACH), mode="reflect"), weights[None, None, :, None])
    both = both[:, 0].unflatten(0, (len(seen), light.shape[1] + 1))
    return both[:, :-1] * (seen / both[:, -1].clamp(min=1e-6))[:, None]


def _relative_light(linear: Tensor, seen: Tensor) -> Tensor:
    mean = (linear.mean(1) * seen).sum((1, 2)) / seen.sum((1, 2)).clamp(min=1)
    return torch.log(linear / (mean + LEAST_MEAN)[:, None, None, None] + DARKEST) * seen[:, None]


@lru_cache(maxsize=4)
def _linear_light(device: torch.device) -> Tensor:
    """Linear light of each sRGB value, kept on the device: to send it anew would hold up every step."""
    return torch.from_numpy(SRGB_TO_LINEAR).to(device)
