"""A flank that was kept laid flat, with the border of the contact drawn thin."""

from __future__ import annotations

import io
from functools import lru_cache

from PIL import Image, ImageChops, ImageDraw, ImageFilter

from patternscan.reporting.drawing.lettering import DARK, LIGHT, PAPER, badge

WIDTH_PX, SIDE_PX = 512, 52
"""Width of a flank in the picture, and of the room beside it for the letters A and B."""
CONTACT_FROM = 192
"""A contact map holds 255 for contact, 128 for what could not be judged, 0 for the rest."""
LARGEST_PX = 20_000_000
"""Larger pictures are not of this tool."""
KEPT = 32
"""Flanks kept drawn, as page and PDF show the same ones and the last trial is also what was left."""


@lru_cache(maxsize=KEPT)
def draw_kept_flank(flat_file: bytes | None, contact_file: bytes | None) -> Image.Image | None:
    """The flank, tip above and end A on the left, or None when its picture is missing or damaged.

    The border of the contact is a dark line between two light ones, seen on every compound and on a grey printer.
    """
    flat = _opened(flat_file, "RGB")
    if flat is None:
        return None
    size = (WIDTH_PX, max(1, round(flat.height * WIDTH_PX / flat.width)))
    flat = flat.resize(size, Image.Resampling.LANCZOS)
    contact = _opened(contact_file, "L")
    if contact is not None:
        _draw_border(flat, contact)
    return _lettered(flat)


def _opened(content: bytes | None, mode: str) -> Image.Image | None:
    if content is None:
        return None
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG", "PNG")) as image:
            return image.convert(mode) if image.width * image.height <= LARGEST_PX else None
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError, Image.DecompressionBombWarning):
        return None


def _draw_border(flat: Image.Image, contact: Image.Image) -> None:
    grown = contact.resize(flat.size, Image.Resampling.BILINEAR).point(lambda tone: 255 * (tone >= CONTACT_FROM))
    for tone in (LIGHT, DARK, LIGHT):
        wider = grown.filter(ImageFilter.MaxFilter(3))
        flat.paste(tone, (0, 0), ImageChops.subtract(wider, grown))
        grown = wider


def _lettered(flat: Image.Image) -> Image.Image:
    picture = Image.new("RGB", (flat.width + 2 * SIDE_PX, flat.height), PAPER)
    picture.paste(flat, (SIDE_PX, 0))
    draw = ImageDraw.Draw(picture)
    draw.rectangle((SIDE_PX, 0, SIDE_PX + flat.width - 1, flat.height - 1), None, DARK, 2)
    for x, letter in ((SIDE_PX / 2, "A"), (SIDE_PX * 1.5 + flat.width, "B")):
        badge(draw, (x, flat.height / 2), letter, 20)
    return picture
