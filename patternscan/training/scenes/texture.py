"""Random fields that cling to things: noise looked up at places of a surface, and the light from all directions."""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice

SIZE, KINDS, OCTAVES = 256, 4, 6
"""Side of the noise, how many independent ones a scene has, and octaves."""


@dataclass(frozen=True, slots=True, eq=False)
class Noise:
    """Fields (n, KINDS, SIZE, SIZE) of about mean 0 and spread 1, mirrored on at their borders."""

    fields: Tensor

    def at(self, x: Tensor, y: Tensor) -> Tensor:
        """All kinds, (n, KINDS, m), at places (n, m); the field's side is 1."""
        grid = torch.stack([_folded(x), _folded(y)], -1)[:, None]
        return functional.grid_sample(self.fields, grid, align_corners=False)[:, :, 0]


def _folded(place: Tensor) -> Tensor:
    """Back and forth between -1 and 1, once each in 2."""
    return 2 * (torch.remainder(place, 2) - 1).abs() - 1


def draw_noise(dice: Dice) -> Noise:
    """Octaves of smooth noise; how much finer ones count differs from scene to scene."""
    total = torch.zeros(dice.count, KINDS, SIZE, SIZE, device=dice.device)
    gain, power = dice.between(0.45, 0.85)[..., None], torch.zeros((), device=dice.device)
    for octave in range(OCTAVES):
        side = 4 * 2**octave
        field = functional.interpolate(dice.normals(KINDS, side, side), size=(SIZE, SIZE), mode="bicubic")
        total = total + gain**octave * field
        power = power + gain ** (2 * octave)
    return Noise(total / power.sqrt() * 1.2)


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """Light from all directions: a ``sky`` brighter one way, lamps in ``directions`` (n, lamps, 3) with ``colours``
    (n, lamps, 3) and ``sharpness`` (n, lamps, 1), ``patches`` of brightness (n, 1, 1), and things seen in ``noise``.
    """

    noise: Noise
    sky: Tensor
    colour: Tensor
    directions: Tensor
    colours: Tensor
    sharpness: Tensor
    patches: Tensor

    def light(self, direction: Tensor, roughness: Tensor) -> Tensor:
        """Light (n, m, 3) from directions (n, m, 3), blurred by a mirror's roughness (n, 1, 1)."""
        seen = self.noise.at(torch.atan2(direction[..., 0], -direction[..., 1]) / 2, direction[..., 2] / 2)
        bright = torch.exp(self.patches * (seen[:, 3] * (1 - roughness[..., 0]))[..., None])
        slope = 1 + 0.8 * (direction @ self.sky[..., None])
        base = self.colour * slope * bright
        cosine = direction @ self.directions.transpose(1, 2)
        sharpness = self.sharpness.transpose(1, 2) / (1 + self.sharpness.transpose(1, 2) * roughness**2)
        image = torch.exp((cosine - 1) * sharpness) * (0.3 + sharpness / 10)
        return base + image @ self.colours

    def arriving(self, normal: Tensor) -> Tensor:
        """Light (n, m, 3) that falls on surfaces with these normals (Lambert)."""
        base = self.colour * (1 + 0.5 * (normal @ self.sky[..., None]))
        return base + (normal @ self.directions.transpose(1, 2) + 0.15).clamp(min=0) @ self.colours


def draw_surroundings(dice: Dice, noise: Noise, toward_camera: Tensor) -> Surroundings:
    """A room with one to four lamps or windows, the first of them often a torch beside the camera (own guess)."""
    lamps = 4
    sky = functional.normalize(dice.normals(3) + 0.5 * toward_camera, dim=1)
    spread = torch.cat([dice.between(0.1, 1.2), *[dice.between(0.5, 2.0)] * (lamps - 1)], 1)
    directions = functional.normalize(toward_camera[:, None] + spread * dice.normals(lamps, 3), dim=-1)
    there = torch.cat([dice.happens(share) for share in (0.9, 0.7, 0.4, 0.3)], 1)
    strength = there * torch.cat([dice.log_between(0.15, 4) for _ in range(lamps)], 1)
    tint = torch.exp(0.15 * dice.normals(lamps, 1) * torch.tensor([1.0, 0.0, -1.3], device=dice.device))
    sharpness = torch.cat([dice.log_between(2, 120) for _ in range(lamps)], 1)
    colour = dice.log_between(0.05, 0.6) * torch.exp(0.1 * dice.normals(1, 3))
    return Surroundings(
        noise,
        sky,
        colour,
        directions,
        strength * tint,
        sharpness,
        dice.between(0, 1.3),
    )


def log_number(dice: Dice, low: float, high: float) -> Tensor:
    """Between two numbers, each doubling as likely as the next, (count, 1)."""
    return torch.exp(dice.numbers(math.log(low), math.log(high)))[:, None]
