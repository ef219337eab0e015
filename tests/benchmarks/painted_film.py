"""A film of any compound laid on a flank that was stripped of its own, by the physics of thin paint.

Linear light until the last step: the metal as it would look in another alloy, then the film over it with what it
scatters, lets through and mirrors, then the lamp, and the camera with its noise and JPEG.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.frame import Compound, Marking
from tests.benchmarks.printed_flanks import Field, StrippedFlank, encoded

Colour = tuple[float, float, float]
"""One number each for red, green and blue, linear."""


@dataclass(frozen=True, slots=True)
class Paint:
    """A marking compound: what a film of one unit of thickness absorbs and scatters, per colour."""

    name: str
    compound: Compound
    absorbed: Colour
    scattered: Colour


@dataclass(frozen=True, slots=True)
class Alloy:
    """Metal of the flank: linear reflectance, and how much of it a skin of tarnish lets through, here and there."""

    name: str
    reflectance: Colour
    tarnish: Colour = (1.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class Scene:
    """What one painted flank is made of. ``thickness`` in units of film, ``lamp`` by its name."""

    paint: Paint
    thickness: float
    lamp: str
    alloy: Alloy

    @property
    def label(self) -> str:
        """Paint, film, lamp and alloy in words."""
        film = next(name for name, value in THICKNESSES.items() if value == self.thickness)
        return f"{self.paint.name}, {film}, {self.lamp}, {self.alloy.name}"


PAINTS = (
    Paint("dark blue", Compound.BLUE, (5.0, 2.2, 0.7), (0.12, 0.25, 0.6)),
    Paint("blue", Compound.BLUE, (3.2, 1.6, 0.25), (0.3, 0.7, 1.6)),
    Paint("light blue", Compound.BLUE, (1.5, 0.55, 0.12), (0.7, 1.0, 1.3)),
    Paint("white", Compound.WHITE, (0.03, 0.03, 0.05), (2.0, 2.0, 1.9)),
    Paint("yellow", Compound.YELLOW, (0.06, 0.25, 12.0), (1.6, 1.3, 0.4)),
    Paint("ochre", Compound.YELLOW, (0.2, 0.55, 3.0), (1.4, 1.0, 0.5)),
    Paint("orange", Compound.RED, (0.05, 1.1, 5.0), (1.6, 0.9, 0.5)),
    Paint("red", Compound.RED, (0.12, 3.5, 5.0), (1.4, 0.7, 0.6)),
    Paint("violet", Compound.VIOLET, (1.6, 5.0, 0.5), (0.35, 0.15, 0.7)),
)
"""A thick film of each comes to about these sRGB colours: (28, 64, 136), (58, 110, 200), (112, 163, 211), (236, 236,
231), (226, 195, 34), (202, 162, 76), (228, 134, 60), (213, 82, 66), and a violet. The blues lie beside Prussian blue
with ever more titanium white as measured for the Pigment Handbook, vol. I (Wiley, 1973; from memory): nearly black,
(32, 126, 183), (138, 194, 225). Ochre lies between #CC7722, the colour named so, and yellow; the others are guesses."""

THICKNESSES = {"thin": 0.35, "middling": 0.8, "thick": 2.2}
"""Guess: of the red that metal mirrors a tenth comes through a thin film of blue, none through a thick one."""

LAMPS = {
    "daylight": (0.3127, 0.3290),
    "tungsten": (0.4476, 0.4074),
    "cold LED": (0.3000, 0.3100),
    "warm LED": (0.4000, 0.3900),
    "fluorescent": (0.3450, 0.3850),
}
"""CIE chromaticity: standard illuminants D65 and A (CIE 15, from memory); white LEDs of about 7500 and 3600 K on the
Planckian locus; a plain tube, greener than the CIE's F2 (guess)."""
LAMP_LEFT = 0.4
"""Part of a lamp's colour, as a logarithm, that a camera's automatic white balance leaves in the picture; guess."""

