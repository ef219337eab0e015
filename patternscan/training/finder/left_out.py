"""Scenes drawn without one of their ingredients, to see what it brings: `--without` of the training."""

from __future__ import annotations

from dataclasses import dataclass
from types import ModuleType

from patternscan.training.drawn.dice import Dice
from patternscan.training.finder import train
from patternscan.training.scenes import compound, lens, shading, things, wheel_pool


@dataclass(frozen=True, slots=True)
class Left:
    """Something of a module that draws, and what stands in its place when an ingredient is left out."""

    module: ModuleType
    name: str
    value: object


def _as_it_is(_dice: Dice, light: object, *_depths: object) -> object:
    return light


INGREDIENTS = {
    "port": (Left(things, "PORT", 0.0),),
    "housing": (Left(things, "HOUSING", 0.0),),
    "bench-and-blocks": (Left(things, "BENCH", 0.0), Left(things, "BLOCKS", 0)),
    "hands-and-rags": (Left(things, "LUMP", 0.0),),
    "wear": (Left(shading, "WORN", 0.0),),
    "iron-and-steel": (Left(shading, "BRONZE", 1.0),),
    "bare-teeth": (Left(compound, "UNMARKED", 0.0),),
    "rub-off": (Left(compound, "RUB_OFF", 0.0),),
    "colours-but-blue": (Left(compound, "INKS", (1.0, 0.0, 0.0, 0.0, 0.0)),),
    "straight-rims": (Left(wheel_pool, "STRAIGHT", 0.0),),
    "blur": (Left(lens, "focused", _as_it_is),),
    "noise": (Left(lens, "noisy", _as_it_is),),
    "turned-scenes": (Left(train, "TURNED", 0.0),),
}
"""What the scenes are made of, by name; the last is how they are shown."""


def leave_out(ingredient: str) -> None:
    """Draw without it from now on, in this process."""
    for one in INGREDIENTS[ingredient]:
        setattr(one.module, one.name, one.value)
