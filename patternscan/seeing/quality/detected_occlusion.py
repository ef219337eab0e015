"""What stands in front of an end of the flank, or across it: a hand, a rag, a cable, the edge of the housing.

On every edge of a tooth the surface turns, so that its light and mostly its colour change there. What covers the edge
knows nothing of it: its colour runs on across the line where the person marked, or guessed, the edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from itertools import product

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.calibration.quality import (
    COVER_ALIKE,
    COVER_SPREADS,
    GRAVE_COVERED,
    LEAST_COVERED,
    LEAST_LIGHT,
    RUNS_ON,
    RUNS_ON_ACROSS,
    RUNS_ON_CHANGE,
    RUNS_ON_PART,
)
from patternscan.cautions import Caution, caution
from patternscan.quantiles import median, medians
from patternscan.seeing.geometry.placed_flank import PlacedFlank
from patternscan.seeing.image.lab import Singles
from patternscan.seeing.quality.surroundings import COLUMNS, MARGIN, ROWS, Surroundings

Mask = NDArray[np.bool_]
Places = tuple[slice, slice]

INNER, OUTER = slice(1, 9), slice(2, 10)
"""Rows or columns inside and outside an edge whose colours are compared; the edge is marked to a place or two only."""
END_COLUMNS, SEED_COLUMNS = 12, 8
"""Columns of an end whose tip and root edges are looked at, and of which the colours of the cover are taken."""
BETWEEN_COLUMNS, SLANT = 6, 16
"""Columns that are looked at together between the ends, and how far aside it may cross the root."""
WAY_PIECES = 4
"""Pieces of the way from tip to root whose colours are compared."""
COLOUR_GRAIN = 0.5
"""Variance of colour, squared CIE 1976 differences, that no picture is without: without it two even colours would lie
endlessly far apart, and even black would not be dark. A third less of it or more moves next to nothing."""
UNKNOWN = 1000.0
"""Stands for a distance that is too great, or that cannot be seen: in the dark, and outside the photo."""


def detect_occlusion(placed: PlacedFlank, around: Surroundings) -> tuple[Mask, tuple[Caution, ...]]:
    """Cells of the rectified flank, as ``placed.occluded``, that something else covers, and the caution for it."""
    edges = _Edges(around.colours, around.inside)
    covered = np.zeros((ROWS, COLUMNS), dtype=np.uint8)
    for places in edges.crossed():
        if not covered[places].all():
            covered |= edges.grown(places)
    rows, cols = placed.occluded.shape
    cells = cv2.resize(covered, (cols, rows), interpolation=cv2.INTER_NEAREST) > 0
    cells &= ~placed.occluded
    share = float(cells.mean())
    if share < LEAST_COVERED:
        return np.zeros_like(placed.occluded), ()
    return np.asarray(cells), (caution("much-covered" if share > GRAVE_COVERED else "covered", share=share),)


class _Edge(Enum):
    """An edge of the flank: whether it is an end, and whether it is the last row or column."""

    TIP = (False, False)
    ROOT = (False, True)
    END_A = (True, False)
    END_B = (True, True)


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """The flank with MARGIN cells around it, in CIE L*a*b*; ``inside``: cells that lie in the photo."""

    colours: Singles
    inside: Mask

    @property
    def play(self) -> float:
        """Standard deviation of the colours."""
        return float(np.sqrt(self.colours.var(axis=(0, 1)).sum()))

    @property
    def most(self) -> float:
        """By how much the colour of what runs on across an edge changes there, at most."""
        return min(RUNS_ON_CHANGE, RUNS_ON_PART * self.play)

    def crossed(self) -> Iterator[Places]:
        """Places (rows, columns) of the flank at which what covers it crosses two of its edges."""
        most = self.most
        upper, lower, whole = slice(0, ROWS // 2), slice(ROWS // 2, ROWS), slice(0, ROWS)
        for end, columns, seeds in (
            (_Edge.END_A, slice(0, END_COLUMNS), slice(0, SEED_COLUMNS)),
            (_Edge.END_B, slice(COLUMNS - END_COLUMNS, COLUMNS), slice(COLUMNS - SEED_COLUMNS, COLUMNS)),
        ):
            tip, root = (self._apart(edge, columns, most) for edge in (_Edge.TIP, _Edge.ROOT))
            for rows, beside in ((whole, min(tip, root)), (upper, tip), (lower, root)):
                if max(self._apart(end, rows, most), beside) < RUNS_ON:
                    yield rows, seeds
        yield from self._crossed_between(most)

    def _crossed_between(self, most: float) -> Iterator[Places]:
        """The same between the ends: what runs on at the tip, at the root and on the straight way between them."""
        starts = range(END_COLUMNS, COLUMNS - END_COLUMNS - BETWEEN_COLUMNS, 2)
        tip, root = (
            [start for start in starts if self._apart(edge, _between(start), most) < RUNS_ON_ACROSS]
            for edge in (_Edge.TIP, _Edge.ROOT)
        )
        flank = self.colours[MARGIN:-MARGIN, MARGIN:-MARGIN]
        for first, last in product(tip, root):
            if abs(first - last) > SLANT:
                continue
            way = [flank[rows, _between(start)].mean(axis=(0, 1)) for rows, start in _way(first, last)]
            if np.linalg.norm(np.ptp(way, axis=0)) < most:
                yield from ((rows, _between(start)) for rows, start in _way(first, last))

    def grown(self, places: Places) -> NDArray[np.uint8]:
        """The cells (ROWS, COLUMNS) of the colours found at some places, as far as they hang together."""
        rows, _ = places
        flank = self.colours[MARGIN:-MARGIN, MARGIN:-MARGIN]
        seeds = flank[places]
        middle = cv2.GaussianBlur(medians(seeds, axis=1)[:, None], (0, 0), 2.0).reshape(-1, 1, 3)
        spread = median(np.linalg.norm(seeds - middle, axis=2))
        own = np.pad(middle, ((rows.start, ROWS - rows.stop), (0, 0), (0, 0)), mode="edge")
        apart = np.linalg.norm(cv2.GaussianBlur(flank, (0, 0), 1.5) - own, axis=2)
        alike = (apart < COVER_ALIKE * self.most + COVER_SPREADS * spread).astype(np.uint8)
        framed = cv2.copyMakeBorder(alike, 4, 4, 4, 4, cv2.BORDER_REPLICATE)
        closed = cv2.morphologyEx(framed, cv2.MORPH_CLOSE, np.ones((7, 7), np.uint8))[4:-4, 4:-4]
        count, labels = cv2.connectedComponents(closed)
        kept = np.zeros(count, dtype=np.uint8)
        kept[labels[places]] = 1
        kept[0] = 0
        patch = kept[labels]
        return np.asarray(cv2.dilate(patch, np.ones((3, 7), np.uint8)))

    def _apart(self, edge: _Edge, places: slice, most: float) -> float:
        """How far the colours on the two sides of a piece of an edge lie apart; UNKNOWN where one side is not seen.

        UNKNOWN too where their means change by more than ``most``, and where one side is too dark to tell.

        Source: A. Bhattacharyya, On a measure of divergence between two statistical populations defined by their
        probability distributions, Bulletin of the Calcutta Mathematical Society 35 (1943), for normal laws.
        """
        end, last = edge.value
        colours, inside = (self.colours.transpose(1, 0, 2), self.inside.T) if end else (self.colours, self.inside)
        if last:
            colours, inside = colours[::-1], inside[::-1]
        along = slice(MARGIN + places.start, MARGIN + places.stop)
        within = colours[MARGIN + INNER.start : MARGIN + INNER.stop, along].reshape(-1, 3)
        outside = slice(MARGIN - OUTER.stop, MARGIN - OUTER.start)
        beyond = colours[outside, along].reshape(-1, 3)
        change = within.mean(axis=0) - beyond.mean(axis=0)
        if not inside[outside, along].all() or np.linalg.norm(change) > most or _dark(within) or _dark(beyond):
            return UNKNOWN
        first, second = within.var(axis=0) + COLOUR_GRAIN, beyond.var(axis=0) + COLOUR_GRAIN
        mixed = (first + second) / 2
        return float((change**2 / mixed).sum() / 8 + 0.5 * np.log(mixed / np.sqrt(first * second)).sum())


def _dark(colours: Singles) -> bool:
    """Whether colours (n, 3) tell of noise more than of what lies there: in the dark all things look alike."""
    return bool(colours[:, 0].mean() < LEAST_LIGHT * np.sqrt((colours.var(axis=0) + COLOUR_GRAIN).sum()))


def _between(start: int) -> slice:
    return slice(start, start + BETWEEN_COLUMNS)


def _way(first: int, last: int) -> Iterator[tuple[slice, int]]:
    """Rows and first column of the pieces of the straight way from a column at the tip to one at the root."""
    for piece in range(WAY_PIECES):
        rows = slice(piece * ROWS // WAY_PIECES, (piece + 1) * ROWS // WAY_PIECES)
        yield rows, round(first + (last - first) * (piece + 0.5) / WAY_PIECES)
