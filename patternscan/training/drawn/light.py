"""How the camera sees the drawn flanks, and what light falls on them and mirrors in them.

Directions are unit vectors (count, 3) or fields (count, 3, rows, columns) in the wheel's frame; light is linear.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.fields import Grain, noise, one_of, soft_step, warped
from patternscan.training.drawn.pattern import Pattern

LAMPS = (1, 0.7, 0.4, 0.25)
"""How often the first, second and further lamps, windows or hot spots are there (own guess)."""
BUMPS = (Grain(6, 8, 3, 0.6), Grain(40, 3, 2, 0.7), Grain(20, 20, 3, 0.7))
SURROUNDINGS = (Grain(2, 2, 2, 0.5), Grain(3, 4, 2, 0.5), Grain(4, 2, 2, 0.5), Grain(6, 3, 3, 0.5))
GLOSSES = (Grain(2, 2, 2, 0.5), Grain(4, 4, 3, 0.6), Grain(10, 4, 3, 0.7), Grain(20, 20, 3, 0.8))
THINGS, RINGS = 0.35, 0.08
"""Shares of flanks that mirror something of another colour, and that throw rings of light (own guess)."""
FILM_MIRRORS = 0.045
"""Share of light that a wet film mirrors head-on: Fresnel's formula for oil of refractive index 1.5 gives 0.04."""


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """Fields (count, 3, rows, columns): the flank's ``normals`` with waviness, and ``mirrored``, where a look goes that
    the flank mirrors. Directions (count, 3): ``square`` to the flank, ``camera`` from the flank.
    """

    normals: Tensor
    mirrored: Tensor
    square: Tensor
    camera: Tensor


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """``mirrored``, what a perfect mirror would show, and ``arriving``, what a white wall in the flank's place would
    show: (count, 3, rows, columns). ``colour`` (count, 3, 1, 1) of the light as a whole, not yet in them.
    """

    mirrored: Tensor
    arriving: Tensor
    colour: Tensor


def draw_view(dice: Dice, pattern: Pattern) -> View:
    """A hand-held camera 3 to 15 face widths off, square to steeply oblique (own guess)."""
    square = functional.normalize(pattern.normals.mean((2, 3)), dim=1)
    distance = dice.numbers(3, 15)
    camera = _near(dice, square, dice.numbers(0.2, 0.75)[:, None])
    position = pattern.points.mean((2, 3)) + camera * distance[:, None]
    toward_camera = functional.normalize(position[:, :, None, None] - pattern.points, dim=1)
    normals = _wavy(dice, pattern.normals)
    mirrored = 2 * (toward_camera * normals).sum(1, keepdim=True) * normals - toward_camera
    return View(normals, mirrored, square, camera)


def _near(dice: Dice, direction: Tensor, spread: Tensor | float) -> Tensor:
    """A direction scattered about another one."""
    return functional.normalize(direction + dice.normals(3) * spread, dim=1)


def _wavy(dice: Dice, normals: Tensor) -> Tensor:
    """Normals with the waviness of a hobbed and worn surface, and with the bow that an unknown flank form may have."""
    fine = dice.log_between(0.002, 0.06)[:, None] * torch.stack([one_of(dice, *BUMPS) for _ in range(3)], 1)
    coarse = dice.between(0, 0.15)[:, None] * torch.stack([noise(dice, 2, 3) for _ in range(3)], 1)
    return functional.normalize(normals + fine + coarse, dim=1)


def lamp_colour(dice: Dice, spread: float) -> Tensor:
    """Gain of red, green and blue (count, 3, 1, 1) along the row from tungsten to blue sky, where blue falls a third
    faster than red rises (black bodies, from memory), with a little green and magenta cast.
    """
    warmth = dice.normals()
    red, blue = warmth + 0.35 * dice.normals(), -1.3 * warmth + 0.35 * dice.normals()
    colour = spread * dice.wildness[:, :, 0] * torch.stack([red, 0 * warmth, blue], 1)
    return torch.exp(colour)[:, :, None, None]


def _general_colour(dice: Dice) -> Tensor:
    """Colour of all light together, as the camera's white balance has left it; on the same row, with some cast."""
    warmth = dice.normals() * 0.28
    row = torch.stack([warmth, 0 * warmth, -1.3 * warmth], 1)
    return torch.exp((0.3 + 0.7 * dice.wildness[:, :, 0]) * (row + 0.06 * dice.normals(3)))[:, :, None, None]


def draw_light(dice: Dice, view: View) -> Light:
    """A shaded room, up to four lamps or windows in it, and bright and dark things that the flank mirrors."""
    colour = _general_colour(dice)
    roughness = dice.log_between(0.06, 0.6)
    light = _room(dice, view, colour)
    for number, share in enumerate(LAMPS):
        light = _lamp(dice, view, light, (number, share, roughness))
    things = warped(dice, one_of(dice, *SURROUNDINGS), 0.01, 0.1)
    steepness = dice.log_between(0.6, 8)
    dark = soft_step(things - dice.between(-1, 1), steepness)
    mirrored = light.mirrored * (1 - dice.between(0, 0.85) * dark)[:, None]
    return Light(_rings(dice, _mirrored_things(dice, mirrored)), light.arriving, colour)


