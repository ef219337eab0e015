"""A picture in little, by which it is known again however it was saved."""

from __future__ import annotations

import binascii
from base64 import b64decode
from dataclasses import dataclass

Corners = tuple[tuple[float, float], ...]
"""Of a flank, (x, y) in parts of the picture's width and height: A root, B root, B tip, A tip."""
SIDE = 24
"""Cells a side; a cell of a phone's photo is a hundred pixels wide, so that what a saved copy loses averages out."""
STEPS = 256
"""Steps of a grey level that are kept."""
BYTES = 2 * SIDE * SIDE


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """A picture in little, by its file's bare name. ``cells``: mean grey of SIDE x SIDE cells in steps, rows from the
    top, 16 bits each, as base 64. Raises ValueError for cells that are something else.
    """

    name: str
    width_px: int
    height_px: int
    cells: str

    def __post_init__(self) -> None:
        if len(self.steps) != BYTES:
            raise ValueError(f"a fingerprint has {SIDE * SIDE} cells of two bytes, found {len(self.steps)} bytes")

    @property
    def steps(self) -> bytes:
        """The cells, two bytes each, the lower one first."""
        try:
            return b64decode(self.cells, validate=True)
        except binascii.Error as error:
            raise ValueError("a fingerprint is written as base 64") from error


@dataclass(frozen=True, slots=True)
class OutlinedPicture:
    """A picture in little and the corners of a flank in it."""

    picture: Fingerprint
    corners: Corners
