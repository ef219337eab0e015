"""Tears in a photo: where its file was damaged, JPEG goes on with shifted blocks or a false colour from there.

Such a tear runs along the border of two rows of blocks, over most of the width: to the right of the first bad block
above, to the left of it below. Nothing that a camera sees keeps to that grid, but the plain bars of a screenshot may.
Source of the grid: ITU-T T.81 annex A.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.errors import UnreadablePhoto
from patternscan.seeing.image.upright import as_in_file

BLOCK_PX = 8
TORN_LEVELS, TORN_RATIO = 10.0, 3.0
"""A block is torn from the one above when their lines differ by more levels than this, and than so many times what the
lines next to them differ by."""
TORN_SHARE = 0.2
"""Part of the width along which a photo is torn, on two borders that follow each other. 34 photographs of dev had 0.01
at most; of 204 copies with damage, 121 of 126 whose flank it hurt had more than 0.3."""
PLAIN_LEVELS = 8
"""Lines whose pixels differ by no more, side to side, are no picture but a bar above or below one."""
SMALLEST_BLOCK_PX = 4
"""Where a large photo was made smaller, blocks smaller than this have no border to see."""
ACROSS = 2
"""Of so many pixels of a line one is looked at."""


def refuse_torn(image: Image.Image, pixels: NDArray[np.uint8], name: str) -> None:
    """Raise UnreadablePhoto where the upright ``pixels`` of a JPEG are torn; ``image`` is that which they come from."""
    layers = getattr(image, "layer", [])
    if not layers:
        return
    times = max(1, round(max(image.size) / max(pixels.shape[:2])))
    width, height = (BLOCK_PX * max(layer[side] for layer in layers) // times for side in (1, 2))
    if min(width, height) < SMALLEST_BLOCK_PX:
        return
    if torn_share(as_in_file(image, pixels), (width, height), _coarseness(image)) > TORN_SHARE:
        raise UnreadablePhoto(
            f"{name} is damaged: a part of the picture is shifted, or of a false colour.",
            "Copy it from the phone or camera again, or take the photo again.",
        )


def _coarseness(image: Image.Image) -> float:
    """Levels to which the mean of a block is kept; coarse where a photo was saved badly (ITU-T T.81 annex A.3)."""
    tables = getattr(image, "quantization", {})
    return max((table[0] for table in tables.values()), default=0) / BLOCK_PX


def torn_share(pixels: NDArray[np.uint8], block_px: tuple[int, int], coarseness: float = 0.0) -> float:
    """Part of the width along which a picture (rows, cols, 3) is torn on two borders of block rows in succession.

    ``block_px``: width and height of its blocks; their means are kept to ``coarseness`` levels.
    """
    rows, columns = pixels.shape[:2]
    block_width, block_height = block_px
    borders, count = (rows - 2) // block_height, columns // block_width
    if borders < 1 or not count:
        return 0.0
    blocks = pixels[: borders * block_height + 2, : count * block_width]
    before, above, below, after = (_lines(blocks[block_height + by :: block_height][:borders]) for by in (-2, -1, 0, 1))
    jump, near_above, near_below = (
        _change(one, other, count) for one, other in ((above, below), (before, above), (below, after))
    )
    torn = (jump > TORN_LEVELS + coarseness + TORN_RATIO * np.maximum(near_above, near_below)).mean(axis=1)
    doubted = np.flatnonzero(torn)
    torn[doubted[_is_plain(before[doubted]) | _is_plain(after[doubted])]] = 0.0
    return float((torn + np.append(torn[1:], 0.0)).max())


def _is_plain(lines: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Which lines (n, m, 3) are of one colour from side to side, as the bars of a screenshot are, (n,)."""
    return np.asarray((lines.max(axis=1) - lines.min(axis=1)).max(axis=1) <= PLAIN_LEVELS)


def _lines(lines: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Lines (n, m, 3) with every ACROSS-th of their pixels, by OpenCV where it need not copy all of them first."""
    rows, columns = lines.shape[:2]
    if lines.strides[1] != lines.shape[2]:
        return np.ascontiguousarray(lines[:, ::ACROSS])
    every = cv2.resize(lines, (columns // ACROSS, rows), interpolation=cv2.INTER_NEAREST)
    return np.asarray(every, dtype=np.uint8)


def _change(one: NDArray[np.uint8], other: NDArray[np.uint8], blocks: int) -> NDArray[np.float64]:
    """Mean difference of two sets of lines (n, m, 3) in each block along them, (n, blocks)."""
    levels = cv2.absdiff(one, other).reshape(len(one) * blocks, -1)
    sums = np.asarray(cv2.reduce(levels, 1, cv2.REDUCE_SUM, dtype=cv2.CV_32S), dtype=np.float64)
    return sums.reshape(len(one), blocks) / levels.shape[1]
