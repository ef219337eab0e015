"""The drawn wheel as a solid: how far a place is from its surface, and where a ray meets it.

Places are (n, m, 3) in modules in the wheel's frame of ``gearing.pair``.
Source of the way of looking: J. C. Hart, Sphere tracing, The Visual Computer 12, 1996 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.scenes.wheel_pool import LOWEST, Wheels

FLOOR = (0.15, 0.35)
"""Depth of the tooth space below the root edge, in modules: about the standard clearance (own guess)."""
FILLET_SPREAD = 0.12
"""The hob's rounded tips leave a fillet from the root edge down: spread of the logarithm of its radius over that depth,
about that of a fillet which begins just at the edge (own guess)."""
STEEP, STRIDE = 0.85, 0.8
"""What a flank's slant takes from the distance to it at most, and the part of a distance that is stepped at once."""
STEPS, MISS = 44, 4.0
"""Steps of a ray, and how many pixels' widths from the surface it may end and still count as a hit."""
BOLTS = 8


class Part(IntEnum):
    """What of the wheel a ray meets."""

    NOTHING = 0
    FLANK = 1
    BACK_FLANK = 2
    TIP_LAND = 3
    ROOT = 4
    END_FACE = 5


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """A wheel with its web and hub, each (n, 1): where the web begins, half its thickness, radius and half length of
    the hub, radius of the bolts' circle and of a bolt; depth of the tooth spaces below the root edge, and radius of the
    fillet there.
    """

    wheels: Wheels
    web: Tensor
    half_web: Tensor
    hub: Tensor
    half_hub: Tensor
    bolt_circle: Tensor
    bolt: Tensor
    floor: Tensor
    fillet: Tensor


@dataclass(frozen=True, slots=True, eq=False)
class Meeting:
    """Where rays meet the wheel, all (n, m) but the place (n, m, 3): depth (infinite for none), part, which tooth, and
    the place's ``along`` (0 at end A) and ``up`` (0 at the root edge) as on a flank.
    """

    depth: Tensor
    place: Tensor
    part: Tensor
    tooth: Tensor
    along: Tensor
    up: Tensor


def draw_solid(dice: Dice, wheels: Wheels) -> Solid:
    """A rim on a web of any shape (own guess)."""
    web = (wheels.radius - 1.2) * dice.between(0.75, 0.97)[:, 0]
    hub = web * dice.between(0.3, 0.85)[:, 0]
    half_web, half_hub = (wheels.half_face * dice.between(0.1, high)[:, 0] for high in (1.0, 1.2))
    floor = dice.log_between(*FLOOR)[:, 0]
    fillet = floor * torch.exp(FILLET_SPREAD * dice.normals(1))
    bolt_circle, bolt = (web + hub) / 2, dice.between(0.2, 1.0)[:, 0]
    return Solid(wheels, web, half_web, hub, half_hub, bolt_circle, bolt, floor, fillet)


def _distance(solid: Solid, place: Tensor) -> Tensor:
    """Distance of places from the wheel, about; negative inside."""
    wheels = solid.wheels
    rho, angle, z = place[..., :2].norm(dim=-1), torch.atan2(place[..., 0], -place[..., 1]), place[..., 2]
    right, left, _, _, root, tip = _tooth(wheels, rho, angle, z)
    within = z.abs() - wheels.half_face
    tooth = torch.maximum(torch.maximum(right, left), rho - tip)
    toothed = _joined(tooth, rho - root + solid.floor, solid.fillet)
    rim = torch.maximum(torch.maximum(toothed, solid.web - rho), within)
    web = torch.maximum(rho - solid.web, z.abs() - solid.half_web)
    hub = torch.maximum(rho - solid.hub, z.abs() - solid.half_hub)
    turn = 2 * torch.pi / BOLTS
    folded = angle - torch.round(angle / turn) * turn
    aside = torch.stack([rho * torch.cos(folded) - solid.bolt_circle, rho * torch.sin(folded)]).norm(dim=0)
    bolts = torch.maximum(aside - solid.bolt, z.abs() - solid.half_web - solid.bolt)
    return torch.minimum(rim, torch.minimum(torch.minimum(web, hub), bolts))


def _joined(one: Tensor, other: Tensor, radius: Tensor) -> Tensor:
    """Distance from two bodies that a fillet of this radius joins, from the distances of both.

    Source: I. Quilez, distance functions and their round unions (from memory).
    """
    inside = torch.stack([radius - one, radius - other]).clamp(min=0).norm(dim=0)
    return torch.maximum(radius, torch.minimum(one, other)) - inside


