"""What the metal beyond tip and root of drawn flanks looks like, as photographs show it beside the flank."""

from __future__ import annotations

import torch
from torch import Tensor

from patternscan.seeing.segmentation.net_input import DARKEST, LEAST_MEAN
from patternscan.training.drawn.pictures import Pictures

PALER, PALER_APART = (0.25, 1.25), 0.12
"""Colour of the metal beside a flank against that of the bare flank, and how far tip and root differ in that; on 65
photographs of dev, rims and port 0.32 to 1.17 (9 in 10) and 0.15."""
OTHERWISE, WILD, SELDOM = 0.07, 0.35, 0.15
"""How far else it lies off, as a logarithm, and how far seldom; there 0.06 in the middle, 9 in 10 within 0.18."""
UNKNOWN, RUN_OVER = 0.12, 0.15
"""Shares of places beside the flank of which nothing is seen, and to which compound has run (own guess)."""
PLAIN, FILMED, LEAST_CELLS, SPARSE = 0.15, 0.7, 10, 4
"""Cells of which less than the first is hidden by film are bare, more than the second filmed; so many are needed, of
those in each fourth row and column, for their colour to be known."""


def colours_beside(light: Tensor, pictures: Pictures) -> Tensor:
    """Drawn anew each time, as ``net_input.beside_planes`` tells it of photographs: (n, 6), tip and root. ``light`` is
    linear (n, 3, rows, columns).
    """
    bare, known = _colour(light, (pictures.amount < PLAIN) & (pictures.seen > 0))
    film, filmed = _colour(light, (pictures.amount > FILMED) & (pictures.seen > 0))
    count, here = len(light), light.device
    low, high = PALER
    paler = low + (high - low) * torch.rand(count, 1, 1, device=here)
    paler = paler + PALER_APART * torch.randn(count, 2, 1, device=here)
    far = torch.where(torch.rand(count, 2, 1, device=here) < SELDOM, WILD, OTHERWISE)
    metal = paler * bare[:, None] + far * torch.randn(count, 2, 2, device=here)
    over = torch.rand(count, 2, 1, device=here) * (torch.rand(count, 2, 1, device=here) < RUN_OVER)
    colour = metal + over * filmed[:, None, None] * (film[:, None] - metal)
    there = known[:, None, None] * (torch.rand(count, 2, 1, device=here) > UNKNOWN)
    return (torch.cat([torch.ones_like(there), colour], 2) * there).flatten(1)


def _colour(light: Tensor, where: Tensor) -> tuple[Tensor, Tensor]:
    """Logarithms (n, 2) of red and blue against green in the median light of some cells; 1 (n,) where it is known."""
    places = where[:, ::SPARSE, ::SPARSE].flatten(1)
    known = places.sum(1) >= LEAST_CELLS
    cells = light[:, :, ::SPARSE, ::SPARSE].flatten(2)
    usual = torch.nanmedian(torch.where(places[:, None], cells, torch.nan), 2).values.nan_to_num()
    red, green, blue = torch.log(usual / (usual.mean(1, keepdim=True) + LEAST_MEAN) + DARKEST).unbind(1)
    return torch.stack([red - green, blue - green], 1) * known[:, None], known.float()
