"""A tilted, curved, four-sided flank becomes the unit square, and back.

``FlankMap`` is the one small interface: anything that can say where a place on the flank is seen in the
photo, and which place a pixel shows. The patch blended from the four edges is the first of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.outline import Edge, Outline, resampled

Points = NDArray[np.float64]


class FlankMap(Protocol):
    """Where places on a flank are seen in the photo."""

    @property
    def uncertainty(self) -> float:
        """Likely error of a place, one standard deviation, as a fraction of the face width."""

    def to_photo(self, places: Points) -> Points:
        """Places (n, 2) as along, up to pixels (n, 2) as x, y."""


@dataclass(frozen=True, slots=True, eq=False)
class BlendedPatch:
    """The bilinearly blended patch over four edge curves, each run through by its length in the picture.

    ``lean`` says how the height is run through: the picture's middle between root and tip shows the place
    up = lean / (1 + lean), so that 1 is even and more than 1 means that the tip half takes more room.
    Source: S. A. Coons, Surfaces for Computer-Aided Design of Space Forms, MIT MAC-TR-41, 1967 (from memory).
    """

    root: Edge
    tip: Edge
    end_a: Edge
    end_b: Edge
    uncertainty: float
    lean: float = 1.0

    def to_photo(self, places: Points) -> Points:
        """Places (n, 2) as along, up to pixels (n, 2) as x, y; outside 0..1 the edges are held at their corners."""
        along = places[:, :1]
        up = places[:, 1:] / (places[:, 1:] + self.lean * (1 - places[:, 1:]))
        root, tip = resampled(self.root, along[:, 0]), resampled(self.tip, along[:, 0])
        end_a, end_b = resampled(self.end_a, up[:, 0]), resampled(self.end_b, up[:, 0])
        across = (1 - up) * root + up * tip
        lengthwise = (1 - along) * end_a + along * end_b
        corners = (1 - up) * ((1 - along) * self.root[0] + along * self.root[-1]) + up * (
            (1 - along) * self.tip[0] + along * self.tip[-1]
        )
        patch: Points = across + lengthwise - corners
        return patch


def map_outline(outline: Outline) -> FlankMap:
    """The patch blended from the edges in the picture: for outlines that fit no tooth (see ``pose.map_flank``)."""
    return BlendedPatch(outline.root, outline.tip, outline.end_a, outline.end_b, PATCH_UNCERTAINTY, PROFILE_LEAN)


PROFILE_LEAN = 1.26
"""The tip half of an involute flank faces the camera more, and is nearer to it, than the root half.

Worked out for involute profiles of 30 to 80 teeth seen 30 to 60 degrees off square from 4 to 8 face widths:
the middle of the picture shows up = 0.557 +/- 0.018 (tests/seeing/test_mapping.py).
"""
PATCH_UNCERTAINTY = 0.016
"""Error that remains of a blended patch along the face, one standard deviation, as a fraction of the face width.

Rendered photos of known wheels gave 0.016 half-way along the face; see also tests/seeing/test_mapping.py.
"""