ALLOYS = (
    Alloy("tin bronze", (0.62, 0.40, 0.23)),
    Alloy("red bronze", (0.62, 0.36, 0.22)),
    Alloy("yellow bronze", (0.64, 0.50, 0.28)),
    Alloy("pale aluminium bronze", (0.60, 0.51, 0.38)),
    Alloy("grey tarnish", (0.60, 0.45, 0.32), (0.55, 0.62, 0.68)),
    Alloy("brown tarnish", (0.62, 0.40, 0.23), (0.65, 0.50, 0.38)),
)
"""Reflectance of machined metal, from memory; tarnish: guess (copper oxide eats blue, sulphide all colours)."""
FROM_XYZ = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])
"""CIE XYZ to linear sRGB, IEC 61966-2-1."""
OIL_SHEEN = 0.04
"""Light that the surface of wet paint mirrors: ((n - 1) / (n + 1))^2 after Fresnel, oil n = 1.5."""
METAL_MIRRORS = 0.45
"""Light that machined bronze sends back, over all colours."""
MOST_BOUNCES = 2.5
"""Light mirrored so much more often than over the flank's middle is too dark to tell its colour; guess."""
LEAST_LIGHT = np.float32(0.01)
"""Linear light below which a camera's colours are not to be trusted; guess."""
BURNT = (0.6, 0.95)
"""Linear red from which a camera tells less, and at last nothing, of how much more there was; guess."""
COVERING = 0.9
"""What a film of usual thickness hides of the metal's colour: the share seen grows with thickness as 1 - exp does."""
GLOW = 0.33
"""Part of the metal's colour, as a logarithm, in the light on a flank: the bronze tooth opposite throws it there. By
this blue, yellow and red films on 28 rendered photographs are warmer than the same pigments in white light."""
RELIEF = 0.04
"""Uneven shine of a mat film; with the streaks it makes films as uneven as on the same photographs."""
NOISE = 0.004
"""Noise of a phone camera at mid grey, linear; guess."""
JPEG_QUALITY = 88


def scenes(paint: Paint, seed: int) -> Iterator[Scene]:
    """Scenes of one paint without end; films, lamps and alloys each come in turn, shuffled anew every round."""
    chance = np.random.default_rng(seed)
    turns = (_in_turn(list(kinds), chance) for kinds in (THICKNESSES.values(), LAMPS, ALLOYS))
    for thickness, lamp, alloy in zip(*turns, strict=True):
        yield Scene(paint, thickness, lamp, alloy)


def _in_turn(kinds: list[Any], chance: np.random.Generator) -> Iterator[Any]:
    while True:
        yield from (kinds[number] for number in chance.permutation(len(kinds)))


def paint_over(flank: StrippedFlank, scene: Scene, marking: Marking, chance: np.random.Generator) -> NDArray[np.uint8]:
    """Photo of the flank, uint8 sRGB (rows, cols, 3), with a film of another compound where its own was."""
    metal = in_alloy(flank.metal, scene.alloy, chance)
    there, film = lay_film(flank.share, marking, chance)
    thickness = scene.thickness * film
    scattered, through = scatter(scene.paint, thickness)
    relief = np.exp(RELIEF * _clouds(film.shape, (6, 2), chance)).astype(np.float32)
    mat = (flank.light * relief)[..., None] * _glow(metal) * scattered
    covered = mat + through**2 * metal + _sheen(metal, thickness)
    light = (metal + there[..., None] * (covered - metal)) * lamp_colour(scene.lamp)
    return photographed(light, _brightness(flank.metal), chance)


