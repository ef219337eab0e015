"""What camera and flattening make of the light of the drawn flanks: shade, exposure, blur, noise, sRGB, parts missing.

Light is linear, (count, 3, rows, columns).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.fields import COLUMNS, HEIGHT, ROWS, along, noise, soft_step, spot, up, warp

BRIGHTNESS = (0.21, 0.72, 0.07)
"""Weights of red, green and blue in luminance (IEC 61966-2-1, primaries of ITU-R BT.709; rounded)."""
WELL_EXPOSED, ANY_EXPOSURE = (0.035, 0.4), (0.004, 1.0)
"""Where the 60th percentile of a flank comes to lie, full scale being 1; 82 in 100 are well exposed (own guess)."""
SPARSE = 37
"""One pixel in so many is enough for that percentile."""
REACH_PX = 9
"""Half the width of the blur's kernel."""
TORCH = 0.2
"""Share of flanks lit by a narrow torch (own guess)."""
TURNED_AWAY, LEAST_SEEN = 0.25, 0.06
"""Share of flanks one end of which turns away from the camera, as on straight rims, and how narrow the photo shows that
end at least, against the rest (own guess)."""
MOST_SHARPENED = 1.2
"""How much of what is fine a phone adds at most (own guess)."""
CUT = 0.12
"""Share of flanks of which a part is out of the picture or behind something (own guess)."""


def shade(dice: Dice, light: Tensor) -> Tensor:
    """Dark toward the root in the depth of the tooth space, and the shadow of a tooth or a hand (amounts own guess)."""
    depth = dice.between(0, 0.9) * dice.happens(0.4)
    below = dice.between(-0.1, 0.5) - up(dice) + 0.15 * noise(dice, 1, 2)
    kept = 1 - depth * soft_step(below, dice.log_between(4, 25))
    depth = dice.between(0, 0.85) * dice.happens(0.25)
    kept = kept * (1 - depth * soft_step(noise(dice, 2, 2) - 0.4, dice.log_between(1.5, 20)))
    return light * (kept * _torch_beam(dice))[:, None]


def _torch_beam(dice: Dice) -> Tensor:
    """A torch lights a part of the flank only, as through an inspection port; 1 without one (amounts own guess)."""
    reach, left = dice.log_between(0.2, 1), dice.log_between(0.02, 0.5)
    aside, above = along(dice) - dice.between(-0.1, 1.1), HEIGHT * (up(dice) - dice.between(-0.1, 1.1))
    beam = left + (1 - left) * torch.exp(-((aside**2 + above**2) / reach**2))
    return torch.where(dice.happens(TORCH) > 0, beam, torch.ones_like(beam))


def balance(dice: Dice, light: Tensor) -> Tensor:
    """The camera's white balance takes part of the mean colour back in half of the pictures (grey-world assumption)."""
    mean = light.mean((2, 3), keepdim=True).clamp(min=1e-4)
    part = dice.between(0, 0.45)[:, None] * dice.happens(0.5)[:, None]
    return light * (mean.mean(1, keepdim=True) / mean) ** part


def expose(dice: Dice, light: Tensor) -> Tensor:
    """Light scaled to the sensor's full scale."""
    luminance = (light * torch.tensor(BRIGHTNESS, device=dice.device)[None, :, None, None]).sum(1)
    measured = torch.quantile(luminance.flatten(1)[:, ::SPARSE], 0.6, dim=1)[:, None, None, None].clamp(min=1e-5)
    well = dice.happens(0.82) > 0
    target = torch.where(well, dice.between(*map(math.log, WELL_EXPOSED)), dice.between(*map(math.log, ANY_EXPOSURE)))
    return light / measured * torch.exp(target)[:, None]


def veil(dice: Dice, light: Tensor, colour: Tensor) -> Tensor:
    """Stray light in the lens: a soft bright patch, or a little haze over all (amounts own guess)."""
    patch = soft_step(spot(dice, 0.15, 0.6), dice.log_between(0.8, 3)) * dice.happens(0.15) * dice.between(0.05, 0.8)
    haze = dice.happens(0.3) * dice.between(0, 0.04)
    return light + (patch + haze)[:, None] * colour


