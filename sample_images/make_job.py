"""Makes goods_lift_job, the invented job of a goods lift from as-found to sign-off: `python sample_images/make_job.py`.

Trials 1 and 2 are judged from the rendered photographs goods_lift_before and goods_lift_after. The pattern as found,
trial 3 and the check after closing are judged from drawings: the contact is computed from the gear data and painted on
a drawn flank. All readings of dials and all shims are invented.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.frame import Compound, Flank, Made, Marking
from patternscan.gearing.contact import roll_pair
from patternscan.gearing.pair import Placement, WormPair
from patternscan.judging.judgement import Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.drawing.encoding import jpeg_bytes, png_bytes
from patternscan.reporting.pictures.bare_flank import contact_map_image, flat_image
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.log.events import (
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EccentricsFound,
    EndPlay,
    Event,
    Measured,
    Note,
    Oil,
    PackPieces,
    PartNumber,
    Replaced,
    Replied,
    Secured,
    ShimChange,
    ShimsFound,
    SignOff,
    Struck,
    TeethPhotographed,
    Torque,
)
from patternscan.setting.log.job_log import append_entry, read_job, start_log
from patternscan.setting.log.words import (
    Bolts,
    Geometry,
    Height,
    Joint,
    Occasion,
    OilWork,
    Part,
    Reply,
    Shaft,
    ShimPlace,
)
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.stock import Shims
from patternscan.setting.state.entry_check import refuse_impossible
from patternscan.training.painted_flank import ALLOYS, Scene, paint_flank
from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.job.pattern_event import pattern_event
from patternscan.workflow.judge import estimate_wheel, judge_pair
from patternscan.workflow.read import read_flank

HERE = Path(__file__).parent
JOB = HERE / "goods_lift_job"
FITTER, REVIEWER = "R. Moss", "E. Larkin"
RADIUS_MM, THIN_MM = 145.0, 0.0508
"""Where the dial stood, from the wheel's axis; a shim of 0.002 in."""
FILM_UM = 8.0
SIZE_PX, EDGE_PX = (1000, 322), 40
"""Size of a drawn flank in its middle, and of the grey ground round it."""
BOW_PX = 91
"""How much less deep it is at both ends: the root of a throated wheel is bowed."""


@dataclass(frozen=True, slots=True)
class Photographed:
    """A pattern judged from the sample photographs of this state."""

    state: str
    occasion: Occasion = Occasion.TRIAL


@dataclass(frozen=True, slots=True)
class Drawn:
    """A pattern judged from drawings of the wheel as it stands."""

    name: str
    placement: Placement
    scene: Scene
    occasion: Occasion = Occasion.TRIAL


