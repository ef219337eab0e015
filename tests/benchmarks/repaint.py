"""Photographed flanks repainted with every compound and read: `python tests/benchmarks/repaint.py` prints one table.

The sample photos show few compounds. Here the compound is taken off each flank and others are laid on in the same
place, thin and thick, in other lamps and on other alloys; the true contact stays what it was. What is read is the
rectified flank, so outline and mapping play no part beyond what the photo itself has of them. Columns: flanks painted;
per cent declined; per cent named right, of all and of those read; then of those read, whatever they were named: overlap
with the true contact, errors in points of face width and flank area, and per cent whose interval holds the truth. The
last row is that of the flanks as they were photographed.

`--photos DIR` takes another folder of photos with truth (layouts: see printed_flanks.py), `--told` tells the compound,
`--only WORD` keeps paints, films, lamps, alloys, markings or photos with that word, `--csv FILE` writes a row a flank,
`--keep DIR` the painted flanks. No part of the ordinary tests.
"""

from __future__ import annotations

import argparse
import csv
import sys
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, fields, replace
from itertools import islice
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from patternscan.errors import PatternscanError  # noqa: E402
from patternscan.frame import Compound, Marking  # noqa: E402
from patternscan.measuring.measurement import measure  # noqa: E402
from patternscan.seeing.geometry.rectified import RectifiedFlank  # noqa: E402
from patternscan.seeing.image.threads import use_one_thread  # noqa: E402
from patternscan.seeing.segmentation.contact_map import ContactMap  # noqa: E402
from tests.benchmarks.painted_film import PAINTS, Scene, paint_over, scenes  # noqa: E402
from tests.benchmarks.printed_flanks import MAP_SIZE, Mask, PrintedFlank, printed_flanks, strip_film  # noqa: E402
from tests.seeing.segmented import segmented  # noqa: E402

SAMPLES = ROOT / "sample_images"
EACH = 4
"""Scenes of each paint on each photo."""
PHOTOGRAPHED = "as photographed"
"""Scene of the flanks as they were, read for comparison."""
NOWHERE = float("nan")


