"""A decoded picture becomes upright pixels in sRGB, 8 bits each, nothing see-through.

Colour and turn are taken from its profile and EXIF; broken ones are passed over.
"""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

STRIP_ROWS = 32
"""Of a 12-megapixel photo so many rows stay near the processor; four times as many take a tenth longer."""
GROUND = (128, 128, 128)
"""Neutral grey laid under the see-through parts of a picture."""
ORIENTATION_TAG, BITS_TAG = 0x0112, 0x0102
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What brings a picture upright, by its EXIF orientation. Source: Exif 2.32 (CIPA DC-008), tag 274 (from memory)."""
SPACES = {"L": "GRAY", "RGB": "RGB", "CMYK": "CMYK"}
"""Colour space an ICC profile must name to fit a picture mode. Source: ICC.1:2022, table 19 (from memory)."""


LYING = (5, 6, 7, 8)
"""Orientations of a picture that is turned by a quarter."""


def upright_srgb(image: Image.Image, times: int = 1) -> NDArray[np.uint8]:
    """Pixels uint8 (rows, cols, 3) in sRGB of a loaded picture, so many times smaller and turned as its EXIF says."""
    plain = _opaque(_in_eight_bits(image))
    smaller = plain.reduce(times) if times > 1 else plain
    return _upright_pixels(_in_srgb(smaller), _orientation(image))


def lies(image: Image.Image) -> bool:
    """Whether a picture, once loaded, is still to be turned by a quarter."""
    return _orientation(image) in LYING


def _in_eight_bits(image: Image.Image) -> Image.Image:
    """Grey pictures with more than 8 bits a pixel brought to 8 bits by their full scale; others as they are."""
    if image.mode not in ("I", "F") and not image.mode.startswith("I;"):
        return image
    levels = np.asarray(image).astype(np.float32)
    if image.mode == "F":
        top = 1.0 if np.nanmax(levels, initial=0.0) <= 1.0 else 255.0
    else:
        bits = getattr(image, "tag_v2", {}).get(BITS_TAG, (16,))
        top = 2.0 ** min(bits[0], 16) - 1
    scaled = np.nan_to_num(levels * (255.0 / top))
    return Image.fromarray(np.rint(np.clip(scaled, 0, 255)).astype(np.uint8))


def _opaque(image: Image.Image) -> Image.Image:
    """The picture in mode L, RGB or CMYK, see-through parts laid on neutral grey; its colour profile stays with it."""
    if image.mode in SPACES and "transparency" not in image.info:
        return image
    if not image.has_transparency_data:
        plain = image.convert("L" if image.mode == "1" else "RGB")
    else:
        clear = image.convert("RGBA")
        plain = Image.new("RGB", image.size, GROUND)
        plain.paste(clear, mask=clear.getchannel("A"))
    if "icc_profile" in image.info:
        plain.info["icc_profile"] = image.info["icc_profile"]
    return plain


def _in_srgb(image: Image.Image) -> Image.Image:
    """The picture in sRGB by its own colour profile; a profile that is broken or does not fit is passed over."""
    content = image.info.get("icc_profile")
    if content:
        try:
            profile = ImageCms.ImageCmsProfile(io.BytesIO(content))
            space = profile.profile.xcolor_space.strip()
            named = profile.profile.profile_description or ""
            if space == SPACES[image.mode] and not named.startswith("sRGB"):
                target = ImageCms.createProfile("sRGB")
                turned = ImageCms.profileToProfile(image, profile, target, outputMode="RGB")
                return turned or image.convert("RGB")
        except (ImageCms.PyCMSError, OSError, TypeError, ValueError):
            pass
    return image if image.mode == "RGB" else image.convert("RGB")


def _orientation(image: Image.Image) -> int:
    """EXIF orientation, 1 where none is given or the EXIF is broken. Pillow has turned TIFF itself by now."""
    try:
        return int(image.getexif().get(ORIENTATION_TAG, 1))
    except Exception:  # broken EXIF raises many things and is no reason to refuse a photo
        return 1


def _upright_pixels(image: Image.Image, orientation: int) -> NDArray[np.uint8]:
    """Pixels of an RGB picture turned upright, strip by strip, so that no second whole copy stands in memory."""
    turn = TURNS.get(orientation)
    lying, backward = orientation in LYING, orientation in (3, 4, 7, 8)
    width, height = image.size
    rows = width if lying else height
    pixels = np.empty((rows, height if lying else width, 3), dtype=np.uint8)
    for top in range(0, rows, STRIP_ROWS):
        bottom = min(top + STRIP_ROWS, rows)
        first, last = (rows - bottom, rows - top) if backward else (top, bottom)
        strip = image.crop((first, 0, last, height) if lying else (0, first, width, last))
        pixels[top:bottom] = np.asarray(strip if turn is None else strip.transpose(turn))
    return pixels


def as_in_file(image: Image.Image, pixels: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Upright pixels turned back as they lie in the file of a picture; no copy."""
    orientation = _orientation(image)
    lying = pixels.transpose(1, 0, 2) if orientation in LYING else pixels
    across, down = orientation in (2, 3, 7, 8), orientation in (3, 4, 6, 7)
    return lying[:: -1 if down else 1, :: -1 if across else 1]
