"""Light from a flank as shade and colour: what a film of compound changes, whatever the lamp's strength.

In linear light a film multiplies each colour by what it lets back. Ratios of colours cancel shading and the
lamp's strength; what remains is ``warmth`` ln(red/green) and ``depth`` ln(green/blue). Bare bronze lies warm and
moderately deep, and deeper where one flank mirrors the next, because each bounce multiplies by its colour again.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patternscan.frame import Compound
from patternscan.quantiles import median, medians
from patternscan.seeing.quality.light import FlankLight
from patternscan.seeing.quality.light import Grid as Grid
from patternscan.seeing.quality.light import Mask as Mask


@dataclass(frozen=True, slots=True)
class Colour:
    """A place in colour and its spread in each direction."""

    warmth: float
    depth: float
    warmth_spread: float
    depth_spread: float


BARE_BRONZE = Colour(0.75, 1.2, 0.4, 0.6)
"""Machined gear bronze in white light, neighbouring flanks mirrored in it."""

LEAST_BESIDE = 100
"""Places beside the flank whose middling colour is taken for one."""
LAMP_SPREAD = 0.2
"""How far the camera may leave the colour of the lamp in warmth and in depth."""


@dataclass(frozen=True, slots=True)
class Pigment:
    """A compound's colour as a full film, and the direction in (warmth, depth) in which it leads off metal.

    ``least_rise``: part of the expected step below which a crisp change of colour may still be bare metal.
    ``ceiling``: warmth and depth beyond these speak of mirrored bronze only, not of more or less film.
    ``rarity``: unlikeliness beforehand; white is seldom used and thin blue comes near it.
    ``metal_below``, ``maybe_metal_below``: a film whose colour lies no further beyond mirrored bronze is taken for
    bare metal, or may be. ``mirror_dark``: only if it is darker than this, as light lost at each bounce makes it
    (logarithm of its brightness over the metal's).
    """

    compound: Compound
    colour: Colour
    direction: tuple[float, float]
    least_rise: float
    ceiling: tuple[float, float] = (3.5, 4.0)
    rarity: float = 0.0
    metal_below: float = 0.28
    maybe_metal_below: float = 0.45
    mirror_dark: float = 9.0

    def tone(self, warmth: Grid, depth: Grid) -> Grid:
        """How far each place lies along the way from metal to film."""
        across, down = (np.minimum(g, top) for g, top in zip((warmth, depth), self.ceiling, strict=True))
        return np.asarray(self.direction[0] * across + self.direction[1] * down, dtype=np.float32)

    @property
    def half_tone(self) -> float:
        """Tone half-way between bare bronze and a full film."""
        across, down = self.direction
        warmth, depth = self.colour.warmth + BARE_BRONZE.warmth, self.colour.depth + BARE_BRONZE.depth
        return 0.5 * (across * warmth + down * depth)

    @property
    def expected_step(self) -> float:
        """Tone of a full film above bare bronze."""
        across, down = self.direction
        return across * (self.colour.warmth - BARE_BRONZE.warmth) + down * (self.colour.depth - BARE_BRONZE.depth)

    def unlikeliness(self, film: tuple[float, float], metal: tuple[float, float]) -> float:
        """Half the squared misfit of film and metal (warmth, depth), in spreads, under the lamp that suits best."""
        own, bare = self.colour, BARE_BRONZE
        across = _misfit(film[0] - own.warmth, metal[0] - bare.warmth, own.warmth_spread, bare.warmth_spread)
        down = _misfit(film[1] - own.depth, metal[1] - bare.depth, own.depth_spread, bare.depth_spread)
        return self.rarity + across + down


def beyond_mirrored(film: tuple[float, float], metal: tuple[float, float]) -> float:
    """How far a film's (warmth, depth) lies from all that the metal shows when mirrored in itself.

    Each bounce multiplies by the metal's colour, so in logarithms mirrored metal lies on a ray from grey through it:
    from about half the median's colour, one bounce where most light takes two, to three times that.
    """
    length = metal[0] ** 2 + metal[1] ** 2
    bounces = (film[0] * metal[0] + film[1] * metal[1]) / max(length, 1e-6)
    bounces = min(max(bounces, 0.45), 3.0)
    return float(np.hypot(film[0] - bounces * metal[0], film[1] - bounces * metal[1]))


def _misfit(film: float, metal: float, film_spread: float, metal_spread: float) -> float:
    """Least of half the squared misfits over a lamp shift common to both."""
    weights = film_spread**-2, metal_spread**-2
    lamp = (film * weights[0] + metal * weights[1]) / (sum(weights) + LAMP_SPREAD**-2)
    return 0.5 * ((film - lamp) ** 2 * weights[0] + (metal - lamp) ** 2 * weights[1] + (lamp / LAMP_SPREAD) ** 2)


PIGMENTS = (
    Pigment(Compound.BLUE, Colour(-0.35, -0.5, 0.45, 0.6), (-1.0, -0.5), 0.18, (1.5, 1.8)),
    Pigment(Compound.WHITE, Colour(0.15, 0.25, 0.2, 0.3), (-1.0, -0.5), 0.38, (1.5, 1.8), rarity=2.2, metal_below=0.25),
    Pigment(Compound.YELLOW, Colour(0.55, 2.8, 0.3, 1.0), (-2.2, 1.0), 0.22, metal_below=0.55, maybe_metal_below=0.75),
    Pigment(Compound.RED, Colour(1.9, 1.0, 0.5, 0.5), (1.0, -0.4), 0.25, metal_below=0.4, maybe_metal_below=0.6),
    Pigment(
        Compound.RED,
        Colour(1.5, 1.9, 0.3, 0.5),
        (1.0, 0.0),
        0.42,
        rarity=1.0,
        metal_below=0.75,
        maybe_metal_below=0.75,
        mirror_dark=-0.3,
    ),
    Pigment(Compound.VIOLET, Colour(0.8, -0.9, 0.4, 0.6), (0.0, -1.0), 0.25, (3.5, 1.8), rarity=0.7),
)
"""Common pigments in white light: Prussian blue, titanium white, chrome or iron yellow, red, orange to red lead, and
violet layout dye."""


@dataclass(frozen=True, slots=True, eq=False)
class FlankColours:
    """Colours of a flank on its work grid (rows, columns).

    ``warmth``, ``depth``: colour ratios as logarithms; ``brightness``: linear, 0..1; ``readable``: where they count.
    ``beside``: middling warmth and depth beyond the tip and beyond the root, where they are known.
    """

    warmth: Grid
    depth: Grid
    brightness: Grid
    readable: Mask
    beside: tuple[tuple[float, float], ...] = ()

    def thinned(self) -> FlankColours:
        """Every other cell each way: enough to weigh thresholds against each other."""
        warmth, depth, light = (np.ascontiguousarray(g[::2, ::2]) for g in (self.warmth, self.depth, self.brightness))
        return FlankColours(warmth, depth, light, np.ascontiguousarray(self.readable[::2, ::2]), self.beside)


def colours_of(light: FlankLight) -> FlankColours:
    """Shade and colour of a flank's light; brightness by the weights of ITU-R BT.709."""
    linear = light.linear
    brightness = np.asarray(linear @ np.array([0.2126, 0.7152, 0.0722], dtype=np.float32), dtype=np.float32)
    floor = np.float32(0.002 + 0.01 * median(brightness))
    warmth, depth = _ratios(linear, floor)
    beside = (_ratios(medians(lit, axis=0), floor) for lit in light.beside if len(lit) >= LEAST_BESIDE)
    known = tuple((float(warm), float(deep)) for warm, deep in beside)
    return FlankColours(warmth, depth, brightness, light.readable, known)


def _ratios(linear: Grid, floor: np.float32) -> tuple[Grid, Grid]:
    """Warmth and depth of linear light (..., 3)."""
    logs = np.asarray(np.log(linear + floor), dtype=np.float32)
    return logs[..., 0] - logs[..., 1], logs[..., 1] - logs[..., 2]