OLD_WHEEL = Scene(metal=ALLOYS["red bronze"], wear_band=True, tarnish=True, thickness=2.4, brightness=0.42, seed=3)
NEW_WHEEL = Scene(thickness=2.7, seed=5)
STORY: dict[str, Event | Photographed | Drawn] = {
    "2025-10-06 08:05": Secured(FITTER),
    "2025-10-06 08:15": Oil(OilWork.DRAINED),
    "2025-10-06 08:25": ShimsFound(ShimPlace.CARRIER_A, 0.60, 0.60),
    "2025-10-06 08:30": ShimsFound(ShimPlace.CARRIER_B, 0.80, 0.80),
    "2025-10-06 08:32": PackPieces(ShimPlace.CARRIER_A, Bolts.ALL, (Shims(0.5, 1), Shims(0.1, 1))),
    "2025-10-06 08:35": PackPieces(ShimPlace.CARRIER_B, Bolts.ALL, (Shims(0.5, 1), Shims(0.12, 2), Shims(0.06, 1))),
    "2025-10-06 08:40": ShimsFound(ShimPlace.WORM, 0.3048, 0.3048),
    "2025-10-06 08:45": ShimsFound(ShimPlace.OUTBOARD, 0.20, 0.20),
    "2025-10-06 08:47": PackPieces(ShimPlace.OUTBOARD, Bolts.FIRST, (Shims(0.2, 1),)),
    "2025-10-06 08:49": PackPieces(ShimPlace.OUTBOARD, Bolts.SECOND, (Shims(0.2, 1),)),
    "2025-10-06 08:55": EccentricsFound(1, 1),
    "2025-10-06 09:10": EndPlay(Shaft.WORM, 0.19),
    "2025-10-06 09:20": EndPlay(Shaft.WHEEL, 0.14),
    "2025-10-06 09:30": Alignment(0.03, Height.HIGH),
    "2025-10-06 09:50": Backlash((0.92, 0.98, 1.02, 0.96), RADIUS_MM),
    "2025-10-06 10:30": Drawn("as_found", Placement(0.16, 0.02), OLD_WHEEL, Occasion.AS_FOUND),
    "2025-10-06 11:30": Measured(Geometry.SEAT_RUN_OUT, 0.02),
    "2025-10-06 12:50": PartNumber(Part.WHEEL, "W-46-315 / 0271"),
    "2025-10-06 13:00": Replaced(Part.WHEEL),
    "2025-10-06 13:05": Replaced(Part.WORM_BEARINGS),
    "2025-10-06 14:20": EndPlay(Shaft.WORM, 0.16),
    "2025-10-06 14:40": ShimChange(ShimPlace.WORM, -THIN_MM, -THIN_MM),
    "2025-10-06 15:00": EndPlay(Shaft.WORM, 0.11),
    "2025-10-06 15:20": EndPlay(Shaft.WHEEL, 1.2),
    "2025-10-06 15:22": Struck(24, "slip of the pen, the dial showed 0.12 mm"),
    "2025-10-06 15:23": EndPlay(Shaft.WHEEL, 0.12),
    "2025-10-06 15:40": Alignment(0.03),
    "2025-10-07 07:50": Secured(FITTER),
    "2025-10-07 08:20": Photographed("before"),
    "2025-10-07 08:30": TeethPhotographed((1,)),
    "2025-10-07 09:30": ShimChange(ShimPlace.CARRIER_A, 0.12, 0.12),
    "2025-10-07 09:35": ShimChange(ShimPlace.CARRIER_B, -0.12, -0.12),
    "2025-10-07 10:40": Photographed("after"),
    "2025-10-07 11:10": Backlash((0.60, 0.64, 0.66, 0.62), RADIUS_MM),
    "2025-10-07 11:30": Note("Flanks still pull apart. Marks alike, shaft square: centres a little too wide."),
    "2025-10-07 13:00": EccentricChange(1, 1),
    "2025-10-07 13:20": ShimChange(ShimPlace.CARRIER_A, THIN_MM, THIN_MM),
    "2025-10-07 13:25": ShimChange(ShimPlace.CARRIER_B, -THIN_MM, -THIN_MM),
    "2025-10-07 13:50": Alignment(0.04),
    "2025-10-07 14:40": Drawn("trial_3", Placement(0.0, 0.0), NEW_WHEEL),
    "2025-10-07 15:20": Backlash((0.58, 0.62, 0.64, 0.60), RADIUS_MM),
    "2025-10-08 07:50": Secured(FITTER),
    "2025-10-08 08:00": Torque(Joint.CARRIER_A, 45.0),
    "2025-10-08 08:05": Torque(Joint.CARRIER_B, 45.0),
    "2025-10-08 08:10": Closed(REVIEWER),
    "2025-10-08 09:00": Drawn("closed", Placement(0.01, 0.0), Scene(thickness=2.2, brightness=0.4, seed=8)),
    "2025-10-08 09:40": Backlash((0.58, 0.60, 0.64, 0.62), RADIUS_MM),
    "2025-10-08 10:00": Note("Compound cleaned off, guards back."),
    "2025-10-08 10:10": Oil(OilWork.FILLED, "CLP 460", 12.0),
    "2025-10-08 10:40": Replied(16, "two-places", Reply.BOTH_CONTACT, FITTER),
    "2025-10-08 11:00": SignOff(REVIEWER),
}
"""Everything that happened, in its order; patterns become entries by the project's own judgement."""
SHEET_TEXT = """\
# Machine sheet of an invented goods lift, as it lies in the folder of its setting job.

[machine]
name = "Goods lift, north shaft (invented)"

[gear]
module_mm = 3.15
starts = 3
teeth = 46
worm_diameter_mm = 35.28
pressure_angle_deg = 20
hand = "right"
face_width_mm = 23.9
profile = "za"
hob_oversize = 0.054

[photos]
marking = "transfer"
compound = "blue"
film = "thin, by brush"
teeth_per_flank = 1                  # one, to keep this sample small; three are better

[shims]
carrier = "A"
adding_moves_wheel = "toward-B"
thickest = "1.5 mm"
stock = ["0.50 mm x 2", "0.12 mm x 4", "0.10 mm x 4", "0.002 in x 6", "0.005 in x 4"]

[eccentrics]
holes = 24
throw = "0.5 mm"
span = "260 mm"
widest_hole = 1
more_backlash = "lower"

[dial]
radius = "145 mm"
positions = 4

[limits]                             # invented, as from a maker's manual
worm_end_play = ["0.08 mm", "0.13 mm"]
wheel_end_play = ["0.05 mm", "0.15 mm"]
backlash = ["0.15 mm", "0.40 mm"]
outboard_alignment = "0.002 in"
seat_run_out = "0.03 mm"
"""


def make_job(folder: Path) -> None:
    """Write the job anew; what is in the folder is lost."""
    shutil.rmtree(folder, ignore_errors=True)
    start_log(folder, SHEET_TEXT)
    sheet, _ = read_job(folder)
    patterns = iter(range(1, 100))
    for moment, event in STORY.items():
        at = datetime.fromisoformat(moment).replace(tzinfo=UTC)
        if isinstance(event, Photographed | Drawn):
            event = judged(event, sheet, folder, f"patterns/{next(patterns):02d}")
        by = REVIEWER if isinstance(event, SignOff) else FITTER
        refuse_impossible(event, read_job(folder)[1].entries, sheet)
        append_entry(folder, event, by, at)


