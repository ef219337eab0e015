"""The benchmark's photographs with their truth, their outlines as a careful person clicks them, and their gear data."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.setting.machine.sheet import Gear

PHOTOGRAPHS = Path(__file__).parent / "photographs"
Split = Literal["dev", "rims", "port", "dev2"]

CLICKS = {"root": 9, "tip": 9, "end_a": 4, "end_b": 4}
"""Points that a person clicks on each edge."""
OFF = 0.004
"""Spread of a click as a fraction of the root edge's length: some pixels on a flank of 1000 px (own guess)."""
CORNERS = {
    "root": ("a_root", "b_root"),
    "tip": ("a_tip", "b_tip"),
    "end_a": ("a_root", "a_tip"),
    "end_b": ("b_root", "b_tip"),
}


@dataclass(frozen=True, slots=True)
class Scene:
    """One photograph and what is true of it, as ``photographs/README.md`` says."""

    photo: Path
    truth: dict[str, Any]

    @property
    def machine(self) -> str:
        """The machine that it shows; photographs of one machine are not independent."""
        return str(self.truth["job"])

    @property
    def name(self) -> str:
        """Name without its ending."""
        return self.photo.stem

    def contact(self) -> NDArray[np.bool_]:
        """True contact (128, 256), row 0 at the tip, column 0 at end A."""
        with Image.open(self.photo.with_suffix(".contact.png")) as image:
            return np.asarray(image.convert("L")) > 127


class Pair(NamedTuple):
    """Both flanks of one machine in one state."""

    machine: str
    state: str
    left: Scene
    right: Scene

    @property
    def shared(self) -> float:
        """True shared shift toward end B, as a fraction of the face width."""
        return float(self.left.truth["along"] + self.right.truth["along"]) / 2 - 0.5


def scene(split: Split, name: str) -> Scene:
    """The photograph of this name."""
    folder = PHOTOGRAPHS / split
    return Scene(folder / f"{name}.jpg", json.loads((folder / f"{name}.json").read_text(encoding="utf-8")))


def scenes(split: Split) -> list[Scene]:
    """All photographs of a set, by name."""
    return [scene(split, photo.stem) for photo in sorted((PHOTOGRAPHS / split).glob("*.jpg"))]


def pairs(split: Split) -> Iterator[Pair]:
    """The flanks of each machine in each of its states."""
    machines = json.loads((PHOTOGRAPHS / split / "machines.json").read_text(encoding="utf-8"))
    for machine, states in machines.items():
        for state, flanks in states.items():
            yield Pair(machine, state, scene(split, flanks["left"]), scene(split, flanks["right"]))


def clicked_outline(one: Scene, clicks: Mapping[str, int] = CLICKS, off: float = OFF, again: int = 0) -> dict[str, Any]:
    """The outline file of the true flank, so many points of each edge clicked a little off; the same at every call
    with the same ``again``.
    """
    chance = np.random.default_rng([*one.name.encode(), *([again] if again else [])])
    true = {edge: np.array(one.truth["outline"][edge], dtype=float) for edge in CLICKS}
    spread = off * float(np.linalg.norm(true["root"][-1] - true["root"][0]))
    corners: dict[str, NDArray[np.float64]] = {}
    flank: dict[str, Any] = {"flank": one.truth["flank"], "tooth": "1"}
    for edge, count in clicks.items():
        points = _evenly(true[edge], count) + chance.normal(0, spread, (count, 2))
        first, last = CORNERS[edge]
        points[0], points[-1] = corners.setdefault(first, points[0]), corners.setdefault(last, points[-1])
        flank[edge] = points.round(2).tolist()
    return {"format": "patternscan-outline", "version": 1, "photo": one.photo.name, "flanks": [flank]}


def _evenly(edge: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """So many points (count, 2) at equal distances along a polyline (n, 2)."""
    walked = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(edge, axis=0).T))])
    wanted = np.linspace(0, walked[-1], count)
    return np.column_stack([np.interp(wanted, walked, edge[:, axis]) for axis in (0, 1)])


def gear_of(one: Scene) -> Gear:
    """What plate and calliper tell of the gear; profile and hob are not known."""
    gear = one.truth["gear"]
    return Gear(
        module_mm=gear["m"],
        starts=gear["z1"],
        teeth=gear["z2"],
        worm_diameter_mm=round(gear["m"] * gear["q"], 4),
        pressure_angle_deg=gear["alpha_deg"],
        hand="right" if gear["hand"] > 0 else "left",
        face_width_mm=round(gear["face_width_mm"], 4),
        rim=one.truth.get("rim"),
    )


def sheet_text(one: Scene) -> str:
    """A machine sheet with these gear data."""
    known = {key: value for key, value in asdict(gear_of(one)).items() if value is not None}
    return "[gear]\n" + "".join(f"{key} = {json.dumps(value)}\n" for key, value in known.items())