def in_alloy(metal: Field, alloy: Alloy, chance: np.random.Generator) -> Field:
    """The same flank cut from another alloy, light that it mirrors more than once included.

    Each bounce multiplies light by the metal's colour, so in logarithms of colour every place lies on a ray from grey;
    how far out tells how often its light was mirrored. What lies beside the ray shrinks with a paler metal. The
    photographed metal is taken for a kind of tin bronze.
    """
    own = np.median(_hue(metal.reshape(-1, 3)), axis=0)
    whole = _with_red_back(metal, own)
    bronze, other = (_hue(np.array(kind.reflectance, dtype=np.float32)) for kind in (ALLOYS[0], alloy))
    mean_bounces = float(np.clip(own @ bronze / (bronze @ bronze), 0.6, 2.6))
    hue, pull = _hue(whole), mean_bounces * other
    mirrored = np.clip(hue @ own / max(float(own @ own), 0.05), 0.3, MOST_BOUNCES).astype(np.float32)
    bounces = np.asarray(cv2.GaussianBlur(mirrored, (0, 0), 2.0))[..., None]
    colourful = float(np.clip(np.linalg.norm(pull) / max(float(np.linalg.norm(own)), 0.2), 0.2, 1.2))
    patchy = np.clip(0.75 + 0.35 * _clouds(metal.shape[:2], (40, 25), chance), 0, 1.2)
    skin = np.log(np.array(alloy.tarnish, dtype=np.float32)) * patchy[..., None]
    turned = (pull - own) * bounces + (colourful - 1) * (hue - own * bounces)
    changed = (whole + LEAST_LIGHT) * np.exp(turned + skin) - LEAST_LIGHT
    return np.asarray(np.maximum(changed, 0), dtype=np.float32)


def _hue(light: Field) -> Field:
    """Logarithms of red, green and blue less their mean."""
    logs = np.log(light + LEAST_LIGHT)
    return np.asarray(logs - logs.mean(axis=-1, keepdims=True), dtype=np.float32)


def _with_red_back(metal: Field, own: Field) -> Field:
    """The metal with burnt-out red put back as green and blue tell it, ``own`` being the hue of the whole flank."""
    hue = _hue(metal)
    bounces = (hue[..., 1] - hue[..., 2]) / max(float(own[1] - own[2]), 0.1)
    red = metal[..., 1] * np.exp(np.clip(bounces, 0, MOST_BOUNCES) * (own[0] - own[1]))
    burnt = np.clip((metal[..., 0] - BURNT[0]) / (BURNT[1] - BURNT[0]), 0, 1)
    back = metal.copy()
    back[..., 0] += burnt * np.maximum(red - metal[..., 0], 0)
    return back


def lay_film(share: Field, marking: Marking, chance: np.random.Generator) -> tuple[Field, Field]:
    """Where film lies (0 to 1, soft as the photo is) and how thick (1 = even) from the share that was there.

    The thread slides mostly along the face and draws the film out into streaks. A print runs out thinly to its border;
    a painted flank is rubbed bare and the paint pushed aside heaps up along the border.
    """
    ramp = np.clip((share - 0.12) / 0.4, 0, 1)
    there = ramp * ramp * (3 - 2 * ramp)
    inside = cv2.distanceTransform((share > 0.4).astype(np.uint8), cv2.DIST_L2, 5)
    if marking is Marking.TRANSFER:
        border = 1 - 0.6 * np.exp(-inside / 4.0)
    else:
        border = 1 + 0.7 * np.exp(-(((inside - 6.0) / 4.0) ** 2)) - 0.6 * np.exp(-inside / 2.0)
    streaks = np.exp(0.28 * _streaks(share.shape, chance) + 0.1 * _clouds(share.shape, (4, 3), chance))
    even = np.log(1 - COVERING * np.clip(share, 0.2, 1.05)) / np.log(1 - COVERING)
    thick = even * border * streaks
    return np.asarray(there, dtype=np.float32), np.asarray(thick, dtype=np.float32)


def scatter(paint: Paint, thickness: Field) -> tuple[Field, Field]:
    """What a film sends back by itself and what it lets through, (rows, cols, 3) each, 0..1.

    P. Kubelka, J. Opt. Soc. Am. 38 (1948) 448: a = 1 + K/S, b = sqrt(a^2 - 1), x = b S d;
    reflectance over black sinh x / (a sinh x + b cosh x), transmission b / (a sinh x + b cosh x).
    """
    absorbed, scattered = (np.array(each, dtype=np.float32) for each in (paint.absorbed, paint.scattered))
    a = 1 + absorbed / scattered
    b = np.sqrt(a * a - 1)
    x = np.clip(b * scattered * thickness[..., None], 1e-5, 40)
    below = a * np.sinh(x) + b * np.cosh(x)
    return np.asarray(np.sinh(x) / below, dtype=np.float32), np.asarray(b / below, dtype=np.float32)


