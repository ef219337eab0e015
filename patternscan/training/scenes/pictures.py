"""Scenes with a wheel whose every pixel is known, drawn by the dozen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from functools import reduce

import torch
from torch import Tensor

from patternscan.seeing.outline_search.finder_net import SIZE_PX, STEP
from patternscan.training.drawn.dice import Dice
from patternscan.training.scenes import lens
from patternscan.training.scenes.compound import LEAST, draw_compound
from patternscan.training.scenes.shading import (
    Workpiece,
    darkened,
    draw_light_of_wheel,
    draw_metal,
    light_of_things,
    visible,
)
from patternscan.training.scenes.texture import draw_noise, draw_surroundings
from patternscan.training.scenes.things import Seen, draw_port, draw_things
from patternscan.training.scenes.view import View, draw_view, flank_place
from patternscan.training.scenes.wheel_pool import Wheels
from patternscan.training.scenes.wheel_solid import Meeting, Part, draw_solid, meet

GREY = 0.5
"""What the square shows beside the photo."""
FARTHEST_PX = 1000.0
"""Corners are told as if they were no farther off."""
CORNERS = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
"""Along and up of the corners in their order."""


@dataclass(frozen=True, slots=True, eq=False)
class Scenes:
    """``pixels`` (n, 3, SIZE_PX, SIZE_PX) sRGB from 0 to 1. Of each STEP-th pixel of each STEP-th row, (n, rows,
    columns): the ``part`` seen, how surely the flank is ``marked``, 0 to 1, ``compound`` seen; ``place`` (n, 2, rows,
    columns): along and up; ``corners`` (n, 8, rows, columns): x and y of the four corners of the flank seen, from the
    pixel, in pixels.
    """

    pixels: Tensor
    part: Tensor
    marked: Tensor
    compound: Tensor
    place: Tensor
    corners: Tensor

    def each(self, change: Callable[[Tensor], Tensor]) -> Scenes:
        """The scenes with every array changed alike."""
        return Scenes(*(change(getattr(self, field.name)) for field in fields(self)))


def draw_scenes(dice: Dice, pool: Wheels) -> Scenes:
    """Draw as many scenes as there are dice."""
    with torch.no_grad():
        return _drawn(dice, pool)


def _drawn(dice: Dice, pool: Wheels) -> Scenes:
    wheels = pool.chosen(dice.picks(len(pool.teeth)).cpu(), dice.device)
    view, solid, noise = draw_view(dice, wheels), draw_solid(dice, wheels), draw_noise(dice)
    port = draw_port(dice, wheels, view)
    rays = view.rays()
    things = [port.seen(view.eye, rays), *(block.seen(view.eye, rays) for block in draw_things(dice, wheels, view))]
    nearest = reduce(Seen.before, things)
    light = draw_surroundings(dice, noise, -view.axes[:, 2])
    inner = darkened(light, port, dice.log_between(0.01, 0.4)[:, 0])
    work = Workpiece(solid, draw_metal(dice), draw_compound(dice), noise, inner)
    meeting = meet(solid, view.eye[:, None], rays, 1 / view.focal_px)
    seen = visible(view, meeting, nearest)
    wheel_light = draw_light_of_wheel(work, meeting, rays)
    plate = (things[0].depth <= nearest.depth)[..., None]
    around = torch.where(
        plate, light_of_things(nearest, rays, light, noise), light_of_things(nearest, rays, inner, noise)
    )
    distant = inner.light(rays, torch.full_like(light.patches, 0.6)) * 0.5
    around = torch.where(torch.isinf(nearest.depth)[..., None], distant, around)
    sent = torch.where((meeting.depth < nearest.depth)[..., None], wheel_light, around)
    pixels = _photographed(dice, sent, torch.minimum(meeting.depth, nearest.depth), view)
    film = work.compound.thickness(meeting, noise)
    told = (seen, work.compound.marked(meeting, seen, film), (film > LEAST).float())
    return _labelled(pixels, meeting, told, wheels, view)


def _photographed(dice: Dice, sent: Tensor, depth: Tensor, view: View) -> Tensor:
    """Pixels of the light that the scene sends, (n, m, 3)."""
    square = (-1, SIZE_PX, SIZE_PX)
    light = sent.transpose(1, 2).reshape(-1, 3, SIZE_PX, SIZE_PX).nan_to_num(0, 0, 0).clamp(0, 50)
    focus = (view.aim - view.eye).norm(dim=1)[:, None, None] * torch.exp(0.1 * dice.normals(1, 1))
    light = lens.focused(dice, light, depth.clamp(max=1e4).reshape(square), focus)
    light = lens.noisy(dice, lens.exposed(dice, light, view.photo))
    photo = view.photo[:, None]
    return lens.developed(dice, light) * photo + GREY * (1 - photo)


def _labelled(
    pixels: Tensor, meeting: Meeting, told: tuple[Tensor, Tensor, Tensor], wheels: Wheels, view: View
) -> Scenes:
    """The scenes with what is known of the pixels that are told of."""
    seen, marked, compound = (_thinned(field).nan_to_num(0, 0, 0) for field in told)
    part = torch.where(seen > 0, _thinned(meeting.part), int(Part.NOTHING))
    place = torch.stack([_thinned(meeting.along), _thinned(meeting.up)], 1)
    corners = _corners(_thinned(meeting.tooth), wheels, view)
    flank = (part == Part.FLANK)[:, None]
    place, corners = (torch.where(flank, field, 0.0).nan_to_num(0, 0, 0) for field in (place, corners))
    return Scenes(pixels.nan_to_num(GREY), part, marked, compound, place, corners.clamp(-FARTHEST_PX, FARTHEST_PX))


def _thinned(field: Tensor) -> Tensor:
    return field.reshape(-1, SIZE_PX, SIZE_PX)[:, ::STEP, ::STEP]


def _corners(tooth: Tensor, wheels: Wheels, view: View) -> Tensor:
    """Scenes.corners of the flanks of these teeth (n, rows, columns)."""
    count, rows, columns = tooth.shape
    turn = tooth.reshape(count, -1) * wheels.tooth_angle
    run = torch.arange(0, SIZE_PX, STEP, device=tooth.device).float()
    y, x = torch.meshgrid(run, run, indexing="ij")
    pixels = torch.stack([x, y], -1).reshape(1, -1, 2)
    offsets = []
    for along, up in CORNERS:
        point = flank_place(wheels, along, up)[:, None]
        sine, cosine = torch.sin(turn), torch.cos(turn)
        turned = torch.stack(
            [
                cosine * point[..., 0] - sine * point[..., 1],
                sine * point[..., 0] + cosine * point[..., 1],
                point[..., 2].expand_as(turn),
            ],
            -1,
        )
        offsets.append((view.see(turned) - pixels).transpose(1, 2))
    return torch.cat(offsets, 1).reshape(count, 8, rows, columns)
