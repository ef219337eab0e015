"""Pictures of rectified flanks whose contact is known, drawn by the hundred."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields

import torch
from torch import Tensor

from patternscan.seeing.segmentation.net_input import NAMES
from patternscan.training.drawn import camera
from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.film import KINDS, SHARES, Film, draw_pigment, hide, lay_film
from patternscan.training.drawn.light import Light, draw_light, draw_view, film_gloss
from patternscan.training.drawn.metal import bare_light, bounced, draw_metal, film_body, mirror_neighbour
from patternscan.training.drawn.pattern import Gaps, draw_pattern
from patternscan.training.drawn.soil import soil

RUB_OFF = 0.5
"""Share of flanks that were painted themselves; on the others the worm printed."""


@dataclass(frozen=True, slots=True, eq=False)
class Pictures:
    """``pixels`` (n, 3, rows, columns) sRGB from 0 to 1; ``seen``, true ``contact`` and ``amount`` of metal hidden by
    film, all (n, rows, columns) from 0 to 1; ``rub_off`` (n,) 1 or 0; ``kind`` (n,) numbers in film.KINDS.
    """

    pixels: Tensor
    seen: Tensor
    contact: Tensor
    amount: Tensor
    rub_off: Tensor
    kind: Tensor

    def each(self, change: Callable[[Tensor], Tensor]) -> Pictures:
        """The pictures with every array changed alike."""
        return Pictures(*(change(getattr(self, field.name)) for field in fields(self)))


def draw_pictures(dice: Dice, gaps: Gaps) -> Pictures:
    """Draw as many pictures as there are dice."""
    dice = dice.shaken()
    kind = dice.weighted_picks(SHARES)
    rub_off = dice.happens(RUB_OFF)
    pattern = draw_pattern(dice, gaps)
    film = lay_film(dice, pattern, rub_off, kind)
    light = draw_light(dice, draw_view(dice, pattern))
    sent, amount = _light_sent(dice, light, film, kind)
    pixels, seen = _photographed(dice, sent, light.colour)
    return Pictures(pixels, seen, film.contact, amount, rub_off[:, 0, 0], kind)


def _light_sent(dice: Dice, light: Light, film: Film, kind: Tensor) -> tuple[Tensor, Tensor]:
    """Light that flank and film send to the camera, and how much of the metal the film hides."""
    metal = draw_metal(dice)
    pigment = draw_pigment(dice, kind)
    mirror = mirror_neighbour(dice, bounced(dice, metal), film.thickness, draw_pigment(dice, _beside(dice, kind)))
    bare = bare_light(dice, metal, mirror, light)
    cover = hide(dice, film.thickness, pigment)
    gloss = film_gloss(dice, light, film.thickness)
    body = film_body(dice, metal, pigment, light)
    return soil(dice, cover.through * bare + (1 - cover.through) * body + gloss, light), cover.amount


def _beside(dice: Dice, kind: Tensor) -> Tensor:
    """What lies on the next tooth (count,): the same compound, or any where this flank is bare."""
    return torch.where(kind == KINDS.index("none"), dice.picks(len(NAMES)), kind)


def _photographed(dice: Dice, light: Tensor, colour: Tensor) -> tuple[Tensor, Tensor]:
    """Pixels and where the flank is seen, from the light that it sends and the general colour of the light."""
    light = camera.shade(dice, light) * colour
    light = camera.expose(dice, camera.balance(dice, light))
    light = camera.veil(dice, light, colour)
    shortened = camera.foreshorten(dice)
    light = camera.at_columns(camera.misplace(dice, light), shortened.of_photo)
    light = camera.add_noise(dice, camera.blur(dice, light))
    pixels = camera.at_columns(camera.develop(dice, light), shortened.of_flank)
    return camera.hide_part(dice, pixels)
