"""Many invented wheels for the scenes, throated and straight, in one file: where their flanks stand, in modules."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.gearing.meshing import conjugate
from patternscan.gearing.pair import WormPair
from patternscan.gearing.wheel_flank import hob_setting, root_radius, tip_radius
from patternscan.gearing.worm import hob_thread
from patternscan.training.drawn.wheel_gaps import draw_pair

WHEELS = 800
ROWS, COLUMNS = 25, 65
LOWEST = -0.2
"""A flank's table goes from so far below its root edge, in flank heights, to its tip; from end B to end A."""
STRAIGHT = 0.35
"""Share of wheels whose rim is turned to a plain cylinder (own guess)."""
STRAIGHT_RIM, RIM = (0.85, 1.15), (1.0, 1.8)
"""Radius of a straight rim and of a throated wheel's outside over the pitch circle, in modules (own guess)."""
STRAIGHT_FACE = (0.6, 0.95)
"""Face width of a straight wheel over that of a throated one: its flank runs out sooner (own guess)."""
LEAST_HEIGHT = 0.35
"""Least flank height at the ends, in modules."""


@dataclass(frozen=True, slots=True, eq=False)
class Wheels:
    """n wheels, in modules. ``angles`` (n, 2, ROWS, COLUMNS): polar angle (rad) of the right flank and of the left one
    behind the same tooth, over height and z. The others (n, 1): teeth, pitch radius, distance of the worm's axis,
    radius of the gorge round it, outside radius, distance of the hob's axis, its reach, half the face width.
    """

    angles: Tensor
    teeth: Tensor
    radius: Tensor
    axis: Tensor
    gorge: Tensor
    outside: Tensor
    hob_axis: Tensor
    reach: Tensor
    half_face: Tensor

    def chosen(self, rows: Tensor, device: str) -> Wheels:
        """Some of them, on a device."""
        return Wheels(*(getattr(self, field.name)[rows].to(device) for field in fields(self)))

    @property
    def tooth_angle(self) -> Tensor:
        """Angle from tooth to tooth, rad, (n, 1)."""
        return 2 * torch.pi / self.teeth

    def tip(self, z: Tensor) -> Tensor:
        """Radius of the tip edge at heights z (n, m)."""
        gorge = self.axis - (self.gorge**2 - z**2).clamp(min=0.01).sqrt()
        return torch.minimum(gorge, self.outside)

    def root(self, z: Tensor) -> Tensor:
        """Radius of the root edge at heights z (n, m)."""
        return self.hob_axis - (self.reach**2 - z**2).clamp(min=0.01).sqrt()


def _drawn_wheel(dice: np.random.Generator) -> dict[str, NDArray[np.float32]]:
    """An invented wheel; raises WrongUse when it cannot exist."""
    drawn = draw_pair(dice)
    straight = dice.random() < STRAIGHT
    face = drawn.face_width_mm / drawn.module_mm * (dice.uniform(*STRAIGHT_FACE) if straight else 1)
    worm_diameter = drawn.worm_diameter_mm / drawn.module_mm
    pair = replace(drawn, module_mm=1.0, worm_diameter_mm=worm_diameter, face_width_mm=face)
    outside = pair.wheel_radius_mm + dice.uniform(*(STRAIGHT_RIM if straight else RIM))
    axis = pair.centre_distance_mm + (100.0 if straight else 0.0)
    gorge = 100.0 + pair.gorge_radius_mm - 2.0 if straight else pair.gorge_radius_mm
    numbers = {
        "teeth": pair.teeth,
        "radius": pair.wheel_radius_mm,
        "axis": axis,
        "gorge": gorge,
        "outside": outside,
        "hob_axis": pair.centre_distance_mm + pair.worm_radius_mm * pair.hob_oversize,
        "reach": pair.worm_radius_mm * (1 + pair.hob_oversize) + 1.0,
        "half_face": face / 2,
    }
    wheel = {name: np.array([value], dtype=np.float32) for name, value in numbers.items()}
    return wheel | {"angles": _flank_angles(pair, outside, straight)}


def _flank_angles(pair: WormPair, outside: float, straight: bool) -> NDArray[np.float32]:
    """Table of Wheels.angles for one wheel."""
    z = np.linspace(-0.5, 0.5, COLUMNS) * pair.face_width_mm
    tip = np.full(COLUMNS, outside) if straight else np.minimum(tip_radius(pair, z), outside)
    root = root_radius(pair, z)
    if (tip - root).min() < LEAST_HEIGHT:
        raise WrongUse("Hardly any flank is left at the ends.", "Draw another wheel.")
    up = np.linspace(LOWEST, 1, ROWS)[:, None]
    rho, places = root + up * (tip - root), np.broadcast_to(z, (ROWS, COLUMNS))
    right, left = (
        conjugate(hob_thread(pair, flank), hob_setting(pair), pair.teeth, rho, places)[0]
        for flank in (Flank.RIGHT, Flank.LEFT)
    )
    angles = np.stack([right, left + pair.tooth_angle_rad])
    if not np.isfinite(angles).all() or (angles[1] - angles[0] < 0.02 * pair.tooth_angle_rad).any():
        raise WrongUse("The teeth would be pointed.", "Draw another wheel.")
    return angles.astype(np.float32)


def save_wheels(path: Path, count: int, seed: int) -> None:
    """So many invented wheels in a file, which lies there whole or not at all."""
    dice, wheels = np.random.default_rng(seed), list[dict[str, NDArray[np.float32]]]()
    while len(wheels) < count:
        try:
            wheels.append(_drawn_wheel(dice))
        except WrongUse:
            continue
    unfinished = path.with_suffix(".part")
    with unfinished.open("wb") as file:
        np.savez_compressed(
            file, allow_pickle=False, **{name: np.stack([wheel[name] for wheel in wheels]) for name in wheels[0]}
        )
    unfinished.replace(path)


def read_wheels(path: Path) -> Wheels:
    """What ``save_wheels`` has written."""
    with np.load(path) as kept:
        return Wheels(*(torch.as_tensor(kept[field.name]) for field in fields(Wheels)))
