"""The light that drawn wheels and the things round them send to the camera, linear."""

from __future__ import annotations

from dataclasses import dataclass, replace

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.scenes.compound import Compound
from patternscan.training.scenes.texture import Noise, Surroundings
from patternscan.training.scenes.things import Port, Seen
from patternscan.training.scenes.view import View
from patternscan.training.scenes.wheel_solid import Meeting, Part, Solid, meet, normals

BOUNCE_STEPS, SHADOW_STEPS = 14, 12
"""Steps of a mirrored ray and of one toward a lamp: less exact than the camera's."""
BRONZE, WORN = 0.8, 0.5
"""Share of wheels of bronze or brass, the others are grey; and of those whose flanks carry an old band of wear."""


@dataclass(frozen=True, slots=True, eq=False)
class Metal:
    """``alloy`` (n, 3) of the rim and what the ``hub`` scatters (n, 3), linear; ``rough`` (n, 1, 1); of the surface:
    scatter, waviness, tarnish, streaks, darkness of the tooth spaces, brightness of the lands (n, 6); ``turning``
    (n, 2): how fine its marks are along the face and across. ``band`` (n, 4): along, half length, up and half height of
    the old wear on every flank, which changes what the metal reflects by ``worn`` (n, 3).
    """

    alloy: Tensor
    hub: Tensor
    rough: Tensor
    surface: Tensor
    turning: Tensor
    band: Tensor
    worn: Tensor


def draw_metal(dice: Dice) -> Metal:
    """From red bronze over brass to steel and cast iron, polished to dull (own guess of the range)."""
    red = dice.numbers(0.35, 0.9)
    bronze = (dice.numbers() < BRONZE).float()
    green = bronze * dice.numbers(0.5, 0.85) + (1 - bronze) * dice.numbers(0.85, 1)
    blue = bronze * dice.numbers(0.3, 0.8) + (1 - bronze) * dice.numbers(0.85, 1.05)
    alloy = torch.stack([red, red * green, red * green * blue], 1)
    painted = dice.numbers(0.05, 0.7)[:, None] * (1 + 0.7 * dice.happens(0.6)[:, 0] * dice.normals(3)).clamp(0.1, 2.5)
    surface = torch.cat(
        [
            dice.log_between(0.02, 0.5)[:, 0],
            dice.log_between(0.004, 0.12)[:, 0],
            dice.between(0, 0.8)[:, 0] * dice.happens(0.6)[:, 0],
            dice.between(0, 0.35)[:, 0],
            dice.between(0.0, 0.9)[:, 0],
            dice.log_between(0.5, 1.8)[:, 0],
        ],
        1,
    )
    turning = torch.cat([dice.log_between(0.3, 3)[:, 0], dice.log_between(1.5, 12)[:, 0]], 1)
    hub = torch.where(dice.happens(0.6)[:, 0] > 0, painted.clamp(max=0.9), alloy * 0.6)
    worn = torch.exp(dice.happens(WORN)[:, 0] * (0.35 * dice.normals(1) + 0.2 * dice.normals(3)))
    return Metal(alloy, hub, dice.between(0.05, 0.6), surface, turning, _draw_band(dice), worn)


def _draw_band(dice: Dice) -> Tensor:
    """Metal.band: where the worm ran before."""
    places, sizes = (dice.between(0, 1)[:, 0] for _ in range(2)), (dice.log_between(0.1, 0.8)[:, 0] for _ in range(2))
    return torch.cat([field for pair in zip(places, sizes, strict=True) for field in pair], 1)


def surface_places(meeting: Meeting, solid: Solid) -> tuple[Tensor, Tensor]:
    """Two numbers (n, m) that run over the wheel's surface: along the face and across it, in faces."""
    flank = (meeting.part == Part.FLANK) | (meeting.part == Part.BACK_FLANK)
    end = meeting.part == Part.END_FACE
    face = 2 * solid.wheels.half_face
    round_ = torch.atan2(meeting.place[..., 0], -meeting.place[..., 1]) * solid.wheels.radius / face
    x = torch.where(end, meeting.place[..., 0] / face, meeting.along)
    y = torch.where(flank, 0.4 * meeting.up + 0.617 * meeting.tooth, round_)
    return x, torch.where(end, meeting.place[..., 1] / face, y)