def lamp_colour(lamp: str) -> Field:
    """Linear red, green and blue of a lamp as a camera leaves it, green = 1."""
    x, y = LAMPS[lamp]
    colour = FROM_XYZ @ np.array([x / y, 1, (1 - x - y) / y])
    left: Field = ((colour / colour[1]) ** LAMP_LEFT).astype(np.float32)
    return left


def photographed(light: Field, bright: float, chance: np.random.Generator) -> NDArray[np.uint8]:
    """The camera: exposed so that the brightest twentieth stays about as bright, with noise and as a JPEG."""
    gain = float(np.clip(bright / max(_brightness(light), 1e-6), 0.6, 1.7))
    exposed = light * gain
    grain = chance.normal(0, NOISE, light.shape) * np.sqrt(np.maximum(exposed, 0.01) / 0.2)
    file = io.BytesIO()
    Image.fromarray(encoded(exposed + grain.astype(np.float32))).save(file, "JPEG", quality=JPEG_QUALITY)
    return np.array(Image.open(file))


def _glow(metal: Field) -> Field:
    """Colour of the light that lies on a flank of this metal in white light, green = 1."""
    hue = np.median(_hue(metal.reshape(-1, 3)), axis=0)
    return np.asarray(np.exp(GLOW * (hue - hue[1])), dtype=np.float32)


def _brightness(light: Field) -> float:
    """What nineteen in twenty places stay below in their strongest colour, burnt out at 1."""
    return float(np.quantile(np.minimum(light.max(axis=-1), 1), 0.95))


def _sheen(metal: Field, thickness: Field) -> Field:
    """What the wet surface mirrors: as the metal does, but 4 % of it, white, and broken up by slopes of the film."""
    mirrored = cv2.GaussianBlur(metal.mean(axis=-1), (0, 0), 6.0) / np.float32(METAL_MIRRORS)
    slope = cv2.Sobel(cv2.GaussianBlur(thickness, (0, 0), 2.0), cv2.CV_32F, 0, 1, ksize=3)
    thick = thickness / (thickness + 1)
    broken = 1 + 0.8 * np.tanh(slope / max(2 * float(slope.std()), 1e-6))
    sheen: Field = (OIL_SHEEN * mirrored * thick * broken)[..., None].astype(np.float32)
    return sheen


def _streaks(shape: tuple[int, ...], chance: np.random.Generator) -> Field:
    """Streaks along the face, bowed as circles about the worm axis lie on a throated flank; mean 0, spread 1."""
    rows, cols = shape
    sheet = (rows + 40, cols)
    layers = [_clouds(sheet, sizes, chance) for sizes in ((70, 2.0), (35, 5.0), (18, 1.6))]
    even = np.asarray(np.sum(layers, axis=0) / 3**0.5, dtype=np.float32)
    along = np.linspace(-1, 1, cols, dtype=np.float32)
    bow = 20 + chance.uniform(-14, 14) * along + chance.uniform(4, 16) * (along**2 - 0.5)
    across, down = np.meshgrid(np.arange(cols, dtype=np.float32), np.arange(rows, dtype=np.float32))
    return np.asarray(cv2.remap(even, across, (down + bow).astype(np.float32), cv2.INTER_LINEAR), dtype=np.float32)


def _clouds(shape: tuple[int, ...], sizes: tuple[float, float], chance: np.random.Generator) -> Field:
    """Smooth chance variation, mean 0, spread 1; ``sizes``: its extent along and up in cells."""
    raw = chance.normal(0, 1, shape).astype(np.float32)
    smooth = cv2.GaussianBlur(raw, (0, 0), sizes[0], sigmaY=sizes[1], borderType=cv2.BORDER_REFLECT)
    return np.asarray((smooth - smooth.mean()) / max(float(smooth.std()), 1e-6), dtype=np.float32)
