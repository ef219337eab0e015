"""What decoding a photo takes of memory: large ones are made smaller on the way, too heavy ones refused before it."""

from __future__ import annotations

import math

from PIL import Image

from patternscan.errors import UnreadablePhoto

MOST_DECODED_BYTES = 800_000_000
"""Beside the program's own 100 MB, and what is drawn later in less, a photo so keeps the process below 1 GB."""
DECODED_BYTES = {"RGB": 4, "L": 5, "CMYK": 8, **dict.fromkeys(("F", "I", "I;16", "I;16B"), 17)}
OTHER_DECODED_BYTES = 15
"""Peak of decoding, a pixel: 4 for Pillow's RGB, more for each mode on the way to it and for a decoder that hands over
whole pictures (WebP, AVIF, HEIC). Measured on photos of 108 and 249 megapixels."""
KEPT_BYTES, PROFILE_BYTES = 3, 4
"""A pixel of the upright picture, and on its way through a colour profile."""
WHOLE_DECODERS = ("WEBP", "AVIF", "HEIF")
COEFFICIENT_BYTES = 2
"""A progressive JPEG is kept whole as coefficients until its last scan. Source: ITU-T T.81 annex G (from memory)."""
MOST_TIMES = 8
"""JPEG is decoded at a half, a quarter or an eighth of its size. Source: the blocks of 8 by 8 of ITU-T T.81."""


def times_to_hold(size_px: tuple[int, int], megapixels: float) -> int:
    """How many times smaller, a power of two, a picture has so many megapixels at most; never more than MOST_TIMES."""
    excess = size_px[0] * size_px[1] / (megapixels * 1e6)
    return min(1 << math.ceil(math.log(max(excess, 1.0), 4)), MOST_TIMES)


def drafted(image: Image.Image, times: int) -> int:
    """Let the decoder make the picture so many times smaller, if it can; how many times are left to do after it."""
    width, height = image.size
    if times > 1:
        image.draft(None, (width // times, height // times))
    return max(1, times * image.width // width)


def refuse_weight(image: Image.Image, file_px: tuple[int, int], times: int, name: str) -> None:
    """Refuse, before it is decoded, a photo that would take more memory than MOST_DECODED_BYTES.

    ``file_px``: its size in the file, before the decoder made it smaller; ``times``: how many times smaller it is made
    after decoding.
    """
    width, height = file_px
    needed = image.width * image.height * _bytes_a_pixel(image, times) + width * height * _coefficient_bytes(image)
    if needed > MOST_DECODED_BYTES:
        raise UnreadablePhoto(
            f"{name} has {width} x {height} pixels and would take {needed / 1e9:.1f} GB of memory; "
            f"{MOST_DECODED_BYTES / 1e9:.1f} GB is the limit.",
            "Save it smaller, or let the camera take fewer megapixels: 12 are plenty.",
        )


def _bytes_a_pixel(image: Image.Image, times: int) -> float:
    whole = image.format in WHOLE_DECODERS
    decoded = OTHER_DECODED_BYTES if whole else DECODED_BYTES.get(image.mode, OTHER_DECODED_BYTES)
    profile = PROFILE_BYTES if "icc_profile" in image.info else 0
    return decoded + (KEPT_BYTES + profile) / times**2


def _coefficient_bytes(image: Image.Image) -> float:
    """Bytes of a progressive JPEG's coefficients for a pixel of its file; colours may be kept at half the size."""
    layers = getattr(image, "layer", [])
    if "progressive" not in image.info or not layers:
        return 0.0
    sizes: list[int] = [across * down for _, across, down, _ in layers]
    return COEFFICIENT_BYTES * sum(sizes) / max(sizes)