@dataclass(frozen=True, slots=True, eq=False)
class Workpiece:
    """All that a wheel's look depends on."""

    solid: Solid
    metal: Metal
    compound: Compound
    noise: Noise
    light: Surroundings

    def wear(self, meeting: Meeting, ragged: Tensor) -> Tensor:
        """What the old band of wear makes of the metal's colour, (n, m, 3), its border ``ragged`` (n, m)."""
        along, length, up, height = self.metal.band[..., None].unbind(1)
        inside = 1 - ((meeting.along - along) / length) ** 2 - ((meeting.up - up) / height) ** 2
        flank = (meeting.part == Part.FLANK) | (meeting.part == Part.BACK_FLANK)
        there = torch.sigmoid(6 * (inside + 0.3 * ragged)) * flank
        return 1 + there[..., None] * (self.metal.worn[:, None] - 1)

    def sent(self, meeting: Meeting, normal: Tensor, mirrored: Tensor, shadow: Tensor) -> Tensor:
        """Light (n, m, 3) sent from places that mirror ``mirrored`` (n, m, 3); ``shadow`` (n, m) is 1 in full light."""
        metal, (x, y) = self.metal, surface_places(meeting, self.solid)
        scatter, _, tarnish, streaks, depth, land = metal.surface[..., None].unbind(1)
        marks = self.noise.at(metal.turning[:, :1] * x, metal.turning[:, 1:] * y)
        blotch = torch.sigmoid(4 * (self.noise.at(0.7 * x, 0.7 * y)[:, 1] - 0.3))
        bright = torch.exp(streaks * marks[:, 0]) * (1 - tarnish * blotch)
        bright = bright * torch.where(meeting.part == Part.TIP_LAND, land, 1.0)
        deep = torch.where(meeting.part == Part.ROOT, 0.0, meeting.up.clamp(0, 1))
        deep = torch.where((meeting.part == Part.TIP_LAND) | (meeting.part == Part.END_FACE), 1.0, deep)
        open_ = (1 - depth * (1 - deep) ** 1.5)[..., None]
        arriving = self.light.arriving(normal) * open_ * (0.35 + 0.65 * shadow)[..., None]
        alloy = metal.alloy[:, None] * bright[..., None] * self.wear(meeting, marks[:, 3])
        bare = alloy * (mirrored * (0.4 + 0.6 * open_) + scatter[..., None] * arriving)
        hub = meeting.place[..., :2].norm(dim=-1) < 0.98 * self.solid.web
        bare = torch.where(hub[..., None], metal.hub[:, None] * bright[..., None] * arriving, bare)
        film = self.compound.thickness(meeting, self.noise)[..., None]
        body = self.compound.pigment[:, None] * arriving + 0.04 * mirrored * (
            1 + 2 * marks[:, 2:3].transpose(1, 2).abs()
        )
        return bare + (1 - torch.exp(-2.5 * film)) * (body - bare)


def draw_light_of_wheel(work: Workpiece, meeting: Meeting, rays: Tensor) -> Tensor:
    """Light (n, m, 3) that the wheel sends to the camera, one reflection deep."""
    normal = normals(work.solid, meeting.place)
    x, y = surface_places(meeting, work.solid)
    waves = work.noise.at(work.metal.turning[:, :1] * x + 7, work.metal.turning[:, 1:] * y)
    wavy = work.metal.surface[:, 1, None, None] * waves[:, :3].transpose(1, 2)
    normal = functional.normalize(normal + wavy, dim=-1)
    mirror = rays - 2 * (rays * normal).sum(-1, keepdim=True) * normal
    start = meeting.place + 0.06 * normal
    pixel = torch.full_like(work.solid.web, 0.01)
    other = meet(work.solid, start, mirror, pixel, BOUNCE_STEPS)
    outside = work.light.light(mirror, work.metal.rough)
    there = normals(work.solid, other.place)
    again = mirror - 2 * (mirror * there).sum(-1, keepdim=True) * there
    beside = work.sent(other, there, 0.7 * work.light.light(again, work.metal.rough.clamp(min=0.4)), torch.ones_like(x))
    mirrored = torch.where(torch.isinf(other.depth)[..., None], outside, beside)
    lamp = work.light.directions[:, 1][:, None].expand_as(rays)
    shade = meet(work.solid, start, lamp, pixel, SHADOW_STEPS).depth
    return work.sent(meeting, normal, mirrored, torch.isinf(shade).float())


def light_of_things(seen: Seen, rays: Tensor, light: Surroundings, noise: Noise) -> Tensor:
    """Light (n, m, 3) that the things round the wheel send to the camera."""
    marks, fine = noise.at(seen.x, seen.y)[:, 0], noise.at(4 * seen.x, 4 * seen.y)[:, 1]
    grain = torch.exp(seen.grain * (0.6 * marks + 0.4 * fine))[..., None]
    arriving = light.arriving(seen.normal)
    mirror = rays - 2 * (rays * seen.normal).sum(-1, keepdim=True) * seen.normal
    shine = light.light(mirror, torch.full_like(light.patches, 0.4))
    return seen.colour * grain * (arriving * (1 - seen.mirror) + seen.mirror * shine) + 0.03 * shine


def darkened(light: Surroundings, port: Port, dark: Tensor) -> Surroundings:
    """What is left of the light behind the port: that of the torch beside the camera, and little else."""
    left = torch.where(port.there > 0, dark, 1.0)
    lamps = torch.cat([left.clamp(min=0.15), *[left] * (light.colours.shape[1] - 1)], 1)
    return replace(light, colour=light.colour * left[..., None], colours=light.colours * lamps[..., None])


def visible(view: View, meeting: Meeting, things: Seen) -> Tensor:
    """1 where the camera sees the wheel and no thing before it, (n, m)."""
    return ((meeting.depth < things.depth) & (view.photo.flatten(1) > 0)).float()
