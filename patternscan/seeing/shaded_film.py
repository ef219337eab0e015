"""Compounds by colour and shade: for films that hardly change the colour of the metal, such as white on bronze.

``warmth`` and ``depth`` are those of ``film``; ``shade`` is the logarithm of the brightness. White leaves the colour
near that of the lamp, orange near that of bronze, but both are brighter than the polished metal beside them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound
from patternscan.seeing.film import FlankLight, Grid, Mask

Colour = NDArray[np.float32]
"""One colour: warmth, depth, shade."""

BARE_BRONZE = (0.7, 1.05)
"""Warmth and depth of machined gear bronze in white light, neighbouring flanks mirrored in it."""
BARE_SPREAD = (0.4, 0.6)
"""How far they vary between alloys, tarnish and places."""
METAL_PLAY = np.array([[0.06, 0.03, 0.0], [0.03, 0.15, 0.0], [0.0, 0.0, 0.30]], dtype=np.float32)
"""Covariance of warmth, depth and shade over the bare metal of one flank: what tells nothing about compound.
Median of 34 rendered photographs; the mirrored light makes metal deeper where it makes it warmer."""
LIGHT_SHARED = 0.35
"""Part of an unusual colour of the metal that the film beside it shows too: the lamp's, and bronze mirrored in both."""


@dataclass(frozen=True, slots=True)
class ShadedPigment:
    """A compound's colour as a full film in white light, and how far it varies, in warmth and depth.

    ``gain``: logarithm of the film's brightness over that of the bare metal beside it, and its spread: a mat film
    sends light everywhere, polished metal mostly past the camera. ``direction``: in warmth and depth, away from metal
    and from its mirror image alike. ``rarity``: unlikeliness before looking.
    """

    compound: Compound
    colour: tuple[float, float]
    spread: tuple[float, float]
    gain: tuple[float, float]
    direction: tuple[float, float]
    rarity: float = 0.0

    @property
    def way(self) -> Colour:
        """The direction as a unit step of colour, without shade."""
        return np.array([*self.direction, 0], dtype=np.float32) / np.float32(np.hypot(*self.direction))

    @property
    def half_tone(self) -> float:
        """Place on the way half-way between bare bronze and a full film."""
        return 0.5 * float(self.way[:2] @ (np.array(self.colour) + np.array(BARE_BRONZE)))

    @property
    def change(self) -> Colour:
        """From bare bronze to a full film: warmth, depth, shade."""
        warmth, depth = (own - bare for own, bare in zip(self.colour, BARE_BRONZE, strict=True))
        return np.array([warmth, depth, self.gain[0]], dtype=np.float32)

    def unlikeliness(self, film: Colour, metal: Colour) -> float:
        """Half the squared misfit of film and of the metal beside it, in spreads."""
        apart = [metal[k] - BARE_BRONZE[k] for k in (0, 1)]
        misfits = [(film[k] - self.colour[k] - LIGHT_SHARED * apart[k]) / self.spread[k] for k in (0, 1)]
        brighter = (film[2] - metal[2] - self.gain[0]) / self.gain[1]
        bare = [apart[k] / BARE_SPREAD[k] for k in (0, 1)]
        return self.rarity + 0.5 * float(sum(misfit**2 for misfit in (*misfits, brighter, *bare)))


SHADED_PIGMENTS = (
    ShadedPigment(Compound.BLUE, (-0.5, -0.4), (0.35, 0.4), (0.1, 0.8), (-1.0, -0.5)),
    ShadedPigment(Compound.BLUE, (-0.35, 0.15), (0.22, 0.25), (0.7, 0.6), (-1.0, -0.5)),
    ShadedPigment(Compound.WHITE, (0.28, 0.55), (0.25, 0.32), (1.3, 0.6), (-1.0, -0.5)),
    ShadedPigment(Compound.YELLOW, (0.65, 2.6), (0.22, 0.6), (1.1, 0.6), (-2.2, 1.0)),
    ShadedPigment(Compound.YELLOW, (0.8, 2.0), (0.2, 0.25), (1.1, 0.6), (-1.0, 1.0), rarity=0.5),
    ShadedPigment(Compound.RED, (2.0, 0.85), (0.3, 0.3), (0.4, 0.6), (1.0, -0.4)),
    ShadedPigment(Compound.RED, (1.3, 1.9), (0.25, 0.25), (0.8, 0.6), (1.0, 0.0)),
)
"""Common pigments: Prussian blue and a light blue, titanium white, chrome yellow and ochre, red, orange to red lead."""


@dataclass(frozen=True, slots=True, eq=False)
class ShadedLight:
    """Light of a flank: ``colours`` float32 (rows, cols, 3) of warmth, depth, shade; ``judged`` as in FlankLight."""

    colours: Grid
    judged: Mask


def with_shade(light: FlankLight) -> ShadedLight:
    """The colours of a flank together with its shade."""
    shade = np.log(light.brightness + np.float32(0.003))
    return ShadedLight(np.stack([light.warmth, light.depth, shade], axis=-1), light.judged)
