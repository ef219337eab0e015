"""Random fields over a rectified flank: smooth noise of a chosen grain, warps, spots.

A field is (pictures, rows, columns), row 0 at the tip, column 0 at end A; noise has about mean 0 and spread 1.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice

ROWS, COLUMNS = 128, 256
CUBIC_SPREAD = 1.25
"""Makes up for the spread that cubic interpolation takes from noise."""
CUBIC = -0.75
"""Slope of the kernel of cubic convolution where it is one cell off (Keys 1981, from memory: -0.5 to -1)."""
SHIFTS = 16
"""Places of the grid against the picture, evenly over a cell."""
HEIGHT = 0.4
"""Height of a flank over its face width, so that spots come out about round (common practice: 0.3 to 0.5)."""


class Grain(NamedTuple):
    """Noise by its waves: how many up the flank and along it in the coarsest octave, octaves, gain of each next one.
    More waves up than along are streaks along the face, which is how hob, worm and brush run over a wheel flank.
    """

    rows: int
    columns: int
    octaves: int
    gain: float


@lru_cache(maxsize=4)
def _places(device: str) -> tuple[Tensor, Tensor]:
    along = (torch.arange(COLUMNS, device=device) + 0.5) / COLUMNS
    up = 1 - (torch.arange(ROWS, device=device) + 0.5) / ROWS
    return along[None].expand(ROWS, COLUMNS)[None], up[:, None].expand(ROWS, COLUMNS)[None]


def along(dice: Dice) -> Tensor:
    """Place along the face, 0 at end A to 1 at end B, (1, rows, columns)."""
    return _places(dice.device)[0]


def up(dice: Dice) -> Tensor:
    """Place up the flank, 0 at the root to 1 at the tip, (1, rows, columns)."""
    return _places(dice.device)[1]


def noise(dice: Dice, rows: int, columns: int) -> Tensor:
    """Smooth noise with so many waves up and along the flank: cubic convolution of a grid, randomly placed."""
    down, aside = (
        _cubic_weights(dice.device, places, waves)[dice.picks(SHIFTS)]
        for places, waves in ((ROWS, rows), (COLUMNS, columns))
    )
    return down @ dice.normals(rows + 3, columns + 3) @ aside.mT * CUBIC_SPREAD


@lru_cache(maxsize=256)
def _cubic_weights(device: str, places: int, waves: int) -> Tensor:
    """What each place takes from ``waves`` + 3 nodes about it, these shifted by parts of a cell, (SHIFTS, places,
    nodes).
    """
    shift = torch.arange(SHIFTS, device=device)[:, None, None] / SHIFTS
    place = (torch.arange(places, device=device)[:, None] + 0.5) * (waves / places)
    off = (place + shift + 1 - torch.arange(waves + 3, device=device)).abs()
    near = ((CUBIC + 2) * off - (CUBIC + 3)) * off * off + 1
    far = CUBIC * (((off - 5) * off + 8) * off - 4)
    return torch.where(off < 1, near, torch.where(off < 2, far, 0.0))


def grained(dice: Dice, grain: Grain) -> Tensor:
    """Noise summed over octaves, each twice as fine as the one before."""
    total, power, weight = torch.zeros((), device=dice.device), 0.0, 1.0
    for octave in range(grain.octaves):
        rows, columns = min(grain.rows * 2**octave, ROWS), min(grain.columns * 2**octave, COLUMNS)
        total = total + weight * noise(dice, rows, columns)
        power += weight * weight
        weight *= grain.gain
    return total / math.sqrt(power)


def one_of(dice: Dice, *grains: Grain) -> Tensor:
    """Noise of one of these grains in each picture; each grain in as many pictures."""
    order = dice.order()
    parts = order.tensor_split(len(grains))
    fields = [grained(dice.of(len(part)), grain) for part, grain in zip(parts, grains, strict=True) if len(part)]
    return torch.cat(fields)[order.argsort()]


def warp(dice: Dice, picture: Tensor, amount: Tensor) -> Tensor:
    """Pictures (count, channels, rows, columns) bent smoothly by about ``amount`` (count, 1, 1) of their width."""
    aside, down = noise(dice, 2, 3) * amount, noise(dice, 2, 3) * amount * 2
    columns, rows = (along(dice) * 2 - 1) + aside * 2, ((1 - up(dice)) * 2 - 1) + down * 2
    grid = torch.stack([columns, rows], -1)
    return functional.grid_sample(picture, grid, padding_mode="border", align_corners=False)


def warped(dice: Dice, field: Tensor, least: float, most: float) -> Tensor:
    """A field bent by an amount between two parts of its width."""
    return warp(dice, field[:, None], dice.log_between(least, most))[:, 0]


def slanted(dice: Dice, field: Tensor) -> Tensor:
    """A field whose upper part is moved aside, by up to a quarter of the face over the flank's height."""
    slant, none = dice.between(-0.25, 0.25)[:, 0], torch.zeros(dice.count, 1, device=dice.device)
    rows = torch.cat([none + 1, slant, none], 1), torch.cat([none, none + 1, none], 1)
    places = functional.affine_grid(torch.stack(rows, 1), [dice.count, 1, ROWS, COLUMNS], False)
    return functional.grid_sample(field[:, None], places, padding_mode="reflection", align_corners=False)[:, 0]


def waved(dice: Dice, field: Tensor) -> Tensor:
    """A field whose rows go up and down along the face, in half of the pictures, as under a hand that shakes."""
    waves, begin = dice.log_between(2, 12), dice.between(0, 2 * math.pi)
    height = dice.log_between(0.01, 0.07) * dice.happens(0.5)
    down = height * torch.sin(2 * math.pi * waves * (along(dice) + 0.03 * noise(dice, 2, 4)) + begin)
    columns, rows = along(dice) * 2 - 1, (1 - up(dice)) * 2 - 1
    places = torch.stack([columns.expand_as(down), rows + 2 * down], -1)
    return functional.grid_sample(field[:, None], places, padding_mode="reflection", align_corners=False)[:, 0]


def spot(dice: Dice, smallest: float, largest: float) -> Tensor:
    """A ragged oval: 1 in its middle, 0 about its border, negative outside. Sizes: half its length in face widths."""
    middle_along, middle_up = dice.between(-0.05, 1.05), dice.between(-0.05, 1.05)
    angle = dice.between(0, math.pi)
    length = dice.log_between(smallest, largest)
    width = length * dice.log_between(0.25, 1)
    aside, above = along(dice) - middle_along, (up(dice) - middle_up) * HEIGHT
    lengthways = aside * torch.cos(angle) + above * torch.sin(angle)
    across = -aside * torch.sin(angle) + above * torch.cos(angle)
    return 1 - ((lengthways / length) ** 2 + (across / width) ** 2) + 0.5 * grained(dice, Grain(6, 8, 3, 0.5))


def soft_step(field: Tensor, steepness: Tensor | float) -> Tensor:
    """0 where the field is negative, 1 where it is positive, with a soft border."""
    return torch.sigmoid(field * steepness)