@dataclass(frozen=True, slots=True, eq=False)
class PaintedFlank:
    """A flank as painted: ``flank`` is the photographed one with its truth, ``flat`` what is to be read."""

    flank: PrintedFlank
    scene: Scene
    flat: RectifiedFlank

    @property
    def label(self) -> str:
        """Photo, marking and scene in words."""
        return f"{self.flank.name}, {self.flank.marking}, {self.scene.label}"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What reading one painted flank gave; ``named`` is empty and numbers are not a number when it was declined.

    ``along`` and ``coverage``: found less true, in points; ``declined``: the reason in the tool's words.
    """

    photo: str
    marking: Marking
    compound: Compound
    scene: str
    declined: str = ""
    named: str = ""
    overlap: float = NOWHERE
    along: float = NOWHERE
    coverage: float = NOWHERE
    along_held: bool = False
    coverage_held: bool = False
    grave: bool = False


def painted_flanks(folder: Path = SAMPLES, each: int = EACH, only: str = "") -> Iterator[PaintedFlank]:
    """Every flank of a folder in ``each`` scenes of every paint; ``only`` those with this word in their label."""
    follow = {paint.name: scenes(paint, zlib.crc32(paint.name.encode())) for paint in PAINTS}
    for flank in printed_flanks(folder):
        stripped = strip_film(flank)
        for paint in PAINTS:
            for scene in islice(follow[paint.name], each):
                painted = PaintedFlank(flank, scene, flank.flat)
                if only not in painted.label:
                    continue
                chance = np.random.default_rng(zlib.crc32(painted.label.encode()))
                pixels = paint_over(stripped, scene, flank.marking, chance)
                yield replace(painted, flat=replace(flank.flat, pixels=pixels))


def read_painted(painted: PaintedFlank, told: bool = False) -> Outcome:
    """Read one painted flank and set it beside the truth."""
    bare = Outcome(painted.flank.name, painted.flank.marking, painted.scene.paint.compound, painted.scene.label)
    return _outcome(bare, painted.flank, painted.flat, told)


def read_photographed(flank: PrintedFlank, told: bool = False) -> Outcome:
    """Read a flank as it was photographed, with the compound it truly carries."""
    return _outcome(Outcome(flank.name, flank.marking, flank.compound, PHOTOGRAPHED), flank, flank.flat, told)


def _outcome(outcome: Outcome, flank: PrintedFlank, flat: RectifiedFlank, told: bool) -> Outcome:
    try:
        found = segmented(flat, flank.marking, outcome.compound if told else None)
    except PatternscanError as stop:
        return replace(outcome, declined=stop.found)
    measured = measure(found, flank.doubt)
    along = measured.along
    return replace(
        outcome,
        named=found.compound.value,
        overlap=overlap(found, flank.contact),
        along=NOWHERE if along is None else 100 * (along.value - flank.along),
        coverage=100 * (measured.coverage.value - flank.coverage),
        along_held=along is not None and along.holds(flank.along),
        coverage_held=measured.coverage.holds(flank.coverage),
        grave=any(caution.grave for caution in found.cautions),
    )


def overlap(found: ContactMap, true: Mask) -> float:
    """Contact found and true over contact found or true, where the flank was judged."""
    contact, judged = (
        cv2.resize(mask.astype(np.uint8), MAP_SIZE, interpolation=cv2.INTER_NEAREST) > 0
        for mask in (found.contact, found.judged)
    )
    either = int(((contact | true) & judged).sum())
    return float((contact & true & judged).sum()) / max(either, 1)


HEADS = (
    ("flanks", 8),
    ("declined", 10),
    ("named", 7),
    ("of read", 9),
    ("overlap", 9),
    ("10th", 6),
    ("along", 7),
    ("90th", 6),
    ("coverage", 10),
    ("90th", 6),
    ("held: along", 13),
    ("coverage", 10),
)


def table(outcomes: Sequence[Outcome]) -> Iterator[str]:
    """One row for each compound and marking, one for each paint, and one for all."""
    yield f"{'':22}" + "".join(f"{head:>{width}}" for head, width in HEADS)
    for compound in Compound:
        for marking in Marking:
            group = [one for one in outcomes if one.compound is compound and one.marking is marking]
            if group:
                yield row(f"{compound} {marking}", group)
    for place, heading in enumerate(("paint", "film", "lamp", "alloy")):
        yield f"by {heading}"
        kinds = dict.fromkeys(one.scene.split(", ")[place] for one in outcomes)
        for kind in kinds:
            yield row(f"  {kind}", [one for one in outcomes if one.scene.split(", ")[place] == kind])
    yield row("all", outcomes)


def row(name: str, outcomes: Sequence[Outcome]) -> str:
    """One row of the table."""
    read = [one for one in outcomes if not one.declined]
    right = sum(one.named == one.compound.value for one in read)
    figures = (
        len(outcomes),
        f"{share(len(outcomes) - len(read), len(outcomes))}%",
        f"{share(right, len(outcomes))}%",
        f"{share(right, len(read))}%",
        *(f"{value:.2f}" for value in quantiles([one.overlap for one in read], (0.5, 0.1))),
        *(f"{value:.1f}" for value in quantiles([abs(one.along) for one in read], (0.5, 0.9))),
        *(f"{value:.1f}" for value in quantiles([abs(one.coverage) for one in read], (0.5, 0.9))),
        f"{share(sum(one.along_held for one in read), len(read))}%",
        f"{share(sum(one.coverage_held for one in read), len(read))}%",
    )
    cells = (f"{figure:>{width}}" for figure, (_, width) in zip(figures, HEADS, strict=True))
    return f"{name:22}" + "".join(cells)


def share(part: int, whole: int) -> int:
    """Per cent, 0 of nothing."""
    return round(100 * part / whole) if whole else 0


def quantiles(values: Sequence[float], levels: Sequence[float]) -> list[float]:
    """Quantiles of the values that are numbers; not a number when there are none."""
    known = [value for value in values if value == value]
    return [float(np.quantile(known, level)) if known else NOWHERE for level in levels]


def keep_picture(painted: PaintedFlank, folder: Path) -> None:
    """Write a painted flank as PNG, named for its label."""
    folder.mkdir(parents=True, exist_ok=True)
    name = painted.label.replace(", ", ".").replace(" ", "_")
    Image.fromarray(painted.flat.pixels).save(folder / f"{name}.png")


def write_rows(outcomes: Sequence[Outcome], path: Path) -> None:
    """Write a row a flank as CSV."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, [field.name for field in fields(Outcome)])
        writer.writeheader()
        writer.writerows(asdict(outcome) for outcome in outcomes)


def main() -> None:
    """Paint, read, print."""
    parser = argparse.ArgumentParser(description="Read photographed flanks repainted with every compound.")
    parser.add_argument("--photos", type=Path, default=SAMPLES, metavar="DIR", help="photos with truth")
    parser.add_argument("--each", type=int, default=EACH, help="scenes of each paint on each photo")
    parser.add_argument("--only", default="", metavar="WORD", help="only flanks with this word in their label")
    parser.add_argument("--told", action="store_true", help="tell the compound instead of having it named")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="write a row a flank")
    parser.add_argument("--keep", type=Path, metavar="DIR", help="keep the painted flanks as PNG")
    chosen = parser.parse_args()
    use_one_thread()
    outcomes = []
    for painted in painted_flanks(chosen.photos, chosen.each, chosen.only):
        if chosen.keep is not None:
            keep_picture(painted, chosen.keep)
        outcomes.append(read_painted(painted, chosen.told))
    as_they_were = [read_photographed(flank, chosen.told) for flank in printed_flanks(chosen.photos)]
    if chosen.csv is not None:
        write_rows([*outcomes, *as_they_were], chosen.csv)
    print("\n".join([*table(outcomes), row(PHOTOGRAPHED, as_they_were)]))


if __name__ == "__main__":
    main()
