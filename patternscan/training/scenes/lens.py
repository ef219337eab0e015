"""What a telephone's camera makes of the light of a drawn scene: focus, glow, exposure, noise, sRGB, compression.

Light is linear, (n, 3, rows, columns).
"""

from __future__ import annotations

import torch
from torch import Tensor
from torch.nn import functional

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.film import KINDS

BRIGHTNESS = (0.21, 0.72, 0.07)
"""Weights of red, green and blue in luminance (IEC 61966-2-1, primaries of ITU-R BT.709; rounded)."""
BARE = KINDS.index("none")


def blurred(light: Tensor, spread_px: Tensor) -> Tensor:
    """Gaussian blur of each picture with its own spread (n,)."""
    count, channels, rows, columns = light.shape
    reach = 7
    run = torch.arange(-reach, reach + 1, device=light.device).float()[None]
    weights = torch.exp(-0.5 * (run / spread_px[:, None]) ** 2)
    weights = (weights / weights.sum(1, keepdim=True)).repeat_interleave(channels, 0)
    flat = light.reshape(1, count * channels, rows, columns)
    flat = functional.pad(flat, (reach, reach, reach, reach), mode="replicate")
    flat = functional.conv2d(flat, weights[:, None, None, :], groups=count * channels)
    flat = functional.conv2d(flat, weights[:, None, :, None], groups=count * channels)
    return flat.reshape(count, channels, rows, columns)


def much_blurred(light: Tensor, spread_px: Tensor) -> Tensor:
    """The same four times as wide, on a copy a quarter as large."""
    small = blurred(functional.avg_pool2d(light, 4), spread_px)
    return functional.interpolate(small, size=light.shape[2:], mode="bilinear")


def focused(dice: Dice, light: Tensor, depth: Tensor, focus: Tensor) -> Tensor:
    """Things nearer or farther than ``focus`` (n, 1, 1) are blurred, as far as the lens is open; then a little shake.
    ``depth`` (n, rows, columns).
    """
    aperture = dice.log_between(0.3, 8) * dice.happens(0.8)
    off = (aperture * (1 - focus / depth.clamp(min=0.1)).abs()).nan_to_num(3.0)
    soft = much_blurred(light, dice.numbers(0.5, 2))
    near_depth = functional.avg_pool2d(off.clamp(max=3)[:, None], 5, 1, 2)
    share = ((near_depth - 0.4) / 0.8).clamp(0, 1)
    mixed = light + share * (soft - light)
    much = (dice.numbers() < 0.12).float() * dice.numbers(0, 2.5)
    return blurred(mixed, dice.numbers(0.35, 0.9) + much)


def exposed(dice: Dice, light: Tensor, photo: Tensor) -> Tensor:
    """Light scaled to the sensor's full scale by the photo's own brightness, with the camera's white balance, glow of
    bright places and haze. ``photo`` (n, rows, columns): 1 where there is any.
    """
    weights = torch.tensor(BRIGHTNESS, device=dice.device)[None, :, None, None]
    bright = ((light * weights).sum(1) * photo).clamp(max=50)
    level = (bright.sum((1, 2)) / photo.sum((1, 2)))[:, None, None, None].clamp(min=1e-5)
    median = bright.flatten(1)[:, ::37].quantile(0.6, dim=1)[:, None, None, None].clamp(min=1e-5)
    measured = level**0.5 * median**0.5
    light = light / measured * dice.log_between(0.07, 0.6)[:, None]
    light = light * torch.exp(
        0.2 * dice.normals(1, 1, 1) * torch.tensor([1.0, 0, -1.3], device=dice.device)[:, None, None]
    )
    glow = much_blurred((light - 0.6).clamp(0, 4), dice.numbers(1, 5))
    haze = dice.happens(0.3) * dice.between(0, 0.05)
    return light + dice.between(0, 0.25)[:, None] * dice.happens(0.5)[:, None] * glow + haze[:, None]


def noisy(dice: Dice, light: Tensor) -> Tensor:
    """Photon and read noise, half of it smeared by the camera's own filter (own guess)."""
    gain = dice.log_between(0.0003, 0.01)[:, None]
    size = light.shape[2:]
    coarse = functional.interpolate(dice.normals(3, size[0] // 2, size[1] // 2), size=size, mode="bilinear")
    spread = (gain * light.clamp(min=0) * 0.6 + gain**2 * 0.3).sqrt() * 0.5
    return light + (0.5 * dice.normals(3, *size) + coarse) * spread


def developed(dice: Dice, light: Tensor) -> Tensor:
    """Saturation, the sRGB curve (IEC 61966-2-1), contrast, coarse chroma as in JPEG: 0 to 1."""
    grey = light.mean(1, keepdim=True)
    linear = (grey + (light - grey) * dice.between(0.6, 1.5)[:, None]).clamp(0, 1)
    pixels = torch.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear.clamp(min=1e-6) ** (1 / 2.4) - 0.055)
    pixels = pixels + dice.between(-0.25, 0.45)[:, None] * (pixels * pixels * (3 - 2 * pixels) - pixels)
    bright = pixels.mean(1, keepdim=True)
    chroma = functional.interpolate(functional.avg_pool2d(pixels - bright, 2), scale_factor=2.0, mode="bilinear")
    return torch.where(dice.happens(0.6)[:, None] > 0, bright + chroma, pixels).clamp(0, 1)