def _mirrored_things(dice: Dice, mirrored: Tensor) -> Tensor:
    """The sky, a window, a painted housing or a hand in the mirror: of another colour, its border as soft as machined
    metal mirrors it, and streaky where its marks are deep.
    """
    field = warped(dice, one_of(dice, *SURROUNDINGS, Grain(1, 6, 2, 0.5), Grain(5, 1, 2, 0.5)), 0.01, 0.1)
    field = field + one_of(dice, *BUMPS) * dice.log_between(0.01, 0.5)
    there = soft_step(field - dice.between(-0.5, 2), dice.log_between(2, 12)) * dice.happens(THINGS)
    part = (there * dice.between(0.2, 1))[:, None]
    colour = lamp_colour(dice, 0.5) * torch.exp(0.15 * dice.normals(3, 1, 1)) * dice.log_between(0.3, 4)[:, None]
    return mirrored * (1 - part) + part * colour * mirrored.mean((1, 2, 3), keepdim=True)


def _rings(dice: Dice, mirrored: Tensor) -> Tensor:
    """Bands of light that a wavy surface gathers, like contour lines (amounts own guess)."""
    waves = torch.sin(2 * math.pi * dice.between(0.5, 4) * noise(dice, 2, 2)) * dice.between(0, 0.8)
    return mirrored * torch.exp(waves * dice.happens(RINGS))[:, None]


def _room(dice: Dice, view: View, colour: Tensor) -> Light:
    """Light from all round, stronger from one side; a matt surface sees two thirds of that unevenness (Lambert)."""
    strength = dice.log_between(0.05, 1)
    sky = functional.normalize(dice.normals(3), dim=1)
    unevenness = dice.numbers(0, 0.9)[:, None, None]
    mirrored = strength * (1 + unevenness * _along(view.mirrored, sky))
    arriving = strength * (1 + 0.66 * unevenness * _along(view.normals, sky))
    mirrored = mirrored[:, None] * lamp_colour(dice, 0.15)
    cast = mirrored.mean((2, 3), keepdim=True) / mirrored.mean((1, 2, 3))[:, None, None, None]
    return Light(mirrored, arriving[:, None] * cast, colour)


def _lamp(dice: Dice, view: View, light: Light, which: tuple[int, float, Tensor]) -> Light:
    """The light with one more lamp: its image in the flank is widened by the roughness and as much dimmer, its light
    falls off with the cosine (Lambert), softened by its size. The first stands near the camera, as a torch does.
    """
    number, share, roughness = which
    there = (dice.numbers() < share).float()
    from_where = _near(dice, view.square, 0.35) * 0.9 if number else view.camera
    direction = _near(dice, from_where, dice.numbers(0.2, 1.2)[:, None])
    area = dice.log_between(0.06, 0.8) ** 2
    strength = dice.log_between(0.1, 3) * there[:, None, None]
    spread = area + roughness**2
    image = torch.exp((_along(view.mirrored, direction) - 1) / spread) * (area / spread) * 3
    colour = lamp_colour(dice, 0.12)
    mirrored = light.mirrored + (strength * image)[:, None] * colour
    facing = (_along(view.normals, direction) + 0.2).clamp(min=0) / 1.2
    arriving = light.arriving + (strength * area.clamp(max=0.5) * 2 * facing)[:, None] * colour
    return Light(mirrored, arriving, light.colour)


def _along(field: Tensor, direction: Tensor) -> Tensor:
    """Cosine between a field of unit vectors and a direction, (count, rows, columns)."""
    return (field * direction[:, :, None, None]).sum(1)


def film_gloss(dice: Dice, light: Light, thickness: Tensor) -> Tensor:
    """Light that the film's own surface mirrors: unevenly wet, from nearly dry to oily and looked at along the surface,
    where Fresnel's formula gives several times as much as head-on; one side of each ridge of the brush catches more of
    it than the other (amounts own guess).
    """
    wetness = warped(dice, one_of(dice, *GLOSSES), 0.01, 0.1)
    strength = FILM_MIRRORS * dice.log_between(0.05, 4)[:, None]
    ridges = (thickness - thickness.roll(2, 1)).clamp(-0.5, 0.5) * dice.between(-3, 3) * dice.happens(0.5)
    uneven = torch.exp(dice.between(0, 1.2) * wetness + ridges)[:, None]
    gloss = strength * (light.mirrored * uneven) * lamp_colour(dice, 0.2)
    return gloss * (1 - torch.exp(-3 * thickness))[:, None]
