"""Hand-held cameras before the right flank of the wheel's first tooth, its tip about upward in the picture.

A left flank is a right flank seen in a mirror, so right flanks of wheels of both hands show all there is.
"""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.seeing.outline_search.finder_net import SIZE_PX
from patternscan.training.drawn.dice import Dice
from patternscan.training.scenes.wheel_pool import COLUMNS, LOWEST, ROWS, Wheels

FOCAL = (0.75, 3.0)
"""Focal length over the picture's side: a telephone's plain lens, and cuts from a photo (common practice)."""
WIDTH = (0.15, 1.15)
"""Face width over the picture's side, from small teeth to large ones that fill more than the photo (own guess)."""
NEAREST = 1.6
"""Least distance in face widths (own guess)."""
LOOK_UP, LOOK_ASIDE, ROLL = (0.78, 0.25), (0.0, 0.4), (0.0, 0.35)
"""Mean and spread (rad) of the camera's direction off the flank's, toward its tip and along its face, and of its roll
(own guess)."""
FARTHEST_ASIDE = 1.0
SHAPES = (0.75, 1.0, 1.3333, 0.5625, 1.7778)
"""Height of the photo in the square over its width; what the photo lacks on two sides is grey."""


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """``eye`` (n, 3); ``axes`` (n, 3, 3): right, down, forward; ``focal_px`` (n, 1), ``centre_px`` (n, 2) where the
    line of sight meets the picture; ``photo`` (n, rows, columns): 1 where the square shows the photo; ``aim`` (n, 3):
    the middle of the flank.
    """

    eye: Tensor
    axes: Tensor
    focal_px: Tensor
    centre_px: Tensor
    photo: Tensor
    aim: Tensor

    def rays(self) -> Tensor:
        """Unit directions (n, rows * columns, 3) through the pixels."""
        run = torch.arange(SIZE_PX, device=self.eye.device, dtype=torch.float32)
        y, x = torch.meshgrid(run, run, indexing="ij")
        across = (x.reshape(1, -1) - self.centre_px[:, :1]) / self.focal_px
        down = (y.reshape(1, -1) - self.centre_px[:, 1:]) / self.focal_px
        return functional.normalize(torch.stack([across, down, torch.ones_like(across)], -1) @ self.axes, dim=-1)

    def see(self, points: Tensor) -> Tensor:
        """Pixels (n, m, 2) of points (n, m, 3)."""
        own = (points - self.eye[:, None]) @ self.axes.transpose(1, 2)
        return own[..., :2] / own[..., 2:].clamp(min=0.1) * self.focal_px[:, None] + self.centre_px[:, None]


def flank_place(wheels: Wheels, along: float, up: float) -> Tensor:
    """A point (n, 3) on the right flank of the first tooth."""
    z = (0.5 - along) * 2 * wheels.half_face
    root = wheels.root(z)
    rho = root + up * (wheels.tip(z) - root)
    row, column = round((up - LOWEST) / (1 - LOWEST) * (ROWS - 1)), round((1 - along) * (COLUMNS - 1))
    angle = wheels.angles[:, 0, row, column][:, None]
    return torch.cat([rho * torch.sin(angle), -rho * torch.cos(angle), z], 1)


def draw_view(dice: Dice, wheels: Wheels) -> View:
    """A camera that looks at the flank's middle from somewhere before it."""
    aim = flank_place(wheels, 0.5, 0.5)
    outward = functional.normalize(aim * torch.tensor([1.0, 1.0, 0.0], device=aim.device), dim=1)
    endward = torch.tensor([0.0, 0.0, 1.0], device=aim.device).expand_as(aim)
    facing = torch.linalg.cross(outward, endward)
    rise, aside, roll = (_angle(dice, *spread) for spread in (LOOK_UP, LOOK_ASIDE, ROLL))
    level = torch.cos(aside) * facing + torch.sin(aside) * endward
    toward = torch.cos(rise) * level + torch.sin(rise) * outward
    focal, part = dice.log_between(*FOCAL)[:, 0], dice.log_between(*WIDTH)[:, 0]
    distance = 2 * wheels.half_face * (focal / part).clamp(min=NEAREST)
    shape = torch.tensor(SHAPES, device=dice.device)[dice.picks(len(SHAPES))][:, None]
    size = torch.cat([1 / shape, shape], 1).clamp(max=1)
    centre = _place_in_picture(dice, part, size)
    return View(aim + toward * distance, _axes(toward, outward, roll), focal * SIZE_PX, centre, _photo_part(size), aim)


def _angle(dice: Dice, mean: float, spread: float) -> Tensor:
    return (mean + spread * dice.normals(1)).clamp(-FARTHEST_ASIDE, 1.4)


def _axes(toward: Tensor, outward: Tensor, roll: Tensor) -> Tensor:
    """Right, down and forward (n, 3, 3) of a camera whose picture shows ``outward`` upward before it rolls."""
    upward = functional.normalize(outward - (outward * toward).sum(1, keepdim=True) * toward, dim=1)
    right = torch.linalg.cross(-toward, upward)
    turn, lean = torch.cos(roll), torch.sin(roll)
    return torch.stack([turn * right + lean * upward, lean * right - turn * upward, -toward], 1)


def _place_in_picture(dice: Dice, part: Tensor, size: Tensor) -> Tensor:
    """Pixel (n, 2) of the flank's middle: where most of the flank lies in the photo, which is so wide and high."""
    reach = (size - part * torch.tensor([[0.8, 0.35]], device=part.device)).clamp(min=0.05)
    return SIZE_PX / 2 * (1 + reach * (2 * torch.rand(reach.shape, device=part.device, generator=dice.generator) - 1))


def _photo_part(size: Tensor) -> Tensor:
    """1 where the square shows the photo, (n, rows, columns); the photo reaches from border to border one way."""
    run = (torch.arange(SIZE_PX, device=size.device) + 0.5) / SIZE_PX - 0.5
    wide, high = (side[:, None, None] / 2 for side in size.unbind(1))
    return ((run[None, None].abs() <= wide) & (run[None, :, None].abs() <= high)).float()