def misplace(dice: Dice, light: Tensor) -> Tensor:
    """The flank as it comes out of an outline that lies a little off: warped, and a strip of what lies beyond its edges
    in view. Clicks of a careful person lie within some hundredths of the face (own guess).
    """
    off = dice.log_between(0.001, 0.02)
    from_root = up(dice) + dice.normals(1, 1) * off * 2 - off * noise(dice, 2, 4)
    from_tip = 1 - up(dice) + dice.normals(1, 1) * off * 2 - off * noise(dice, 2, 4)
    from_a = along(dice) + dice.normals(1, 1) * off - off * noise(dice, 3, 2)
    from_b = 1 - along(dice) + dice.normals(1, 1) * off - off * noise(dice, 3, 2)
    inward = torch.minimum(torch.minimum(from_root, from_tip) * 0.4, torch.minimum(from_a, from_b))
    outside = torch.sigmoid(-inward / 0.004)[:, None]
    beyond = light.mean((2, 3), keepdim=True) * dice.log_between(0.05, 4)[:, None]
    beyond = beyond * torch.exp(0.3 * dice.normals(3, 1, 1)) * torch.exp(0.5 * noise(dice, 6, 10))[:, None]
    bent = warp(dice, light, dice.log_between(0.001, 0.008))
    return bent * (1 - outside) + beyond * outside


@dataclass(frozen=True, slots=True, eq=False)
class Foreshortening:
    """Columns of the photo for those of the flank and the other way round, both (count, columns) from -1 to 1."""

    of_flank: Tensor
    of_photo: Tensor


def foreshorten(dice: Dice) -> Foreshortening:
    """How wide the photo shows each column of a flank, one end of which may turn away."""
    begin, turned = dice.numbers(0, 0.9)[:, None], dice.happens(TURNED_AWAY)[:, 0]
    least = dice.log_between(LEAST_SEEN, 1)[:, 0] ** turned
    column = ((torch.arange(COLUMNS, device=dice.device) + 0.5) / COLUMNS).repeat(dice.count, 1)
    wide = 1 - (1 - least) * ((column - begin) / (1 - begin)).clamp(min=0)
    wide = torch.where(dice.happens(0.5)[:, 0] > 0, wide, wide.flip(1))
    in_photo = (wide.cumsum(1) - wide / 2) / wide.sum(1, keepdim=True)
    after = torch.searchsorted(in_photo, column).clamp(1, COLUMNS - 1)
    before, beyond = in_photo.gather(1, after - 1), in_photo.gather(1, after)
    of_photo = (after - 0.5 + (column - before) / (beyond - before)) / COLUMNS
    return Foreshortening(2 * in_photo - 1, 2 * of_photo - 1)


def at_columns(picture: Tensor, columns: Tensor) -> Tensor:
    """A picture (count, 3, rows, columns) read at other columns (count, columns) from -1 to 1."""
    rows = (torch.arange(ROWS, device=picture.device) + 0.5) / ROWS * 2 - 1
    places = torch.stack(torch.broadcast_tensors(columns[:, None], rows[:, None]), -1)
    return functional.grid_sample(picture, places, padding_mode="border", align_corners=False)


def blur(dice: Dice, light: Tensor) -> Tensor:
    """Focus and shake: a Gaussian of its own width along and across, much wider in a tenth of the pictures."""
    much = (dice.numbers() < 0.1).float()
    along_px = dice.numbers(0.3, 1.8) + much * dice.numbers(0, 4)
    across_px = dice.numbers(0.3, 1.8) + much * dice.numbers(0, 3)
    channels = 3 * dice.count
    rows = _kernel(along_px).repeat_interleave(3, 0)[:, None, None, :]
    columns = _kernel(across_px).repeat_interleave(3, 0)[:, None, :, None]
    flat = light.reshape(1, channels, ROWS, COLUMNS)
    flat = functional.conv2d(functional.pad(flat, (REACH_PX, REACH_PX, 0, 0), mode="reflect"), rows, groups=channels)
    flat = functional.conv2d(functional.pad(flat, (0, 0, REACH_PX, REACH_PX), mode="reflect"), columns, groups=channels)
    return flat.reshape(dice.count, 3, ROWS, COLUMNS)


