"""The whole way, once: a Reading is one flank, an Inspection is both flanks of one machine."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.cautions import Caution
from patternscan.judging.advice import Advice
from patternscan.judging.comparison import Comparison
from patternscan.measuring.measurement import Measurement
from patternscan.seeing.compound import CompoundMap
from patternscan.seeing.flank import FlattenedFlank
from patternscan.seeing.mapping import FlankMap
from patternscan.seeing.outline import Outline
from patternscan.seeing.photo import Photo


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """One flank of one photo with the whole trail, so that nothing is computed twice for drawing."""

    photo: Photo
    outline: Outline
    flank_map: FlankMap
    flattened: FlattenedFlank
    compound_map: CompoundMap
    measurement: Measurement
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Inspection:
    """Both flanks of one machine, compared, with the advice. ``cautions`` hold those of all readings and of the pair."""

    left: tuple[Reading, ...]
    right: tuple[Reading, ...]
    comparison: Comparison
    advice: Advice
    cautions: tuple[Caution, ...]
    machine: str | None = None
