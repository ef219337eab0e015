"""Gaps between worm and wheel of many invented worm pairs, in one file.

The pictures that train the contact net take their contact, their curvature and their reflections from these flanks.
It takes some minutes of one core for the 1400 flanks that the net was trained on; all cores share in it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.gearing.contact import roll
from patternscan.gearing.pair import Hand, Placement, Profile, WormPair
from patternscan.gearing.wheel_flank import COLUMNS, ROWS, cut_flank

FLANKS, SEED = 1400, 1
MODULES_MM, TEETH, DIAMETER_QUOTIENTS = (2.0, 9.0), (26, 64), (7.5, 14.0)
"""Small hoists to large lifts. Preferred diameter quotients d1/m lie between 7 and 18 (from memory); own guess else."""
STARTS = (1, 1, 2, 2, 3, 4)
"""One and two starts twice as often (own guess of what stands in the shops)."""
PRESSURE_ANGLES_DEG = (14.5, 20, 20, 20, 22.5, 25)
"""14.5 in old gears, 20 in most, 22.5 and 25 with steep leads (common practice)."""
FACES = (0.6, 0.85)
"""Face width over the worm's diameter over the threads; handbooks advise about 0.7 (from memory)."""
NEAR_OVERSIZES, WORN_OVERSIZES = (0.005, 0.03), (0.02, 0.08)
"""Hob over worm diameter less 1: a sharpened-down and a fresh hob (own guess)."""
SETTINGS = (0.3, 1.0, 1.8)
"""A well-set wheel, a usual one, one that is far off (own guess)."""
SHIFT, CENTRE_ERROR_MM, SHAFT_ERROR_DEG = 0.006, 0.02, 0.05
"""Spread of a usual setting: wheel along its axis over the face width, centre distance, shaft angle (own guess)."""
LARGEST_UM = 150.0
"""Beyond this no compound prints; also where the worm never comes near."""
COARSER = 4
"""Points and normals are kept on a grid this much coarser than the gaps: the flank is smooth."""

AT_ONCE = 64
"""Pairs that are handed to the cores together."""

Numbers = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class FlankGap:
    """One flank, row 0 at the tip, column 0 at end A: gap (rows, columns) in um; points (in face widths) and unit
    normals that point out of the tooth, both (rows / 4, columns / 4, 3), in the wheel's frame of gearing.pair.
    """

    flank: Flank
    gap_um: NDArray[np.float16]
    points: Numbers
    normals: Numbers


Placed = tuple[WormPair, Placement]
Spread = Callable[[Callable[[Placed], list[FlankGap]], Iterable[Placed]], Iterable[list[FlankGap]]]


def draw_pair(dice: np.random.Generator) -> WormPair:
    """An invented worm pair; raises WrongUse when no such pair can exist."""
    module_mm = dice.uniform(*MODULES_MM)
    starts, teeth = int(dice.choice(STARTS)), int(dice.integers(*TEETH))
    quotient = dice.uniform(*DIAMETER_QUOTIENTS)
    pressure_angle_deg = float(dice.choice(PRESSURE_ANGLES_DEG))
    return WormPair(
        module_mm,
        starts,
        teeth,
        worm_diameter_mm=module_mm * quotient,
        face_width_mm=dice.uniform(*FACES) * module_mm * (quotient + 2),
        pressure_angle_deg=pressure_angle_deg,
        hand=Hand.RIGHT if dice.random() < 0.5 else Hand.LEFT,
        profile=list(Profile)[dice.integers(len(Profile))],
        hob_oversize=float(dice.choice([dice.uniform(*NEAR_OVERSIZES), dice.uniform(*WORN_OVERSIZES)])),
    )


def draw_placement(dice: np.random.Generator, face_width_mm: float) -> Placement:
    """How an invented fitter left the wheel current."""
    off = dice.choice(SETTINGS)
    return Placement(
        off * dice.normal(0, SHIFT) * face_width_mm,
        off * dice.normal(0, CENTRE_ERROR_MM),
        off * dice.normal(0, SHAFT_ERROR_DEG),
    )


def roll_flank(pair: WormPair, flank: Flank, placement: Placement) -> FlankGap:
    """One flank rolled on its worm."""
    wheel = cut_flank(pair, flank, ROWS, COLUMNS)
    gap_um = np.nan_to_num(np.clip(roll(wheel, placement).gap_um, 0, LARGEST_UM), nan=LARGEST_UM)
    points, normals = (grid[::COARSER, ::COARSER] for grid in (wheel.points(), wheel.normals()))
    in_faces = (points / pair.face_width_mm).astype(np.float32)
    return FlankGap(flank, gap_um.astype(np.float16), in_faces, normals.astype(np.float32))


def draw_flanks(dice: np.random.Generator, spread: Spread = map) -> Iterator[FlankGap]:
    """Left and right flanks of one invented pair after the other, without end; what cannot be computed is left out.

    ``spread`` does the work, in turn or on several cores.
    """
    pairs = _placed_pairs(dice)
    while True:
        for rolled in spread(_rolled, islice(pairs, AT_ONCE)):
            yield from rolled


def _placed_pairs(dice: np.random.Generator) -> Iterator[Placed]:
    while True:
        try:
            pair = draw_pair(dice)
        except WrongUse:
            continue
        yield pair, draw_placement(dice, pair.face_width_mm)


def _rolled(placed: Placed) -> list[FlankGap]:
    """Both flanks of a pair, less those that cannot be computed."""
    pair, placement = placed
    try:
        rolled = [roll_flank(pair, flank, placement) for flank in Flank]
    except WrongUse:
        return []
    return [one for one in rolled if np.isfinite(one.points).all() and np.isfinite(one.normals).all()]


def gather(flanks: int, seed: int, spread: Spread = map) -> dict[str, NDArray[np.generic]]:
    """So many flanks as stacks: ``gap`` (n, rows, columns) um, ``points`` and ``normals`` (n, rows / 4, columns / 4,
    3), ``flank`` (n,) 0 for left and 1 for right.
    """
    drawn = draw_flanks(np.random.default_rng(seed), spread)
    kept = [next(drawn) for _ in range(flanks)]
    return {
        "gap": np.array([one.gap_um for one in kept]),
        "points": np.array([one.points for one in kept]),
        "normals": np.array([one.normals for one in kept]),
        "flank": np.array([int(one.flank is Flank.RIGHT) for one in kept]),
    }


def save_gaps(path: Path, flanks: int, seed: int) -> None:
    """Gather so many flanks in a file, which lies there whole or not at all."""
    unfinished = path.with_suffix(".part")
    with unfinished.open("wb") as file, ProcessPoolExecutor() as cores:
        np.savez_compressed(file, allow_pickle=False, **gather(flanks, seed, cores.map))
    unfinished.replace(path)
