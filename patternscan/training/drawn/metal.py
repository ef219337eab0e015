"""The bare metal of the drawn flanks: alloy, marks of the hob, tarnish, wear, and what it mirrors of its neighbour."""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.fields import Grain, along, noise, one_of, soft_step, spot, up
from patternscan.training.drawn.light import BUMPS, Light

POCKETS = (Grain(2, 2, 2, 0.5), Grain(2, 3, 3, 0.5), Grain(4, 3, 2, 0.5))
SCRATCHES = (Grain(24, 3, 3, 0.8), Grain(10, 12, 4, 0.7), Grain(6, 12, 4, 0.7), Grain(20, 30, 3, 0.8))
"""Some run along the face, as hob and worm slide, others have no direction (common practice)."""
TARNISHES = (Grain(4, 6, 4, 0.6), Grain(8, 3, 4, 0.7), Grain(12, 20, 3, 0.6))
MIRRORED = 0.3
"""Share of flanks in which compound on the next tooth may be mirrored; in one in five of them it lies out of sight (own
guess)."""
STEEL = 0.12
"""Share of flanks of iron or steel, which have no colour of their own (own guess)."""
HOB_MARKS, RINGED = (20, 110), 0.4
"""Feed marks over the face, and share of flanks on which they close into rings or saddles (own guess)."""


@dataclass(frozen=True, slots=True, eq=False)
class Metal:
    """Linear reflectance of the ``alloy`` (count, 3, 1, 1), and ``pocket`` (count, rows, columns): how far a place
    looks into the tooth space, where light goes from flank to flank before it comes out.
    """

    alloy: Tensor
    pocket: Tensor

    @property
    def hue(self) -> Tensor:
        """The alloy's colour with its strongest channel at 1: what one more bounce takes from the light."""
        return self.alloy / self.alloy.amax(1, keepdim=True)


def draw_metal(dice: Dice) -> Metal:
    """From copper over tin bronze and brass to pale nickel bronze, iron and steel (own guess of the range)."""
    red, steel = dice.numbers(0.3, 0.85), dice.numbers() < STEEL
    green = torch.where(steel, dice.numbers(0.92, 1.02), dice.numbers(0.48, 0.92))
    blue = torch.where(steel, dice.numbers(0.9, 1.05), dice.numbers(0.28, 0.84))
    alloy = torch.stack([red, red * green, red * green * blue], 1)[:, :, None, None]
    field = one_of(dice, *POCKETS) + dice.between(-1.5, 1.5) + dice.between(-3, 3) * (up(dice) - 0.5)
    return Metal(alloy, soft_step(field, dice.log_between(0.8, 4)))


def bounced(dice: Dice, metal: Metal) -> Tensor:
    """Colour in which the metal mirrors, (count, 3, rows, columns): each further bounce between two flanks multiplies
    by the metal's colour, so the depth of a tooth space glows redder than its tips.
    """
    bounces = dice.between(0, 3) * metal.pocket
    return metal.alloy * metal.hue ** (bounces[:, None] * dice.between(0.6, 1.2)[:, None])


def bare_light(dice: Dice, metal: Metal, mirror: Tensor, light: Light) -> Tensor:
    """Light that the bare flank sends to the camera, (count, 3, rows, columns): mirrored in the colour ``mirror``,
    and a little of it scattered.
    """
    mirror = _machined(dice, mirror)
    mirror = _tarnished(dice, metal, mirror)
    mirror = _worn(dice, mirror)
    return mirror * light.mirrored + 0.12 * metal.alloy * light.arriving * dice.between(0, 2)[:, None]


def mirror_neighbour(dice: Dice, mirror: Tensor, thickness: Tensor, pigment: Tensor) -> Tensor:
    """The colour in which the metal mirrors, with the compound of the next flank in it: a stain where none lies.

    A soft oval, or the compound of this flank, displaced, drawn out and often upside down; torn into streaks by the
    marks of the tool, each of which mirrors another way (amounts own guess).
    """
    rough = one_of(dice, *BUMPS) * dice.log_between(0.01, 0.5)
    oval = soft_step(spot(dice, 0.1, 0.5) + rough, dice.log_between(2, 5)) * dice.happens(0.6)
    stain = torch.where(dice.happens(0.5) > 0, oval, _displaced(dice, 1 - torch.exp(-2 * thickness), rough))
    stain = stain * dice.happens(MIRRORED) * dice.between(0.1, 0.6)
    return mirror * (1 - stain[:, None] * (1 - pigment * 1.2))


