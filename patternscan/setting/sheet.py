"""The machine sheet: what is known of one machine, in a TOML file that a person writes."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from patternscan.frame import Compound, Marking
from patternscan.judging.advice import ShimRule
from patternscan.judging.comparison import Target


@dataclass(frozen=True, slots=True)
class Gear:
    """The [gear] table; every value is None when the sheet does not give it. Lengths in mm, angles in degrees."""

    module_mm: float | None = None
    starts: int | None = None
    teeth: int | None = None
    worm_diameter_mm: float | None = None
    pressure_angle_deg: float | None = None
    hand: str | None = None
    face_width_mm: float | None = None
    profile: str | None = None
    hob_oversize: float | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A machine sheet. Everything is optional; an empty sheet changes nothing."""

    machine: str | None = None
    gear: Gear = field(default_factory=Gear)
    marking: Marking | None = None
    compound: Compound | None = None
    target: Target = field(default_factory=Target)
    shim_rule: ShimRule | None = None


def read_sheet(path: Path) -> Sheet:
    """Read and check a machine sheet; every fault is named at once. Raises WrongUse."""
    raise NotImplementedError
