"""What is given for a photo and is none: another kind of file, known by its first bytes, or a picture that was drawn
here, known by its comment or, saved again without it, by its look.

The marks of files are those of ISO/IEC 14496-12, RFC 8794, ISO 32000-1, ZIP and GIF89a, all from memory.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.errors import UnreadablePhoto

Tone = tuple[int, int, int]

TAKE_A_PHOTO = "Take a photo of the tooth: the single pictures of a video are small and blurred."
GIVE_THE_PHOTO = "Give the photo itself: JPEG, PNG, TIFF, WebP, AVIF or HEIC."
KINDS = (
    (4, b"ftyp", ("a video", TAKE_A_PHOTO)),
    (0, b"\x1aE\xdf\xa3", ("a video", TAKE_A_PHOTO)),
    (0, b"%PDF", ("a PDF", GIVE_THE_PHOTO)),
    (0, b"PK\3\4", ("an office document or a packed folder", GIVE_THE_PHOTO)),
    (0, b"GIF8", ("a GIF picture, which holds too few colours", GIVE_THE_PHOTO)),
)
"""Where the mark stands in a file, the mark, what the file is and what to do."""
DRAWN_HERE = "drawn by patternscan"
"""The comment of every picture that was drawn here."""
DARK, PAPER = (16, 16, 16), (245, 244, 240)
"""What pictures are drawn on, beside the photo."""
CONTACT_TONE = (120, 255, 90)
"""Light green of the broken line on dark: no marking compound and no bronze has it."""
OFF_GROUND, GROUND = 6, 0.7
"""Levels that a picture saved again lies off its ground at most, and part of its border strips that is ground: 0.8 or
more in 56 drawn pictures, saved down to 640 px and to quality 35; 0.24 or less in 97 photographs (dev, rims, port,
bare, the samples), as they are and saved so too."""
OFF_LINE, LINE = 40, 3e-6
"""Levels that a pixel of the broken line lies off a mixture of its two tones at most, and part of the picture that it
covers: 5e-6 or more in the same at 1280 px; 3e-6 or less in photographs, of which none has the ground."""
LONGEST, THIN = 4000, 4
"""No side of a picture drawn here has more pixels. Of its border strips every so many pixels of every so many rows are
looked at."""


def other_file(head: bytes) -> tuple[str, str] | None:
    """What a file with these first bytes is, and what to do; None where they do not tell, or it is a damaged photo."""
    if b"avif" in head:
        return None
    return next((told for at, mark, told in KINDS if head[at : at + len(mark)] == mark), None)


def refuse_drawing(image: Image.Image, name: str) -> None:
    """Raises UnreadablePhoto for a picture whose comment says that it was drawn here."""
    said = image.info.get("comment") or image.info.get("Comment") or ""
    if (said.decode("latin-1") if isinstance(said, bytes) else str(said)) == DRAWN_HERE:
        raise _drawn(name)


def refuse_copy(pixels: NDArray[np.uint8], name: str) -> None:
    """Raises UnreadablePhoto for pixels (rows, columns, 3) with ground and broken line of the pictures drawn here."""
    if _has_ground(pixels) and _green(pixels) > LINE:
        raise _drawn(name)


def _drawn(name: str) -> UnreadablePhoto:
    return UnreadablePhoto(f"{name} is a picture that patternscan has drawn, not a photo.", "Give the photo itself.")


def _has_ground(pixels: NDArray[np.uint8]) -> bool:
    """Whether top and right side are plain paper, or the lowest rows and the left side above them plain dark."""
    height, width = pixels.shape[:2]
    side = max(1, width // 64)
    paper = pixels[: max(1, height // 80)], pixels[:, -side:]
    dark = pixels[-max(1, height // 100) :], pixels[-max(1, height // 10) :, :side]
    return any(
        all(_part_of(tone, strip) > GROUND for strip in strips) for tone, strips in ((PAPER, paper), (DARK, dark))
    )


def _part_of(tone: Tone, strip: NDArray[np.uint8]) -> float:
    """Part of the strip that has this tone, by every THIN-th pixel of every THIN-th row."""
    off = np.abs(strip[::THIN, ::THIN].astype(np.int16) - np.array(tone, np.int16))
    return float((off <= OFF_GROUND).all(axis=2).mean())


def _green(pixels: NDArray[np.uint8]) -> float:
    """Part of the picture that is a mixture of the broken line's two tones, its own more than half; of a picture
    larger than any drawn here some pixels stand for all.
    """
    dark, line = np.array(DARK, np.float32), np.array(CONTACT_TONE, np.float32)
    seen = pixels[:: 1 + len(pixels) // LONGEST, :: 1 + pixels.shape[1] // LONGEST]
    red, green, blue = seen[..., 0], seen[..., 1], seen[..., 2]
    greenish = seen[(green > (dark[1] + line[1]) / 2) & (green > red) & (green > blue)]
    mixed = (greenish[:, 1:2] - dark[1]) / (line[1] - dark[1])
    on_line = (np.abs(greenish - (dark + mixed * (line - dark))) < OFF_LINE).all(axis=1)
    return float(np.count_nonzero(on_line) / green.size)
