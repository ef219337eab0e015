"""What stands round the drawn wheel and before it: walls of a housing, bench, blocks, fingers and rags, a port."""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.scenes.view import View
from patternscan.training.scenes.wheel_pool import Wheels

Paint = tuple[Tensor, Tensor]
BLOCKS, LUMPS = 5, 3
"""Loose blocks and lumps of a scene, besides two walls and a bench."""
PORT, HOUSING, BENCH, LUMP = 0.3, 0.45, 0.6, 0.22
"""Share of scenes with a port before the wheel, with walls beside it, with a bench under it, with each lump before it
(own guess)."""
FAR = 60.0


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What rays (n, m) meet first of the things: depth, unit ``normal`` (n, m, 3), ``colour`` (n, m, 3) that scatters
    light, ``mirror`` (n, m, 1) that reflects it, ``grain`` (n, m) of its surface, two numbers that run over the
    surface (n, m).
    """

    depth: Tensor
    normal: Tensor
    colour: Tensor
    mirror: Tensor
    grain: Tensor
    x: Tensor
    y: Tensor

    def before(self, other: Seen) -> Seen:
        """Itself where it is nearer, the other elsewhere."""
        near = self.depth < other.depth
        return Seen(
            torch.where(near, self.depth, other.depth),
            torch.where(near[..., None], self.normal, other.normal),
            torch.where(near[..., None], self.colour, other.colour),
            torch.where(near[..., None], self.mirror, other.mirror),
            torch.where(near, self.grain, other.grain),
            torch.where(near, self.x, other.x),
            torch.where(near, self.y, other.y),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """A cuboid, or an ellipsoid when ``round_``: centre (n, 3), its own axes (n, 3, 3), half sizes (n, 3), colour
    (n, 3), mirror (n, 1).
    """

    centre: Tensor
    axes: Tensor
    half: Tensor
    colour: Tensor
    mirror: Tensor
    round_: bool = False

    def seen(self, eye: Tensor, rays: Tensor) -> Seen:
        """How rays (n, m, 3) from eyes (n, 3) see it."""
        start = ((eye - self.centre)[:, None] @ self.axes.transpose(1, 2)) / self.half[:, None]
        way = (rays @ self.axes.transpose(1, 2)) / self.half[:, None]
        depth, normal = _ball(start, way) if self.round_ else _cube(start, way)
        place = start + depth[..., None].clamp(max=1e6) * way
        outward = functional.normalize((normal / self.half[:, None]) @ self.axes, dim=-1)
        length = place * self.half[:, None]
        shape = (*rays.shape[:2], -1)
        x, y = length[..., 0] + 0.6 * length[..., 2], length[..., 1] + 0.7 * length[..., 2]
        grain = 0.5 * self.colour[:, 1:2].expand_as(depth) ** 2
        colour, mirror = (field[:, None].expand(shape) for field in (self.colour, self.mirror))
        return Seen(depth, outward, colour, mirror, grain, x / 12, y / 12)


def _cube(start: Tensor, way: Tensor) -> tuple[Tensor, Tensor]:
    """Depth and own normal of a unit cube, half side 1."""
    slope = torch.where(way.abs() < 1e-7, 1e-7, way)
    near, far = (-slope.sign() - start) / slope, (slope.sign() - start) / slope
    first, face = near.max(-1)
    met = (first < far.amin(-1)) & (first > 0)
    normal = functional.one_hot(face, 3) * -slope.sign()
    return torch.where(met, first, torch.inf), normal


def _ball(start: Tensor, way: Tensor) -> tuple[Tensor, Tensor]:
    """Depth and own normal of a unit ball."""
    flat, middle = (way**2).sum(-1), (way * start).sum(-1)
    square = middle**2 - flat * ((start**2).sum(-1) - 1)
    first = (-middle - square.clamp(min=0).sqrt()) / flat
    depth = torch.where((square > 0) & (first > 0), first, torch.inf)
    return depth, start + depth[..., None].clamp(max=1e6) * way


def _paint(dice: Dice) -> Paint:
    """Colours (n, 3) and mirrors (n, 1): machine paint, wood, cloth, cast iron, steel (own guess)."""
    grey = dice.numbers(0.03, 0.75)[:, None]
    vivid = dice.between(0, 0.9)[:, 0] * dice.happens(0.55)[:, 0]
    colour = grey * (1 + vivid * 1.4 * dice.normals(3)).clamp(0.08, 3)
    return colour.clamp(max=0.95), 0.6 * dice.happens(0.25)[:, 0] * dice.between()[:, 0]


def _upright(dice: Dice) -> Tensor:
    """Axes (n, 3, 3) of the wheel's own frame."""
    return torch.eye(3, device=dice.device).expand(dice.count, 3, 3)


