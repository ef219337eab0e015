"""What stands in front of an end of the flank, or across it: a hand, a rag, a cable, the edge of the housing.

On every edge of a tooth the surface turns, so that its light and mostly its colour change there. What covers the edge
knows nothing of it: its colour runs on across the line where the person marked, or guessed, the edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.frame import percent
from patternscan.seeing.flank import FLAT_COLUMNS, FLAT_ROWS
from patternscan.seeing.mapping import FlankMap
from patternscan.seeing.photo import Photo

Mask = NDArray[np.bool_]
Lab = NDArray[np.float32]

ROWS, COLUMNS = 32, 128
"""Grid of places on the flank that are looked at."""
MARGIN = 10
"""So many rows and columns beyond each edge are looked at too, as far as the edge runs on straight."""
INNER, OUTER = slice(2, 6), slice(3, 7)
"""Rows or columns inside and outside an edge whose colours are compared; the edge is marked to a place or two only."""
END_COLUMNS = 8
"""Columns of an end that are looked at together."""
RUNS_ON, RUNS_ON_ACROSS, RUNS_ON_PART = 6.0, 4.0, 0.33
"""Colour runs on across an edge when it changes by less than this (CIE 1976 colour difference; the second between the
ends) and than this part of the change on the middling edge. On 47 rendered flanks two of the three edges that meet at
an end changed by 7.5 and more, at covered ends by 5 at most; tip and root opposite each other by 5.7 and more."""
UNKNOWN = 1000.0
"""Stands for a change of colour that cannot be seen, since one side of the edge lies outside the photo."""
ALIKE, ALIKE_SPREADS = 7.0, 1.5
"""Places belong to what covers the edge when their colour differs from its own by less than this and its spread."""
LEAST_COVERED, GRAVE_COVERED = 0.03, 0.25
"""Parts of the flank from which on a cover is spoken of, and from which on it forbids a direction."""


def find_covered(photo: Photo, flank_map: FlankMap, hidden: Mask) -> tuple[Mask, tuple[Caution, ...]]:
    """Cells of the flattened flank (FLAT_ROWS, FLAT_COLUMNS) that something covers, and the caution that says so.

    ``hidden``: cells known to be hidden already; a cover that hides no more than those is not told.
    """
    surroundings = _look_around(photo, flank_map)
    covered = np.zeros((ROWS, COLUMNS), dtype=np.uint8)
    for columns in surroundings.crossed():
        covered |= surroundings.grown(columns)
    cells = cv2.resize(covered, (FLAT_COLUMNS, FLAT_ROWS), interpolation=cv2.INTER_NEAREST) > 0
    cells &= ~hidden
    share = float(cells.mean())
    if share < LEAST_COVERED:
        return np.zeros_like(hidden), ()
    told = Caution(
        "covered",
        f"Something covers {percent(share)} of the flank: its colour runs on across the edges of the tooth.",
        "Take away what is in front (a hand, a rag, a cover) or turn the wheel, and take the photo again.",
        grave=share > GRAVE_COVERED,
    )
    return np.asarray(cells), (told,)


@dataclass(frozen=True, slots=True, eq=False)
class _Surroundings:
    """The flank with MARGIN cells around it, in CIE L*a*b*; ``inside``: cells that lie in the photo."""

    colours: Lab
    inside: Mask

    @property
    def flank(self) -> Lab:
        """The flank alone (ROWS, COLUMNS, 3)."""
        return self.colours[MARGIN:-MARGIN, MARGIN:-MARGIN]

    def crossed(self) -> Iterator[slice]:
        """Columns of the flank on which what covers it crosses the edges."""
        tip, root = self._steps((False, False)), self._steps((False, True))
        ends = [self._steps((True, False)), self._steps((True, True))]
        usual = float(np.median(np.concatenate([tip, root, *ends])))
        limit, across = (min(most, RUNS_ON_PART * usual) for most in (RUNS_ON, RUNS_ON_ACROSS))
        for steps, columns in zip(ends, (slice(0, END_COLUMNS), slice(COLUMNS - END_COLUMNS, COLUMNS)), strict=True):
            beside = min(float(np.percentile(edge[columns], 75)) for edge in (tip, root))
            if max(beside, float(np.percentile(steps, 75))) < limit:
                yield columns
        for start in range(END_COLUMNS, COLUMNS - 2 * END_COLUMNS, END_COLUMNS // 2):
            columns = slice(start, start + END_COLUMNS)
            if max(float(np.percentile(edge[columns], 75)) for edge in (tip, root)) < across:
                yield columns

    def grown(self, columns: slice) -> NDArray[np.uint8]:
        """The places (ROWS, COLUMNS) of the colours found on some columns, as far as they hang together."""
        middle = np.median(self.flank[:, columns], axis=1, keepdims=True)
        own = cv2.GaussianBlur(middle, (0, 0), 2.0).reshape(ROWS, 1, 3)
        spread = float(np.median(np.linalg.norm(self.flank[:, columns] - own, axis=2)))
        apart = np.linalg.norm(cv2.GaussianBlur(self.flank, (0, 0), 1.5) - own, axis=2)
        alike = (apart < ALIKE + ALIKE_SPREADS * spread).astype(np.uint8)
        framed = cv2.copyMakeBorder(alike, 4, 4, 4, 4, cv2.BORDER_REPLICATE)
        whole = cv2.morphologyEx(framed, cv2.MORPH_CLOSE, np.ones((7, 7), np.uint8))[4:-4, 4:-4]
        _, labels = cv2.connectedComponents(whole)
        kept = np.unique(labels[:, columns])
        patch = np.isin(labels, kept[kept > 0]).astype(np.uint8)
        return np.asarray(cv2.dilate(patch, np.ones((3, 7), np.uint8)))

    def _steps(self, edge: tuple[bool, bool]) -> NDArray[np.float32]:
        """Change of colour across an edge at each of its places; ``edge``: an end?, the last row or column?

        UNKNOWN where the photo shows only one side of it.
        """
        end, last = edge
        colours, inside = self.colours, self.inside
        if end:
            colours, inside = colours.transpose(1, 0, 2), inside.T
        if last:
            colours, inside = colours[::-1], inside[::-1]
        beyond, within = (
            slice(MARGIN - OUTER.stop, MARGIN - OUTER.start),
            slice(MARGIN + INNER.start, MARGIN + INNER.stop),
        )
        change = cv2.blur(
            colours[within].mean(axis=0, keepdims=True) - colours[beyond].mean(axis=0, keepdims=True), (5, 1)
        )
        steps = np.linalg.norm(change[0], axis=1)
        steps[~inside[beyond].all(axis=0)] = UNKNOWN
        return np.asarray(steps[MARGIN:-MARGIN], dtype=np.float32)


def _look_around(photo: Photo, flank_map: FlankMap) -> _Surroundings:
    """Look up the flank and, as far as its edges run on straight, what lies beyond them."""
    along, up = (np.arange(COLUMNS) + 0.5) / COLUMNS, 1 - (np.arange(ROWS) + 0.5) / ROWS
    places = np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)
    at = flank_map.to_photo(places).reshape(ROWS, COLUMNS, 2)
    at = _run_on(_run_on(at, 0), 1)
    size = np.array([photo.width_px, photo.height_px])
    inside = np.all((at >= 0) & (at <= size - 1), axis=-1)
    low = np.clip(np.floor(at.min(axis=(0, 1))).astype(int) - 4, 0, size - 2)
    high = np.clip(np.ceil(at.max(axis=(0, 1))).astype(int) + 5, low + 2, size)
    part = photo.pixels[low[1] : high[1], low[0] : high[0]]
    cell = float(np.linalg.norm(np.diff(at[:: ROWS // 2], axis=1), axis=2).mean())
    scale = min(1.0, 2.0 / max(cell, 1e-6))
    small = cv2.GaussianBlur(cv2.resize(part, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), (0, 0), 1.0)
    chart = ((at - low + 0.5) * scale - 0.5).astype(np.float32)
    looked = cv2.remap(small, chart[..., 0], chart[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    colours = cv2.cvtColor(looked.astype(np.float32) / 255, cv2.COLOR_RGB2Lab)
    return _Surroundings(np.asarray(colours, dtype=np.float32), inside)


def _run_on(at: NDArray[np.float64], axis: int) -> NDArray[np.float64]:
    """The places with MARGIN more on either side of an axis, a straight line's continuation."""
    ahead = np.arange(1, MARGIN + 1).reshape((-1, 1, 1) if axis == 0 else (1, -1, 1))
    first, second, third, last = (np.take(at, [k], axis=axis) for k in (0, 6, -7, -1))
    before = first + (first - second) / 6 * np.flip(ahead, axis=axis)
    after = last + (last - third) / 6 * ahead
    return np.concatenate([before, at, after], axis=axis)
