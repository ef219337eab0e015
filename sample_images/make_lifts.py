"""Makes lifts/, prints of the goods lift on tape and on paper: `python sample_images/make_lifts.py`.

The true contact of goods_lift_before is drawn as it would come off the flank, with the faults of tape and paper, of the
hand that drew the frame, and of camera and scanner; see tests/benchmarks/lifted_prints.py. Run make_ledger.py after it.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[1]))

from patternscan.frame import Flank, Marking
from patternscan.workflow.inputs.settings import load_sheet
from tests.benchmarks.lifted_prints import LiftScene, draw_lift
from tests.benchmarks.painted_film import PAINTS

HERE = Path(__file__).parent
BLUE = next(paint for paint in PAINTS if paint.name == "blue")
LIFTS = {
    "goods_lift_tape_left": (Flank.LEFT, LiftScene(BLUE, 0.8, "daylight", tape=True, touched=False, scanned=False)),
    "goods_lift_paper_right": (Flank.RIGHT, LiftScene(BLUE, 0.8, "daylight", tape=False, touched=True, scanned=True)),
}
SEED, QUALITY = 7, 88
HEIGHT_MODULES = 2.1
"""Height of the flank, in modules: the usual two, and clearance."""


def make_lifts(folder: Path) -> None:
    """Draw both lifts into a folder."""
    gear = load_sheet(HERE / "goods_lift.toml").gear
    assert gear.face_width_mm is not None
    assert gear.module_mm is not None
    size_mm = gear.face_width_mm, HEIGHT_MODULES * gear.module_mm
    folder.mkdir(exist_ok=True)
    for name, (flank, scene) in LIFTS.items():
        chance = np.random.default_rng(SEED)
        contact = np.asarray(Image.open(HERE / "truth" / f"goods_lift_before_{flank}.contact.png").convert("L")) > 127
        drawn = draw_lift(contact, size_mm, flank, Marking.TRANSFER, scene, chance)
        Image.fromarray(drawn.pixels).save(folder / f"{name}.jpg", quality=QUALITY)


if __name__ == "__main__":
    make_lifts(HERE / "lifts")