def _displaced(dice: Dice, field: Tensor, rough: Tensor) -> Tensor:
    """A field as a curved, worn mirror beside it shows it: moved, drawn out, turned round, blurred, each place aside by
    a part of ``rough`` face widths.
    """
    smooth = functional.interpolate(functional.avg_pool2d(field[:, None], 8), size=field.shape[1:], mode="bilinear")
    part = dice.between(0.6, 1)
    blurred = part * smooth[:, 0] + (1 - part) * field
    aside, above = 0.7 * dice.normals(), 0.5 * dice.normals()
    wide, high = dice.log_between(0.5, 2) * _sign(dice), dice.log_between(0.6, 3) * _sign(dice)
    first = torch.cat([wide[:, 0], 0.4 * dice.normals(1), aside[:, None]], 1)
    second = torch.cat([0 * wide[:, 0], high[:, 0], above[:, None]], 1)
    places = functional.affine_grid(torch.stack([first, second], 1), [dice.count, 1, *field.shape[1:]], False)
    aside_too = torch.stack([rough, 0 * rough], -1) * dice.between(0.1, 0.5)[..., None]
    return functional.grid_sample(blurred[:, None], places + aside_too, align_corners=False)[:, 0]


def _sign(dice: Dice) -> Tensor:
    return 1 - 2 * dice.happens(0.5)


def _machined(dice: Dice, mirror: Tensor) -> Tensor:
    """Scratches, feed marks of the hob in slanted, bowed rows, and the grain of the casting."""
    depth = dice.amount(0.5) * dice.happens(0.7)
    scratches = depth * one_of(dice, *SCRATCHES)
    hob_marks = _hob_marks(dice)
    grain = 0.5 * dice.amount(0.35) * noise(dice, 100, 120)
    return mirror * torch.exp(scratches + hob_marks + grain)[:, None]


def _hob_marks(dice: Dice) -> Tensor:
    """Rows, slanted and bowed, evenly spaced or closing about a place, worn away here and there (own guess)."""
    marks, slant, bow = dice.log_between(*HOB_MARKS), dice.between(-1, 1), dice.between(-0.5, 0.5)
    aside, height = along(dice) - dice.between(), up(dice) - dice.between()
    rows = along(dice) + slant * up(dice) * 0.4 + bow * height**2
    rings = 1.5 * aside**2 + dice.between(-0.6, 0.6) * height**2
    place = torch.where(dice.happens(RINGED) > 0, rings, rows) + 0.01 * noise(dice, 2, 3)
    depth = dice.log_between(0.05, 0.6) * dice.happens(0.5)
    return torch.sin(2 * math.pi * marks * place) * depth * soft_step(noise(dice, 2, 3), 2)


def _tarnished(dice: Dice, metal: Metal, mirror: Tensor) -> Tensor:
    """Blotches of tarnish: brown, olive, grey or reddish skins that take from the light. Those with a crisp border are
    the metal's own colour, darker and deeper: a crisp red one would be a film of compound to any eye (own guess).
    """
    field, level = one_of(dice, *TARNISHES), dice.between(-0.5, 2)
    crisp = dice.happens(0.25)
    steepness = crisp * dice.log_between(6, 40) + (1 - crisp) * dice.log_between(1.5, 6)
    blotches = soft_step(field - level, steepness) * dice.happens(0.6) * dice.amount(1)
    skin = torch.stack([dice.numbers(0.15, 1), dice.numbers(0.12, 0.95), dice.numbers(0.1, 0.95)], 1)
    deeper = dice.between(0.3, 1)[:, None] * metal.hue ** dice.between(0, 1.5)[:, None]
    skin = torch.where(crisp[:, None] > 0, deeper, skin[:, :, None, None])
    return mirror * (1 - blotches[:, None] * (1 - skin))


def _worn(dice: Dice, mirror: Tensor) -> Tensor:
    """A band along the face that the worm has polished bright or worn dull (common practice; amounts own guess)."""
    middle, slant = dice.between(0.2, 0.8), dice.between(-0.3, 0.3)
    across = (up(dice) - middle - slant * (along(dice) - 0.5)) / dice.between(0.1, 0.35)
    band = torch.exp(-(across**4)) * dice.happens(0.4)
    return mirror * (1 + dice.between(-0.5, 0.9) * band)[:, None]


def film_body(dice: Dice, metal: Metal, pigment: Tensor, light: Light) -> Tensor:
    """Light that a full film scatters back, (count, 3, rows, columns): its pigment's colour in the light that arrives,
    in the depth of the tooth space tinted by the bronze opposite.
    """
    strength = dice.log_between(0.3, 2.2)[:, None]
    tinted = (dice.between(0, 0.8) * metal.pocket)[:, None] * (1 - metal.hue)
    return pigment * light.arriving * strength * (1 - tinted)
