"""Ways to tell compound from metal, side by side: `python tests/benchmarks/methods.py` prints one table.

All see the same rectified flanks of the sample photos, whose true contact is known, and all are told the compound's
colour. The last row is the package's own. Rivals come whole from general libraries (OpenCV, scikit-image).
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image
from skimage import color, filters

from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.quality.light import light_of
from patternscan.seeing.segmentation.colour_segmentation import find_readings, segment_by_colour
from patternscan.seeing.segmentation.film import colours_of
from patternscan.seeing.segmentation.net_segmentation import segment_by_net
from patternscan.workflow.read import read_flank
from tests.seeing.segmented import segmented

COLOR: Any = color
FILTERS: Any = filters
"""scikit-image has no type hints."""
SAMPLES = Path(__file__).parents[2] / "sample_images"
Mask = NDArray[np.bool_]
Method = Callable[[RectifiedFlank, Marking, Compound], Mask]

HUE_DEG = {Compound.BLUE: 270.0, Compound.YELLOW: 90.0, Compound.RED: 45.0, Compound.VIOLET: 315.0}
"""Direction of each compound in the a, b plane of CIELAB, roughly; white has none and is the lightest."""


def toward_compound(flat: RectifiedFlank, compound: Compound) -> NDArray[np.float64]:
    """How far every cell's colour goes toward the compound's: along its hue in CIELAB, or in lightness for white."""
    lab = COLOR.rgb2lab(flat.pixels)
    if compound not in HUE_DEG:
        return np.asarray(lab[..., 0], dtype=np.float64)
    angle = np.radians(HUE_DEG[compound])
    toward: NDArray[np.float64] = lab[..., 1] * np.cos(angle) + lab[..., 2] * np.sin(angle)
    return toward


def contact_of(painted: Mask, marking: Marking) -> Mask:
    """Compound is contact when printed, bare metal when rubbed off."""
    return painted if marking is Marking.TRANSFER else ~painted


def one_threshold(flat: RectifiedFlank, marking: Marking, compound: Compound) -> Mask:
    """Otsu's threshold on the colour toward the compound."""
    toward = toward_compound(flat, compound)
    return contact_of(toward > FILTERS.threshold_otsu(toward), marking)


def local_threshold(flat: RectifiedFlank, marking: Marking, compound: Compound) -> Mask:
    """The same colour against its mean in a wide neighbourhood, so that shade does not count."""
    toward = toward_compound(flat, compound)
    return contact_of(toward > FILTERS.threshold_local(toward, 301, method="gaussian"), marking)


def two_groups(flat: RectifiedFlank, marking: Marking, compound: Compound) -> Mask:
    """Two groups of colour in CIELAB (k-means); the group further toward the compound is compound."""
    cells = COLOR.rgb2lab(flat.pixels).reshape(-1, 3).astype(np.float32)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 40, 0.5)
    cv2.setRNGSeed(1)
    _, label, _ = cv2.kmeans(cells, 2, np.empty((0, 1), np.int32), stop, 3, cv2.KMEANS_PP_CENTERS)
    first = np.asarray(label).reshape(flat.pixels.shape[:2]) == 0
    toward = toward_compound(flat, compound)
    return contact_of(first if toward[first].mean() > toward[~first].mean() else ~first, marking)


def unlike_metal(flat: RectifiedFlank, marking: Marking, compound: Compound) -> Mask:
    """Colour difference (CIEDE2000) from the flank's own metal: the third of it that is least like the compound."""
    toward, lab = toward_compound(flat, compound), COLOR.rgb2lab(flat.pixels)
    metal = np.median(lab[toward <= FILTERS.threshold_multiotsu(toward, classes=3)[0]], axis=0)
    unlike = COLOR.deltaE_ciede2000(lab, np.broadcast_to(metal, lab.shape))
    return contact_of(unlike > FILTERS.threshold_otsu(unlike), marking)