def _any_way(dice: Dice) -> Tensor:
    """Axes (n, 3, 3) turned anyhow."""
    return torch.linalg.qr(dice.normals(3, 3))[0]


def _away(there: Tensor, centre: Tensor) -> Tensor:
    """The centre where the thing is there, out of sight elsewhere."""
    return torch.where(there > 0, centre, torch.full_like(centre, 1e5))


def draw_things(dice: Dice, wheels: Wheels, view: View) -> list[Block]:
    """Walls beside the wheel, a bench under it, blocks behind it, fingers and rags before it."""
    return [*_walls(dice, wheels), _bench(dice, wheels), *_blocks(dice, wheels, view), *_lumps(dice, wheels, view)]


def _walls(dice: Dice, wheels: Wheels) -> list[Block]:
    """The open housing's two walls, each with a flange; their upper edge about at the teeth in view."""
    there, colours = dice.happens(HOUSING)[:, 0], (_paint(dice), _paint(dice))
    return [block for side in (-1, 1) for block in _wall(dice, wheels, side, there, colours)]


def _wall(dice: Dice, wheels: Wheels, side: int, there: Tensor, colours: tuple[Paint, Paint]) -> list[Block]:
    """The wall beside one end face, and the flange on it."""
    zero = torch.zeros_like(there)
    gap, thick = wheels.half_face + dice.between(0.5, 7)[:, 0], dice.between(0.4, 6)[:, 0]
    edge = -wheels.radius + dice.between(-7, 9)[:, 0]
    flange, deep = thick * dice.between(1.0, 2.5)[:, 0], dice.between(0.2, 1.5)[:, 0]
    centres = torch.cat([zero, edge + FAR, side * (gap + thick)], 1), torch.cat([zero, edge, side * (gap + flange)], 1)
    halves = torch.cat([zero + FAR, zero + FAR, thick], 1), torch.cat([zero + FAR, deep, flange], 1)
    return [
        Block(_away(there, centre), _upright(dice), half, *paint)
        for centre, half, paint in zip(centres, halves, colours, strict=True)
    ]


def _bench(dice: Dice, wheels: Wheels) -> Block:
    """A bench on which the wheel lies on its end face, or a floor behind the wheel."""
    colour, mirror = _paint(dice)
    zero, lying = torch.zeros(dice.count, 1, device=dice.device), dice.happens(0.5)[:, 0]
    side = 2 * dice.happens(0.5)[:, 0] - 1
    below = side * (1.02 * torch.maximum(wheels.half_face, zero + 3) + FAR + dice.between(0, 8)[:, 0])
    behind = dice.between(0.1, 1.2)[:, 0] * wheels.radius + FAR
    centre = lying * torch.cat([zero, zero, below], 1) + (1 - lying) * torch.cat([zero, behind, zero], 1)
    half = lying * torch.cat([zero + 300, zero + 300, zero + FAR], 1)
    half = half + (1 - lying) * torch.cat([zero + 300, zero + FAR, zero + 300], 1)
    return Block(_away(dice.happens(BENCH)[:, 0], centre), _upright(dice), half, colour, mirror)


def _blocks(dice: Dice, wheels: Wheels, view: View) -> list[Block]:
    """Cuboids and round things behind the teeth in view and beside the wheel."""
    blocks = []
    for number in range(BLOCKS):
        aside = dice.normals(3) * wheels.radius * 0.8
        back = view.axes[:, 2] * dice.between(0.4, 2.5)[:, 0] * wheels.radius
        half = wheels.radius * torch.cat([dice.log_between(0.04, 0.8)[:, 0] for _ in range(3)], 1)
        colour, mirror = _paint(dice)
        blocks.append(Block(view.aim + back + aside, _any_way(dice), half, colour, mirror, round_=number >= BLOCKS - 2))
    return blocks


