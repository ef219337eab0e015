"""Flattened flanks whose truth is known, for tests, notebooks and samples.

Light is linear until the last step: metal under a shaded lamp, hob marks, tarnish and a polished wear band, then a
film of compound that lets metal through by Beer and Lambert's law and adds its own pigment's colour, then glare.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS, RectifiedFlank

Mask = NDArray[np.bool_]
Colour = tuple[float, float, float]

PIGMENTS: dict[Compound, Colour] = {
    Compound.BLUE: (0.03, 0.09, 0.32),
    Compound.YELLOW: (0.75, 0.48, 0.04),
    Compound.WHITE: (0.80, 0.80, 0.78),
    Compound.RED: (0.62, 0.09, 0.05),
    Compound.VIOLET: (0.24, 0.06, 0.38),
}
"""Linear reflectance of a full film; from memory, in the order of published paint charts."""

ALLOYS: dict[str, Colour] = {
    "tin bronze": (0.62, 0.40, 0.23),
    "aluminium bronze": (0.60, 0.45, 0.22),
    "pale bronze": (0.58, 0.47, 0.33),
    "red bronze": (0.62, 0.33, 0.20),
    "brass": (0.65, 0.52, 0.24),
}
"""Linear reflectance of machined metal; from memory."""


@dataclass(frozen=True, slots=True)
class Scene:
    """What the camera meets. ``thickness``: film in optical depths; ``glare``: part of the flank burnt out; ``marks``:
    where hob marks and tarnish begin (radians), another place on every flank of a wheel.
    """

    metal: Colour = ALLOYS["tin bronze"]
    lamp: Colour = (1.0, 1.0, 1.0)
    brightness: float = 0.5
    thickness: float = 3.0
    wear_band: bool = False
    tarnish: bool = False
    glare: float = 0.0
    noise: float = 0.004
    seed: int = 1
    marks: float = 0.0


@dataclass(frozen=True, slots=True)
class Print:
    """A slanted oval or band of contact: centre and half sizes as fractions along and up."""

    along: float = 0.5
    up: float = 0.5
    half_along: float = 0.18
    half_up: float = 0.36
    slant: float = 0.15


def place_contact(shape: Print) -> Mask:
    """True contact on the flat grid (FLAT_ROWS, FLAT_COLUMNS)."""
    along, up = _grid()
    across = (along - shape.along - shape.slant * (up - shape.up)) / shape.half_along
    return np.asarray(across**2 + ((up - shape.up) / shape.half_up) ** 2 <= 1)


def paint_flank(scene: Scene, contact: Mask, compound: Compound, marking: Marking) -> RectifiedFlank:
    """A flank with compound on it: on the contact when printed, round it when rubbed off."""
    film = contact if marking is Marking.TRANSFER else _brushed(scene) & ~contact
    return _photographed(scene, film.astype(np.float64), PIGMENTS[compound])


def bare_flank(scene: Scene) -> RectifiedFlank:
    """A flank that carries no compound."""
    return _photographed(scene, np.zeros((FLAT_ROWS, FLAT_COLUMNS)), (0.0, 0.0, 0.0))


def _photographed(scene: Scene, film: NDArray[np.float64], pigment: Colour) -> RectifiedFlank:
    chance = np.random.default_rng(scene.seed)
    through = np.exp(-scene.thickness * film * chance.normal(1, 0.08, film.shape))[..., None]
    shade = _shade(scene)[..., None]
    light = np.array(scene.lamp) * (through * _metal(scene) * shade + (1 - through) * np.array(pigment) * _soft(shade))
    light = light + scene.brightness * chance.normal(0, scene.noise, light.shape)
    if scene.glare > 0:
        along, up = _grid()
        spot = ((along - 0.45) / 1.6) ** 2 + ((up - 0.55) / 0.8) ** 2
        light = light + 3.0 * (spot <= np.quantile(spot, scene.glare))[..., None]
    pixels = np.round(255 * _encoded(light)).astype(np.uint8)
    return RectifiedFlank(pixels, np.ones(film.shape, dtype=np.bool_), 600.0, 120.0)


def _metal(scene: Scene) -> NDArray[np.float64]:
    """Metal colours (rows, cols, 3): deeper where one flank mirrors the next, browner under tarnish."""
    along, up = _grid()
    bounces = 1 + 0.7 * np.exp(-(((along - 0.2) / 0.2) ** 2) - ((up - 0.35) / 0.4) ** 2)
    if scene.tarnish:
        bounces = bounces + 0.5 * (np.sin(7 * along + 2 + scene.marks) * np.sin(5 * up) > 0.5)
    return np.asarray(np.array(scene.metal) ** bounces[..., None])


def _shade(scene: Scene) -> NDArray[np.float64]:
    """Lamp shading, hob marks and a polished wear band (rows, cols)."""
    along, up = _grid()
    shade = scene.brightness * (0.65 + 0.5 * along + 0.25 * np.sin(3 * up + 2 * along))
    shade = shade * (1 + 0.06 * np.sin(160 * along + 30 * up + scene.marks))
    if scene.wear_band:
        shade = np.where(np.abs(up - 0.55) < 0.18, 1.5 * shade, shade)
    return np.asarray(shade)


def _soft(shade: NDArray[np.float64]) -> NDArray[np.float64]:
    """A mat film shows less of the play of light than the metal under it."""
    return np.asarray(0.5 * (shade + shade.mean()))


def _brushed(scene: Scene) -> Mask:
    """Where the brush went: nearly everywhere, with ragged unpainted rims at root and tip."""
    along, up = _grid()
    ragged = 0.015 * np.sin(37 * along + scene.seed) + 0.01 * np.sin(91 * along)
    return np.asarray((up > 0.06 + ragged) & (up < 0.97 + ragged) & (along > 0.015) & (along < 0.985))


def _grid() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    along = (np.arange(FLAT_COLUMNS) + 0.5) / FLAT_COLUMNS
    up = 1 - (np.arange(FLAT_ROWS) + 0.5) / FLAT_ROWS
    columns, rows = np.meshgrid(along, up)
    return columns, rows


def _encoded(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """Linear light to sRGB, IEC 61966-2-1."""
    held = np.clip(light, 0, 1)
    return np.asarray(np.where(held <= 0.0031308, 12.92 * held, 1.055 * held ** (1 / 2.4) - 0.055))
