"""One flank of one photo, read: its numbers, and the whole trail behind them."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.cautions import Caution
from patternscan.measuring.measurement import Measurement
from patternscan.measuring.widening import Widening
from patternscan.seeing.geometry.mapping import FlankMap
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.segmentation.contact_map import ContactMap


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """One flank of one photo with the whole trail, so that nothing is computed twice for drawing.

    ``measurement`` holds the numbers: where the contact lies and how much of the flank it covers, as fractions, each an
    ``Interval``. ``contact_map`` holds the contact, ``rectified`` the flank laid flat, both (rows, cols) with the tip
    in row 0 and end A in column 0. ``outline`` is in pixels of the photo as it is held, x right and y down;
    ``flank_map`` takes places from the photo to the flank. ``cautions`` are doubts, each with a remedy.

    ``ends_by_tag``: whether a printed tag shows the ends where the outline has them. ``widening``: by how much the
    intervals of ``measurement`` are wider than the photo alone asks for, None where no proof was given.
    """

    photo: Photo
    outline: Outline
    flank_map: FlankMap
    rectified: RectifiedFlank
    contact_map: ContactMap
    measurement: Measurement
    cautions: tuple[Caution, ...]
    ends_by_tag: bool = False
    widening: Widening | None = None