def _lumps(dice: Dice, wheels: Wheels, view: View) -> list[Block]:
    """Fingers, rags and tools between the camera and the wheel, beside the flank's middle."""
    lumps = []
    for _ in range(LUMPS):
        nearer = dice.between(0.05, 0.5)[:, 0]
        way = torch.rand(dice.count, 1, device=dice.device, generator=dice.generator) * 2 * torch.pi
        off = wheels.half_face * dice.between(0.7, 3)[:, 0]
        sideways = torch.cos(way) * view.axes[:, 0] + torch.sin(way) * view.axes[:, 1]
        centre = view.aim + nearer * (view.eye - view.aim) + off * sideways * (1 - nearer)
        half = wheels.half_face * torch.cat([dice.log_between(0.1, 1.0)[:, 0] for _ in range(3)], 1)
        colour, mirror = _paint(dice)
        skin = torch.tensor([[0.55, 0.32, 0.22]], device=dice.device) * dice.between(0.3, 1.3)[:, 0]
        colour = torch.where(dice.happens(0.4)[:, 0] > 0, skin, colour)
        there = dice.happens(LUMP)[:, 0]
        lumps.append(Block(_away(there, centre), _any_way(dice), half, colour, mirror * 0, round_=True))
    return lumps


@dataclass(frozen=True, slots=True, eq=False)
class Port:
    """A plate with a hole between camera and wheel: its ``axes`` (n, 3, 3), a point in the hole (n, 3), half sizes of
    the hole (n, 2), how square it is, the plate's thickness, whether it is there, all (n, 1), colour and mirror.
    """

    axes: Tensor
    middle: Tensor
    half: Tensor
    square: Tensor
    thick: Tensor
    there: Tensor
    colour: Tensor
    mirror: Tensor

    def seen(self, eye: Tensor, rays: Tensor) -> Seen:
        """How rays (n, m, 3) from eyes (n, 3) see it."""
        start, way = (eye - self.middle)[:, None] @ self.axes.transpose(1, 2), rays @ self.axes.transpose(1, 2)
        slope = torch.where(way[..., 2].abs() < 1e-6, 1e-6, way[..., 2])
        faces = []
        for deep in (torch.zeros_like(self.thick), self.thick):
            depth = (deep - start[..., 2]) / slope
            place = start[..., :2] + depth[..., None] * way[..., :2]
            across = (place.abs() / self.half[:, None]).clamp(1e-6, 1e3) ** self.square[..., None]
            faces.append((depth, place, across.sum(-1) > 1))
        (front, place, plate), (back, _, wall) = faces
        depth = torch.where(plate, front, torch.where(wall, back, torch.inf))
        depth = torch.where((self.there > 0) & (depth > 0), depth, torch.inf)
        facing = -self.axes[:, 2][:, None].expand_as(rays)
        inward = functional.normalize(-place / self.half[:, None], dim=-1)
        inside = inward[..., :1] * self.axes[:, 0][:, None] + inward[..., 1:] * self.axes[:, 1][:, None]
        normal = torch.where(plate[..., None], facing, inside)
        dim = torch.where(plate[..., None], 1.0, 0.35)
        shape = (*rays.shape[:2], -1)
        x, y = place[..., 0] / 15, place[..., 1] / 40
        grain = 0.5 * self.colour[:, 1:2].expand_as(depth) ** 2
        colour = (self.colour[:, None] * dim).expand(shape)
        return Seen(depth, normal, colour, self.mirror[:, None].expand(shape), grain, x, y)


def draw_port(dice: Dice, wheels: Wheels, view: View) -> Port:
    """The inspection port of a closed housing; it may hide parts of the flank (own guess of sizes)."""
    tilt = 0.25 * dice.normals(3)
    forward = functional.normalize(view.axes[:, 2] + tilt, dim=1)
    right = functional.normalize(torch.linalg.cross(view.axes[:, 1] + 0.15 * dice.normals(3), forward), dim=1)
    axes = torch.stack([right, torch.linalg.cross(forward, right), forward], 1)
    nearer = dice.between(0.1, 0.5)[:, 0]
    aside = wheels.half_face * 0.35 * dice.normals(3)
    middle = view.aim + nearer * (view.eye - view.aim) + aside
    half = torch.cat([dice.between(0.75, 2.2)[:, 0], dice.between(0.35, 1.8)[:, 0]], 1) * wheels.half_face
    colour, mirror = _paint(dice)
    square, thick = dice.log_between(2, 40)[:, 0], dice.between(0.1, 4)[:, 0]
    return Port(axes, middle, half, square, thick, dice.happens(PORT)[:, 0], colour, mirror * 0.5)