distance: Callable[[Solid, Tensor], Tensor] = torch.compile(
    _distance, disable=not torch.cuda.is_available(), dynamic=False
)
"""``_distance``, made one piece of code where there is a graphics card: rays ask for it most of the time."""


def _tooth(wheels: Wheels, rho: Tensor, angle: Tensor, z: Tensor) -> tuple[Tensor, ...]:
    """Distances from the right and left flank of the nearest tooth, its number, the height up the flank, and the radii
    of root and tip there.
    """
    root, tip = wheels.root(z), wheels.tip(z)
    up = (rho - root) / (tip - root)
    grid = torch.stack([z / wheels.half_face, 2 * (up - LOWEST) / (1 - LOWEST) - 1], -1)[:, None]
    table = functional.grid_sample(wheels.angles, grid, padding_mode="border", align_corners=True)[:, :, 0]
    tooth = torch.round((angle - table.mean(1)) / wheels.tooth_angle)
    own = angle - tooth * wheels.tooth_angle
    return STEEP * rho * (table[:, 0] - own), STEEP * rho * (own - table[:, 1]), tooth, up, root, tip


def meet(solid: Solid, eye: Tensor, rays: Tensor, pixel: Tensor, steps: int = STEPS) -> Meeting:
    """Where rays (n, m, 3) from eyes (n, 1 or m, 3) meet the wheel; a pixel is so wide at the distance 1, (n, 1)."""
    depth, last = _bounds(solid, eye, rays)
    gap = torch.zeros_like(depth)
    for _ in range(steps):
        gap = distance(solid, eye + depth[..., None] * rays)
        depth = torch.minimum(depth + STRIDE * gap, last)
    met = (gap < MISS * pixel * depth + 2e-3) & (depth < last)
    place = eye + depth[..., None] * rays
    return _named(solid, torch.where(met, depth, torch.inf), place)


def _bounds(solid: Solid, eye: Tensor, rays: Tensor) -> tuple[Tensor, Tensor]:
    """Where rays enter and leave a drum round the wheel, (n, m); those that miss it leave where they enter."""
    radius = solid.wheels.outside + 0.02
    half = torch.maximum(solid.wheels.half_face, torch.maximum(solid.half_hub, solid.half_web + solid.bolt)) + 0.02
    flat, middle = (rays[..., :2] ** 2).sum(-1).clamp(min=1e-9), (rays[..., :2] * eye[..., :2]).sum(-1)
    square = middle**2 - flat * ((eye[..., :2] ** 2).sum(-1) - radius**2)
    reach = square.clamp(min=0).sqrt()
    slope = torch.where(rays[..., 2].abs() < 1e-6, 1e-6, rays[..., 2])
    one, other = (-half - eye[..., 2]) / slope, (half - eye[..., 2]) / slope
    first = torch.maximum((-middle - reach) / flat, torch.minimum(one, other)).clamp(min=0)
    last = torch.minimum((-middle + reach) / flat, torch.maximum(one, other))
    missed = (square < 0) | (last <= first)
    return first, torch.where(missed, first, last)


def _named(solid: Solid, depth: Tensor, place: Tensor) -> Meeting:
    """Which part of the wheel lies at these places."""
    wheels = solid.wheels
    rho, angle, z = place[..., :2].norm(dim=-1), torch.atan2(place[..., 0], -place[..., 1]), place[..., 2]
    right, left, tooth, up, root, tip = _tooth(wheels, rho, angle, z)
    above = torch.stack([right, left, rho - tip, z.abs() - wheels.half_face])
    kinds = torch.tensor([Part.FLANK, Part.BACK_FLANK, Part.TIP_LAND, Part.END_FACE], device=depth.device)
    part = kinds[above.argmax(0)]
    low = (rho < root) & (part != Part.END_FACE)
    part = torch.where(low, int(Part.ROOT), part)
    part = torch.where(rho < root - 1.5 * solid.floor, int(Part.END_FACE), part)
    part = torch.where(torch.isinf(depth), int(Part.NOTHING), part)
    return Meeting(depth, place, part, tooth, 0.5 - z / (2 * wheels.half_face), up)


def normals(solid: Solid, place: Tensor, reach: float = 0.05) -> Tensor:
    """Unit normals (n, m, 3) outward at places on the surface, from four distances about each."""
    corners = torch.tensor([[1.0, -1, -1], [-1, -1, 1], [-1, 1, -1], [1, 1, 1]], device=place.device)
    total = sum(corner * distance(solid, place + reach * corner)[..., None] for corner in corners)
    assert isinstance(total, Tensor)
    return functional.normalize(total, dim=-1)
