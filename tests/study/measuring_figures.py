"""What measuring makes of the contact maps of photographs: values, widths of intervals and how many hold the truth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from patternscan.measuring.interval import Interval
from patternscan.measuring.measurement import measure
from patternscan.seeing.geometry.placed_flank import PlaceUncertainty
from patternscan.seeing.segmentation.contact_map import ContactMap
from tests.study.photographed import photographed

PLACED = PlaceUncertainty(0.004, 0.012, 0.0126)
"""As clicked outlines leave it on a flank three times as wide as high."""
DOUBTFUL = ((0.72, None), (0.8, None), (0.7, 0.9), (0.7, 0.4), (0.9, 0.55), (0.7, 0.65), (0.9, 0.65))
"""Expected IoU and agreement of maps that are less sure, or less agreed on, than those of good photographs."""
QUANTITIES = ("along", "up", "coverage", "length", "height")


def measuring_figures() -> dict[str, float]:
    """Means over the maps as they are, with a third of the flank hidden, and less sure than they are."""
    found: dict[str, list[float]] = {}
    for one in photographed("dev"):
        found_maps = [(kind, each, False) for kind, each in _variants(one.reading.contact_map)]
        for kind, contact_map, lifted in (*found_maps, ("off a print", one.reading.contact_map, True)):
            measured = measure(contact_map, PLACED, lifted)
            for name in QUANTITIES:
                interval: Interval | None = getattr(measured, name)
                if interval is not None:
                    found.setdefault(f"{kind}: {name}", []).append(interval.value)
                    found.setdefault(f"{kind}: width of {name}", []).append(interval.width)
                    if name in one.scene.truth:
                        held = found.setdefault(f"{kind}: intervals of {name} that hold", [])
                        held.append(interval.holds(one.scene.truth[name]))
    return {name: float(np.mean(values)) for name, values in found.items()}


def _variants(found: ContactMap) -> Iterator[tuple[str, ContactMap]]:
    yield "as read", found
    judged = found.judged.copy()
    judged[:, : judged.shape[1] // 3] = False
    yield "a third hidden", replace(found, judged=judged)
    for expected_iou, agreement in DOUBTFUL:
        yield "less sure", replace(found, expected_iou=expected_iou, agreement=agreement)
