"""A lift in its place in a photo or scan, and how well it was taken."""

from __future__ import annotations

from patternscan.cautions import Caution
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.geometry.placed_flank import PlacedFlank, placed_by, refuse_outside
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.lifts.flat_patch import map_frame
from patternscan.seeing.lifts.frame_search import bent_as_drawn
from patternscan.seeing.quality.photo_quality import judge_condition, judge_darkness


def place_lift(photo: Photo, frame: Outline) -> PlacedFlank:
    """Find where each place of the flank lies in the drawn frame; one of which a person marked little more than the
    corners is bent as it is drawn.

    Raises InconsistentInputs when the frame cannot be this picture's.
    """
    refuse_outside(photo, frame)
    if frame.few_points:
        frame = bent_as_drawn(photo, frame)
    return placed_by(photo, frame, map_frame(frame))


def assess_lift(placed: PlacedFlank) -> tuple[Caution, ...]:
    """Cautions about where the camera stood, how still it was held, and too little light.

    White card may be overexposed: what the film takes is still seen.
    """
    dark = judge_darkness(placed.rectified.pixels.max(axis=2))
    return (*judge_condition(placed), *(() if dark is None else (dark,)))
