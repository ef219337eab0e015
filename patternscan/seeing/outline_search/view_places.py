"""Places of one tooth at which a view of the wheel is set beside a picture: its flank in patches, its lines."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.outline_search import tooth_shape as shape
from patternscan.seeing.outline_search.image_features import Map

TIP_WORTH, ROOT_WORTH, END_WORTH, REAR_WORTH, INSIDE_WORTH = 1.0, 0.8, 0.5, 0.6, -0.2
"""What an edge on each line is worth; on a smooth flank an edge speaks against the view."""
HEIGHTS_INSIDE = (0.2, 0.5, 0.8)
BORDER_LINES = 4


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """``all`` (m, 4): patches of the flank, row after row, then points on its border and on further lines.

    ``line``, ``end``: how many points a line along the tooth and one from root to tip have; ``rows`` and ``columns``
    of patches; ``worths``: what an edge at each point behind the patches is worth.
    """

    all: Map
    line: int
    end: int
    rows: int
    columns: int
    worths: Map

    @property
    def patch(self) -> slice:
        """The patches, which lie in the middles of equal cells."""
        return slice(0, self.rows * self.columns)

    @property
    def tip(self) -> slice:
        """The tip edge."""
        return self._behind(0, self.line)

    @property
    def root(self) -> slice:
        """The root edge."""
        return self._behind(self.line, self.line)

    @property
    def border(self) -> slice:
        """All four edges of the flank: tip, root, ends."""
        return self._behind(0, 2 * self.line + 2 * self.end)

    @property
    def rear(self) -> slice:
        """The tip edge of the tooth's other side."""
        return self._behind(2 * self.line + 2 * self.end, self.line)

    @property
    def starts(self) -> NDArray[np.intp]:
        """Where each line begins among the points behind the patches."""
        rest = (len(self.worths) - 2 * self.line - 2 * self.end) // self.line
        lengths = [self.line, self.line, self.end, self.end, *[self.line] * rest]
        return np.cumsum([0, *lengths[:-1]])

    def _behind(self, first: int, count: int) -> slice:
        return slice(self.patch.stop + first, self.patch.stop + first + count)


def _places(line: int, end: int, rows: int, columns: int, heights_inside: tuple[float, ...]) -> Places:
    lengthwise = ((1.0, -1, REAR_WORTH), *((up, 1, INSIDE_WORTH) for up in heights_inside))
    lines = (
        (shape.lengthwise_line(1.0, 0, 1, line), TIP_WORTH),
        (shape.lengthwise_line(0.0, 0, 1, line), ROOT_WORTH),
        *((shape.end_line(across, 0, end), END_WORTH) for across in (-0.5, 0.5)),
        *((shape.lengthwise_line(up, 0, side, line), worth) for up, side, worth in lengthwise),
    )
    points = np.vstack([shape.flank_patch(0, rows, columns), *(line for line, _ in lines)]).astype(np.float32)
    worths = np.concatenate([np.full(len(line), worth / len(line)) for line, worth in lines]).astype(np.float32)
    return Places(points, line, end, rows, columns, worths)


THOROUGH = _places(17, 7, 3, 8, HEIGHTS_INSIDE)
QUICK = _places(7, 3, 2, 5, ())
