"""Where the worm touches the drawn flanks, and how these are curved."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.fields import COLUMNS, ROWS, Grain, along, noise, one_of, up

THINNEST_UM, THICKEST_UM = 5.0, 60.0
"""Film that prints: 6 to 12 um wiped thin (ISO/TR 10064-4, from memory), far more from a full brush (own guess)."""
COVERED, COVERED_SO = (0.06, 0.75), 0.7
"""Part of the flank that lies within the film's reach, and share of computed contacts that are drawn to it; of the
others the film is drawn (own guess)."""
INVENTED = 0.35
"""Share of shapes that no gear data would give: slanted bands and ovals of worn, hand-scraped or wrongly cut wheels."""
FOOT = (-0.06, 0.1)
"""Height of the tooth's foot, where no worm reaches, as outlines are marked (own guess)."""
NOTHING_TOUCHES = 0.03
"""Share of flanks that the worm never touches."""
SPARSE = 37
"""One place in so many is enough to tell that part."""
ROUGHNESS = (
    Grain(10, 3, 3, 0.7),
    Grain(24, 5, 3, 0.7),
    Grain(40, 8, 2, 0.7),
    Grain(6, 8, 4, 0.6),
    Grain(48, 4, 2, 0.8),
)
"""Ragged borders: hob marks and sliding streaks run along the face; a few are blotchy (own guess)."""


@dataclass(frozen=True, slots=True, eq=False)
class Gaps:
    """Rolled wheel flanks on the drawing device: ``gap_um`` (n, rows, columns), ``points`` in face widths and unit
    ``normals`` (n, 3, fewer rows, fewer columns); from wheel_gaps.
    """

    gap_um: Tensor
    points: Tensor
    normals: Tensor


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """``gap`` in films of compound, (count, rows, columns): contact is where it is below 1; ``points`` and ``normals``
    of the flank (count, 3, rows, columns).
    """

    gap: Tensor
    points: Tensor
    normals: Tensor

    @property
    def contact(self) -> Tensor:
        """1 where the worm touches, 0 elsewhere."""
        return (self.gap < 1).float()


def read_gaps(path: Path, device: str) -> Gaps:
    """What wheel_gaps has written."""
    with np.load(path) as kept:
        gap_um, points, normals = (torch.as_tensor(kept[name]).float() for name in ("gap", "points", "normals"))
    vectors = (field.permute(0, 3, 1, 2).contiguous().to(device) for field in (points, normals))
    return Gaps(gap_um.to(device), *vectors)


def draw_pattern(dice: Dice, gaps: Gaps) -> Pattern:
    """A computed or an invented contact on a computed flank, the film's thickness drawn, the border roughened."""
    chosen = dice.picks(len(gaps.gap_um))
    gap_um = _enlarged(gaps.gap_um[chosen][:, None], "bicubic")[:, 0].clamp(min=0)
    mirrored = dice.happens(0.5)
    points, normals = _enlarged(gaps.points[chosen], "bilinear"), _enlarged(gaps.normals[chosen], "bilinear")
    gap_um, points, normals = (_turned_round(field, mirrored) for field in (gap_um, points, normals))
    shape = _invented_shape(dice)
    invented = dice.happens(INVENTED)
    gap = (1 - invented) * (gap_um / _film_um(dice, gap_um)) + invented * shape
    roughness = one_of(dice, *ROUGHNESS)
    gap = gap * torch.exp(dice.log_between(0.015, 0.4) * roughness)
    foot = up(dice) < dice.between(*FOOT) + 0.01 * noise(dice, 1, 8)
    return Pattern(torch.where(foot | (dice.happens(NOTHING_TOUCHES) > 0), gap + 5, gap), points, normals)


def _film_um(dice: Dice, gap_um: Tensor) -> Tensor:
    """Thickness of the film, (count, 1, 1): so that a drawn part of the flank touches, or any."""
    deepest = torch.sort(gap_um.flatten(1)[:, ::SPARSE]).values
    nth = (dice.numbers(*COVERED) * deepest.shape[1]).long()[:, None]
    reaching = deepest.gather(1, nth)[..., None].clamp(THINNEST_UM / 2, 2 * THICKEST_UM)
    return torch.where(dice.happens(COVERED_SO) > 0, reaching, dice.log_between(THINNEST_UM, THICKEST_UM))


def _enlarged(field: Tensor, how: str) -> Tensor:
    return functional.interpolate(field, size=(ROWS, COLUMNS), mode=how, align_corners=False)


def _turned_round(field: Tensor, mirrored: Tensor) -> Tensor:
    """Ends A and B exchanged in the pictures marked so; other hands and settings as good as the computed ones."""
    turn = mirrored if field.dim() == 3 else mirrored[..., None]
    return turn * field.flip(-1) + (1 - turn) * field


def _invented_shape(dice: Dice) -> Tensor:
    """Slanted, bowed bands across the flank and, half of them, ovals on it; 1 on their border (own guess)."""
    middle, slant, bow = dice.between(-0.05, 1.05), dice.between(-0.4, 0.4), dice.between(-0.6, 0.6)
    height = up(dice) - 0.5
    across = (along(dice) - middle - slant * height - bow * height**2) / dice.log_between(0.05, 0.65)
    above = dice.happens(0.5) * ((up(dice) - dice.between()) / dice.log_between(0.2, 0.9))
    return across * across + above * above