def film_against_metal(flat: RectifiedFlank, marking: Marking, compound: Compound) -> Mask:
    """Segmentation by colour alone: the film's absorbance against the bare metal beside it."""
    colours = colours_of(light_of(flat))
    readings = find_readings(colours, {compound})
    found = segment_by_colour(readings, colours, marking)
    return np.zeros_like(flat.seen) if found is None else _enlarged(found.probability > 0.5, flat)


def net_alone(flat: RectifiedFlank, marking: Marking, compound: Compound) -> Mask:
    """What the net sees by itself."""
    return _enlarged(segment_by_net(light_of(flat), marking, compound).logit > 0, flat)


def both_fused(flat: RectifiedFlank, marking: Marking, compound: Compound) -> Mask:
    """What the package does: colours and the net fused."""
    return np.asarray(segmented(flat, marking, compound).contact)


def _enlarged(mask: Mask, flat: RectifiedFlank) -> Mask:
    rows, columns = flat.seen.shape
    return np.asarray(cv2.resize(mask.astype(np.uint8), (columns, rows), interpolation=cv2.INTER_NEAREST) > 0)


METHODS: dict[str, Method] = {
    "one threshold": one_threshold,
    "local threshold": local_threshold,
    "two groups of colour": two_groups,
    "unlike the metal": unlike_metal,
    "film against metal": film_against_metal,
    "net alone": net_alone,
    "film and net fused (kept)": both_fused,
}


@dataclass(frozen=True, slots=True, eq=False)
class Sample:
    """One rectified flank and its true contact, (rows, columns) as the flank."""

    flat: RectifiedFlank
    marking: Marking
    compound: Compound
    contact: Mask


def load_samples() -> Iterator[Sample]:
    """All sample flanks whose truth is known."""
    for name, known in json.loads((SAMPLES / "truth" / "truth.json").read_text()).items():
        outline = read_outline_file(SAMPLES / f"{name}.outline.json").outlines[0]
        marking, compound = Marking(known["marking"]), Compound(known["compound"])
        flat = read_flank(load_photo(SAMPLES / f"{name}.jpg"), outline, marking, compound).rectified
        with Image.open(SAMPLES / "truth" / f"{name}.contact.png") as image:
            size = (flat.pixels.shape[1], flat.pixels.shape[0])
            true = np.asarray(image.convert("L").resize(size, Image.Resampling.NEAREST)) > 127
        yield Sample(flat, marking, compound, true)


def errors(found: Mask, true: Mask) -> tuple[float, float, float]:
    """Overlap, and errors of the centroid along the face and of the coverage in points."""
    column = (np.arange(true.shape[1]) + 0.5) / true.shape[1]
    middles = [float((mask * column).sum() / max(mask.sum(), 1)) for mask in (found, true)]
    overlap = float((found & true).sum() / max((found | true).sum(), 1))
    return overlap, 100 * abs(middles[0] - middles[1]), 100 * abs(float(found.mean() - true.mean()))


def rows(samples: list[Sample]) -> Iterator[str]:
    """The table, one method a row."""
    heads = (
        ("overlap median", 15),
        ("least", 7),
        ("along median", 14),
        ("worst", 7),
        ("coverage median", 17),
        ("worst", 7),
    )
    yield f"{'method':28}" + "".join(f"{head:>{width}}" for head, width in heads)
    for name, method in METHODS.items():
        found = np.array([errors(method(one.flat, one.marking, one.compound), one.contact) for one in samples])
        (overlap, along, coverage), worst = np.median(found, axis=0), found.max(axis=0)
        figures = f"{overlap:15.2f}{found[:, 0].min():7.2f}{along:14.1f}{worst[1]:7.1f}{coverage:17.1f}{worst[2]:7.1f}"
        yield f"{name:28}{figures}"


if __name__ == "__main__":
    for row in rows(list(load_samples())):
        print(row, file=sys.stdout)