def _kernel(width_px: Tensor) -> Tensor:
    """Weights (count, 19) of Gaussians of these widths (count,)."""
    place = torch.arange(-REACH_PX, REACH_PX + 1, device=width_px.device).float()[None]
    weights = torch.exp(-0.5 * (place / width_px[:, None]) ** 2)
    return weights / weights.sum(1, keepdim=True)


def add_noise(dice: Dice, light: Tensor) -> Tensor:
    """Photon noise grows with the root of the light (Poisson), read noise is the same everywhere; half of it is smeared
    over two pixels by the camera's demosaicing and noise filter (own guess).
    """
    gain = dice.log_between(0.0005, 0.012)[:, None]
    fine = dice.normals(3, ROWS, COLUMNS)
    coarse = functional.interpolate(dice.normals(3, ROWS // 2, COLUMNS // 2), size=(ROWS, COLUMNS), mode="bilinear")
    spread = (gain * light.clamp(min=0) * 0.6 + gain**2 * 0.3).sqrt() * 0.5
    return light + (0.5 * fine + coarse) * spread


def develop(dice: Dice, light: Tensor) -> Tensor:
    """Saturation, the sRGB curve (IEC 61966-2-1), the camera's contrast, chroma at half resolution in most pictures as
    in JPEG 4:2:0, sharpening by unsharp masking, and eight bits: (count, 3, rows, columns) from 0 to 1.
    """
    saturation = dice.between(0.85, 1.6)[:, None]
    grey = light.mean(1, keepdim=True)
    linear = (grey + (light - grey) * saturation).clamp(0, 1)
    pixels = torch.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear.clamp(min=1e-6) ** (1 / 2.4) - 0.055)
    contrast = dice.between(-0.25, 0.45)[:, None]
    pixels = pixels + contrast * (pixels * pixels * (3 - 2 * pixels) - pixels)
    bright = pixels.mean(1, keepdim=True)
    chroma = functional.avg_pool2d(pixels - bright, 2)
    chroma = functional.interpolate(chroma, size=(ROWS, COLUMNS), mode="bilinear")
    pixels = torch.where(dice.happens(0.6)[:, None] > 0, bright + chroma, pixels)
    pixels = pixels + (dice.between(0, MOST_SHARPENED) * dice.happens(0.6))[:, None] * (pixels - _softened(pixels))
    return (pixels.clamp(0, 1) * 255).round() / 255


def _softened(pixels: Tensor) -> Tensor:
    """Pixels by the mean of those about them."""
    around = functional.avg_pool2d(pixels, 3, 1, 1, count_include_pad=False)
    return functional.avg_pool2d(around, 3, 1, 1, count_include_pad=False)


def hide_part(dice: Dice, pixels: Tensor) -> tuple[Tensor, Tensor]:
    """Pixels with a grey or black part where nothing of the flank is seen, beyond a wavy line; 1 where it is seen."""
    cut, angle = dice.happens(CUT), dice.between(0, 2 * math.pi)
    beyond = (along(dice) - 0.5) * torch.cos(angle) + (up(dice) - 0.5) * torch.sin(angle)
    hidden = (beyond + 0.05 * noise(dice, 2, 2) - dice.between(0.15, 0.45) > 0) & (cut > 0)
    grey = torch.where(dice.happens(0.5) > 0, dice.between(), dice.between(0, 0.1))
    return torch.where(hidden[:, None], grey[:, None].expand_as(pixels), pixels), (~hidden).float()