def judged(what: Photographed | Drawn, sheet: Sheet, folder: Path, name: str) -> Event:
    """Judge the pattern and keep its small pictures in the folder of this name within the job's folder."""
    place = folder / name
    pair = sheet.gear.worm_pair()
    judgement = photographed(what, sheet, pair) if isinstance(what, Photographed) else drawn(what, sheet, place)
    deliver(dict(pictures(place, judgement)), False)
    return pattern_event(judgement_document(judgement, Made.now()), what.occasion, name)


def photographed(what: Photographed, sheet: Sheet, pair: WormPair) -> Judgement:
    """As `patternscan judge` would do it with the gear data."""
    readings = [read_sample(HERE / f"goods_lift_{what.state}_{flank}.jpg", pair) for flank in Flank]
    return estimate_wheel(judge_pair(readings[:1], readings[1:], sheet), pair, True, lambda _: None)


def read_sample(path: Path, pair: WormPair) -> Reading:
    """One of the sample photographs with its outline."""
    outline = read_outline_file(path.with_name(f"{path.stem}.outline.json")).outlines[0]
    return read_flank(load_photo(path), outline, Marking.TRANSFER, Compound.BLUE, pair)


def drawn(what: Drawn, sheet: Sheet, place: Path) -> Judgement:
    """Draw both flanks, keep the drawings beside the pictures, and judge them by their outlines."""
    contact = roll_pair(sheet.gear.worm_pair(), what.placement)
    paths = {flank: place / f"drawn_{what.name}_{flank}.jpg" for flank in Flank}
    gaps = {Flank.LEFT: contact.left.gap_um, Flank.RIGHT: contact.right.gap_um}
    deliver({path: jpeg_bytes(draw_flank(what.scene, gaps[flank], flank)) for flank, path in paths.items()}, False)
    readings = [
        read_flank(load_photo(path), drawn_outline(flank), Marking.TRANSFER, Compound.BLUE)
        for flank, path in paths.items()
    ]
    return judge_pair(readings[:1], readings[1:], sheet)


def draw_flank(scene: Scene, gap_um: NDArray[np.float64], flank: Flank) -> Image.Image:
    """The flank as a camera square to it would see it: tip above, end A on the left of a right flank."""
    near = Image.fromarray(np.nan_to_num(gap_um, nan=1000.0).astype(np.float32)).resize((512, 256))
    if flank is Flank.LEFT:
        scene = replace(scene, seed=scene.seed + 100, marks=2.0)
    flat = paint_flank(scene, np.asarray(near) < FILM_UM, Compound.BLUE, Marking.TRANSFER)
    seen = Image.fromarray(flat.pixels).resize(SIZE_PX, Image.Resampling.BICUBIC)
    if flank is Flank.LEFT:
        seen = seen.transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    ground = np.full((SIZE_PX[1] + 2 * EDGE_PX, SIZE_PX[0] + 2 * EDGE_PX, 3), (70, 72, 75), np.uint8)
    columns, flat_seen = np.arange(SIZE_PX[0]), np.asarray(seen)
    for column, depth in enumerate(depth_px(columns / columns[-1])):
        rows = np.linspace(0, SIZE_PX[1] - 1, round(depth)).round().astype(int)
        ground[EDGE_PX : EDGE_PX + rows.size, EDGE_PX + column] = flat_seen[rows, column]
    return Image.fromarray(ground)


def depth_px(across: NDArray[np.float64]) -> NDArray[np.float64]:
    """From tip to root of a drawn flank, by the place across the picture from 0 to 1."""
    return SIZE_PX[1] - BOW_PX * (2 * across - 1) ** 2


def drawn_outline(flank: Flank) -> Outline:
    """Its outline."""
    low, high = EDGE_PX, EDGE_PX + SIZE_PX[0]
    a, b = (high, low) if flank is Flank.LEFT else (low, high)
    top, bottom = EDGE_PX, EDGE_PX + SIZE_PX[1] - BOW_PX
    across = np.linspace(0, 1, 9)
    edges = {
        "root": np.stack([a + (b - a) * across, EDGE_PX + depth_px(across)], axis=1),
        "tip": np.linspace((a, top), (b, top), 5),
        "end_a": np.linspace((a, bottom), (a, top), 3),
        "end_b": np.linspace((b, bottom), (b, top), 3),
    }
    return checked_outline(edges, flank)


def pictures(place: Path, judgement: Judgement) -> Iterator[tuple[Path, bytes]]:
    """Of all that `patternscan judge --job` keeps, what the record shows."""
    for reading in (*judgement.left, *judgement.right):
        flank = reading.outline.flank
        yield place / f"{flank}_1.flat.jpg", jpeg_bytes(flat_image(reading))
        yield place / f"{flank}_1.contact.png", png_bytes(contact_map_image(reading))


if __name__ == "__main__":
    make_job(Path(sys.argv[1]) if len(sys.argv) > 1 else JOB)
