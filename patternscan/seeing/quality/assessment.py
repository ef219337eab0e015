"""How well one flank was photographed: what can be read of it, and what makes it uncertain."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.cautions import Caution
from patternscan.seeing.geometry.placed_flank import PlacedFlank
from patternscan.seeing.quality.detected_occlusion import detect_occlusion
from patternscan.seeing.quality.light import FlankLight, light_of
from patternscan.seeing.quality.photo_quality import judge_condition, judge_light
from patternscan.seeing.quality.surroundings import look_round


@dataclass(frozen=True, slots=True, eq=False)
class Assessment:
    """The light of what is seen of a flank, and the cautions about its photo."""

    light: FlankLight
    cautions: tuple[Caution, ...]


def assess(placed: PlacedFlank) -> Assessment:
    """Assess the photo of a flank; what is known to hide a part of it, or is seen to, is not read."""
    around = look_round(placed)
    covered, cover = detect_occlusion(placed, around)
    light = light_of(placed.rectified, placed.occluded | covered, around.tip_and_root)
    return Assessment(light, (*judge_condition(placed), *judge_light(light), *cover))
