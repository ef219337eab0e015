"""A rectified flank straight to its contact, for tests that need no photo."""

from __future__ import annotations

from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.quality.light import light_of
from patternscan.seeing.segmentation.contact_map import ContactMap, segment_contact
from patternscan.seeing.segmentation.net_segmentation import NetSegmentation, segment_by_net


def segmented(flank: RectifiedFlank, marking: Marking, compound: Compound | None) -> ContactMap:
    """The contact of a flank."""
    return segment_contact(light_of(flank), marking, compound)


def seen_by_net(flank: RectifiedFlank, marking: Marking, compound: Compound | None) -> NetSegmentation:
    """What the net sees of a flank."""
    return segment_by_net(light_of(flank), marking, compound)
