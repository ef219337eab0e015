"""What lies on the drawn flanks and is no compound: dust, oil, grease and strokes of a black marker.

All amounts and shares are own guesses.
"""

from __future__ import annotations

import torch
from torch import Tensor

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.fields import Grain, noise, one_of, soft_step, spot, warped
from patternscan.training.drawn.light import Light

DUSTY, GREASY, WRITTEN_ON = 0.2, 0.14, 0.08
DUSTS = (Grain(2, 2, 4, 0.7), Grain(6, 3, 4, 0.7), Grain(20, 24, 2, 0.8))


def soil(dice: Dice, light: Tensor, fallen: Light) -> Tensor:
    """The light of flank and film (count, 3, rows, columns) with what lies on both."""
    light = _dust(dice, light, fallen)
    light = _grease(dice, light)
    return light * (1 - _strokes(dice) * dice.between(0.6, 0.97))[:, None]


def _dust(dice: Dice, light: Tensor, fallen: Light) -> Tensor:
    """Pale dust scatters the light that falls on it, here and there."""
    there = soft_step(one_of(dice, *DUSTS) - dice.between(-1.5, 1), dice.log_between(1, 6))
    part = (there * dice.happens(DUSTY) * dice.amount(0.5))[:, None]
    grey = dice.between(0.2, 0.7)[:, None] * torch.exp(0.1 * dice.normals(3, 1, 1))
    return light * (1 - part) + part * grey * fallen.arriving


def _grease(dice: Dice, light: Tensor) -> Tensor:
    """Brown to black grease and oil without a crisp border: takes from the light, and mirrors a little."""
    there = soft_step(spot(dice, 0.05, 0.5), dice.log_between(2, 6)) * dice.happens(GREASY)
    taken = torch.stack([dice.numbers(0.3, 1), dice.numbers(0.5, 1), dice.numbers(0.6, 1)], 1)[..., None, None]
    taken = taken * dice.between(0.2, 1)[:, None]
    return light * (1 - there[:, None] * taken) + 0.04 * there[:, None] * light.mean((1, 2, 3), keepdim=True)


def _strokes(dice: Dice) -> Tensor:
    """1 on the strokes of a marker: narrow curved lines within a spot, as of numbers and arrows."""
    field = warped(dice, noise(dice, 3, 4), 0.005, 0.05)
    lines = soft_step(dice.log_between(0.05, 0.2) - field.abs(), 40)
    return lines * soft_step(spot(dice, 0.1, 0.5), 20) * dice.happens(WRITTEN_ON)
