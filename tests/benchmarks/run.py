"""How right, how quick and how large: `python tests/benchmarks/run.py` prints one table. No part of the ordinary tests.

Accuracy is that on the sample photos, whose truth is known. Time and memory are those of reading a 12-megapixel
JPEG with a given outline, beside decoding the same file with Pillow in the same process. The computed worm pair is
timed, and set beside prints that another program computed. Wheels that were moved by known amounts are estimated back
from noisy readings. Ends with 1 when one of them is above what is allowed.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.frame import Flank, Marking
from patternscan.gearing.contact import roll_pair
from patternscan.gearing.pair import Placement, WormPair
from patternscan.gearing.wheel_flank import cut_flank
from patternscan.judging.estimate import estimate_placement
from patternscan.measuring.reading import Reading
from patternscan.reporting.pictures.bare_flank import contact_map_image
from patternscan.seeing.geometry.outline import EDGE_NAMES, PictureSide, checked_outline
from patternscan.seeing.geometry.outline_file import outline_document, outline_file_bytes, read_outline_file
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.outline_search.finder_net import FINDER_NET
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.search import find_outlines
from patternscan.seeing.quality.light import WORK_COLUMNS, WORK_ROWS
from patternscan.seeing.segmentation.net_input import PLANES
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.settings import SettingsRequest, load_settings
from patternscan.workflow.read import ReadRequest, read_flank, read_photo

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.gearing.rendered_pairs import points_apart  # noqa: E402
from tests.judging.recovery import drawn_wheels, recover  # noqa: E402

SAMPLES = ROOT / "sample_images"
LARGE_FROM = "goods_lift_before_left"
LARGE_SIZE, LARGE_TIP, LARGE_SHEET = (4032, 3024), "right", "goods_lift.toml"
LOOK_SIZE = (256, 320)
"""Rows and columns of the picture in which the finder net looks at that photo's marked outline."""
FOUND_DECODES_ALLOWED, FOUND_MEGABYTES_ALLOWED = 8.0, 400.0
DECODES_ALLOWED, MEGABYTES_ALLOWED, HELP_SECONDS_ALLOWED = 3.0, 250.0, 0.25
PROCESS_DECODES_ALLOWED, JUDGE_SECONDS_ALLOWED = 10.0, 3.0
ROLL_SECONDS_ALLOWED, FLANK_SECONDS_ALLOWED = 0.5, 0.1
ESTIMATE_SECONDS_ALLOWED = 20.0
WHEELS, MISSES_ALLOWED = 60, 10
"""One in ten intervals may miss; of 60, more than 10 do so with a probability of 3 % (binomial law)."""
POINTS_ALLOWED = {"coverage": 2.0, "along": 1.0, "up": 1.5}
WORM_PAIR = WormPair(6.3, 2, 31, 56.7, 43.8)

WATCHED = """
import sys
from pathlib import Path
from patternscan.cli import main
main(sys.argv[1:], standalone_mode=False)
lines = Path("/proc/self/status").read_text().splitlines()
print(next(line for line in lines if line.startswith("VmHWM")), file=sys.stderr)
"""
"""Runs one command and then tells the most memory its process ever held, in KiB."""
LIBRARIES = """
import sys
import click, cv2, msgspec, numpy
from PIL import Image
Image.open(sys.argv[1]).load()
"""
"""Loads the libraries that a reading uses, decodes a photo, and does nothing of ours: what no reading can undercut."""


@dataclass(frozen=True, slots=True)
class Accuracy:
    """One sample against its truth: overlap of the contact, and errors as fractions of width, height and area."""

    overlap: float
    along: float
    up: float
    coverage: float
    hits: int
    """How many of the three true numbers lie inside their interval."""


def accuracy(name: str, truth: dict[str, object]) -> Accuracy:
    """Read one sample and set it beside its truth."""
    outline = read_outline_file(SAMPLES / f"{name}.outline.json").outlines[0]
    reading = read_flank(load_photo(SAMPLES / f"{name}.jpg"), outline, Marking(str(truth["marking"])))
    found = reading.measurement
    pairs = [(found.along, "along"), (found.up, "up"), (found.coverage, "coverage")]
    known = [(interval, float(str(truth[key]))) for interval, key in pairs if interval is not None]
    along, up, coverage = (interval.value - value for interval, value in known)
    hits = sum(interval.holds(value) for interval, value in known)
    return Accuracy(overlap(reading, SAMPLES / "truth" / f"{name}.contact.png"), along, up, coverage, hits)


def overlap(reading: Reading, truth: Path) -> float:
    """Contact found and true over contact found or true."""
    found = np.asarray(contact_map_image(reading)) == 255
    with Image.open(truth) as image:
        true: NDArray[np.bool_] = np.asarray(image) > 127
    return float((found & true).sum() / (found | true).sum())


def write_large_photo(folder: Path) -> tuple[Path, Path]:
    """A 12-megapixel JPEG with the grain of a phone camera, and its outline file."""
    photo = load_photo(SAMPLES / f"{LARGE_FROM}.jpg")
    outline = read_outline_file(SAMPLES / f"{LARGE_FROM}.outline.json").outlines[0]
    scale = LARGE_SIZE[0] / photo.width_px
    large = np.asarray(Image.fromarray(photo.pixels).resize(LARGE_SIZE, Image.Resampling.BICUBIC), dtype=np.int16)
    grain = np.random.default_rng(3).normal(0, 5, large.shape).astype(np.int16)
    edges = {name: (getattr(outline, name) + 0.5) * scale - 0.5 for name in EDGE_NAMES}
    picture, marks = folder / "large.jpg", folder / "large.outline.json"
    Image.fromarray(np.clip(large + grain, 0, 255).astype(np.uint8)).save(picture, quality=92)
    marks.write_bytes(outline_file_bytes(outline_document(picture.name, [checked_outline(edges, outline.flank)], None)))
    return picture, marks


def seconds(work: Callable[[], object]) -> float:
    """Time that a piece of work takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def decode(picture: Path) -> None:
    """Decode a JPEG with Pillow and nothing else."""
    with Image.open(picture) as image:
        image.load()


def pass_nets(picture: Path) -> None:
    """Decode a JPEG, and let the nets look as often and as large as for a flank whose outline is given."""
    decode(picture)
    contact, finder = CONTACT_NET.net, FINDER_NET.net
    for _ in Marking:
        contact.setInput(np.zeros((1, len(PLANES), WORK_ROWS, WORK_COLUMNS), dtype=np.float32))
        contact.forward(["maps", "answers"])
    finder.setInput(np.zeros((1, 3, *LOOK_SIZE), dtype=np.float32))
    finder.forward()


def decode_and_read(picture: Path, marks: Path, flank: Flank) -> Iterator[Cost]:
    """Median times of five turns each, after one that warms up; in turn, so that all meet the same other load."""
    request = ReadRequest(PhotoInput(picture, flank, marks), load_settings(SettingsRequest(Marking.TRANSFER)))
    command = ("read", str(picture), "--outline", str(marks), "--flank", flank.value, "--marking", "transfer", "--json")
    libraries = partial(subprocess.run, [sys.executable, "-c", LIBRARIES, str(picture)], check=True)
    works = (
        partial(decode, picture),
        partial(pass_nets, picture),
        partial(read_photo, request),
        libraries,
        partial(run_command, *command),
    )
    turns = [[seconds(work) for work in works] for _ in range(6)]
    decoding, passing, reading, bare, process = (statistics.median(times) for times in zip(*turns[1:], strict=True))
    yield Cost("decoding it with Pillow, s", decoding)
    yield Cost("reading it, s", reading)
    yield Cost("reading over decoding", reading / decoding, 2, DECODES_ALLOWED)
    yield Cost("  of that decoding and nets alone", passing / decoding, 2)
    yield Cost("read as a process, s", process)
    yield Cost("  over decoding", process / decoding, 2, PROCESS_DECODES_ALLOWED)
    yield Cost("  of that Python, libraries, decoding", bare / decoding, 2)
    yield Cost("largest memory of read, MB", peak_megabytes(*command), 0, MEGABYTES_ALLOWED)


def run_command(*command: str) -> None:
    """Run a command of patternscan in a process of its own, which keeps what it compiles as an installed one does."""
    keeping = {**os.environ, "PYTHONDONTWRITEBYTECODE": ""}
    subprocess.run([sys.executable, "-m", "patternscan", *command], check=True, capture_output=True, env=keeping)


def find_and_read(picture: Path, flank: Flank, pair: WormPair | None) -> None:
    """Load a photo, look for the outlines of its flanks and read each."""
    photo = load_photo(picture)
    for outline in find_outlines(photo, flank, Hint(PictureSide(LARGE_TIP))):
        read_flank(photo, outline, Marking.TRANSFER, None, pair)


def found_costs(folder: Path) -> Iterator[Cost]:
    """Time and memory of reading a large photo whose outline has to be found, without and with the gear data."""
    picture, marks = write_large_photo(folder)
    flank, sheet = read_outline_file(marks).outlines[0].flank, SAMPLES / LARGE_SHEET
    gear = read_sheet(sheet).gear
    for told, pair in (("", None), (" with sheet", gear.worm_pair() if gear is not None else None)):
        turns = [
            (seconds(lambda: decode(picture)), seconds(partial(find_and_read, picture, flank, pair))) for _ in range(6)
        ]
        decoding, finding = (statistics.median(times) for times in zip(*turns[1:], strict=True))
        yield Cost(f"outline found and read{told}, s", finding)
        yield Cost("  over decoding", finding / decoding, 2, FOUND_DECODES_ALLOWED)
    found = ("--flank", flank.value, "--tip", LARGE_TIP, "--marking", "transfer", "--sheet", str(sheet), "--json")
    yield Cost("largest memory of it, MB", peak_megabytes("read", str(picture), *found), 0, FOUND_MEGABYTES_ALLOWED)


def peak_megabytes(*command: str) -> float:
    """Largest memory of a command in a process of its own, in MB (10^6 bytes). Linux only.

    VmHWM and not ru_maxrss: Linux lets a new process inherit the latter from the one that started it.
    """
    ended = subprocess.run([sys.executable, "-c", WATCHED, *command], check=True, capture_output=True, text=True)
    return int(ended.stderr.split()[-2]) * 1024 / 1e6


def accuracy_rows() -> Iterator[str]:
    """The table of accuracy, one sample a row, in points (hundredths of face width, flank height, flank area)."""
    truth = json.loads((SAMPLES / "truth" / "truth.json").read_text())
    found = {name: accuracy(name, known) for name, known in truth.items()}
    yield f"{'sample':26}{'overlap':>9}{'along':>8}{'up':>8}{'coverage':>10}{'in interval':>13}"
    for name, one in found.items():
        errors = f"{one.along * 100:+8.1f}{one.up * 100:+8.1f}{one.coverage * 100:+10.1f}"
        yield f"{name:26}{one.overlap:9.2f}{errors}{one.hits:>10}/3"
    middle = statistics.median(one.overlap for one in found.values())
    errors = "".join(
        f"{statistics.median(abs(getattr(one, key)) for one in found.values()) * 100:{width}.1f}"
        for key, width in (("along", 8), ("up", 8), ("coverage", 10))
    )
    yield f"{'median (of sizes)':26}{middle:9.2f}{errors}{sum(one.hits for one in found.values()):>9}/{3 * len(found)}"


@dataclass(frozen=True, slots=True)
class Cost:
    """One figure of time or memory; ``allowed`` None means that it is only shown."""

    what: str
    found: float
    decimals: int = 3
    allowed: float | None = None

    @property
    def too_much(self) -> bool:
        """Whether more was found than is allowed."""
        return self.allowed is not None and self.found > self.allowed

    def __str__(self) -> str:
        allowed = "" if self.allowed is None else f"{self.allowed:9.{self.decimals}f}"
        return f"{self.what:36}{self.found:9.{self.decimals}f}{allowed}{'  too much' * self.too_much}"


def costs(folder: Path) -> Iterator[Cost]:
    """Time and memory on a large photo, and start-up."""
    picture, marks = write_large_photo(folder)
    yield from decode_and_read(picture, marks, read_outline_file(marks).outlines[0].flank)
    sample = ("judge", str(SAMPLES / "goods_lift"), "--out", str(folder / "judged"), "--overwrite")
    judging = statistics.median(seconds(partial(run_command, *sample)) for _ in range(3))
    yield Cost("judge sample_images/goods_lift --out, s", judging, 2, JUDGE_SECONDS_ALLOWED)
    start_up = statistics.median(seconds(partial(run_command, "--help")) for _ in range(7))
    yield Cost("patternscan --help, s", start_up, 3, HELP_SECONDS_ALLOWED)


def gearing_costs() -> Iterator[Cost]:
    """Time of the computed worm pair in several placements, and how far other prints lie from ours."""
    rolls = [seconds(partial(roll_pair, WORM_PAIR, Placement(turn / 100))) for turn in range(6)]
    yield Cost("pattern, both flanks 96 x 48, s", statistics.median(rolls), 3, ROLL_SECONDS_ALLOWED)
    cuts = [seconds(lambda: cut_flank(WORM_PAIR, Flank.LEFT)) for _ in range(7)]
    yield Cost("flank surface 96 x 48, s", statistics.median(cuts), 3, FLANK_SECONDS_ALLOWED)
    for column, (what, allowed) in zip(np.abs(points_apart()).T, POINTS_ALLOWED.items(), strict=True):
        yield Cost(f"{what} beside another program, points", float(np.median(column)), 2, allowed)
        yield Cost("  nine in ten within", float(np.quantile(column, 0.9)), 2)


def estimate_costs() -> Iterator[Cost]:
    """Time from two patterns to millimetres, and how often the interval misses the true offset of drawn wheels."""
    wheels = list(drawn_wheels(WHEELS, seed=2))
    times = [seconds(partial(estimate_placement, wheel.comparison, wheel.pair)) for wheel in wheels[:3]]
    yield Cost("from pattern to millimetres, s", max(times), 1, ESTIMATE_SECONDS_ALLOWED)
    found = recover(iter(wheels))
    yield Cost(f"offsets missed, of {len(found)} wheels", sum(not one.holds for one in found), 0, MISSES_ALLOWED)
    clear = sum(one.wheel.clearly_off for one in found)
    yield Cost(f"wrong signs, of {clear} clear shifts", sum(one.wrong_sign for one in found), 0, 0)


def main() -> int:
    """Print the tables; 1 when something is above what is allowed."""
    for row in accuracy_rows():
        print(row)
    found: list[Cost] = []
    with tempfile.TemporaryDirectory() as folder:
        sections = {
            "12-megapixel JPEG": costs(Path(folder)),
            "its outline found": found_costs(Path(folder)),
            "worm pair": gearing_costs(),
            "offset": estimate_costs(),
        }
        for title, section in sections.items():
            print(f"\n{title:36}{'found':>9}{'allowed':>9}")
            for cost in section:
                found.append(cost)
                print(cost)
    return int(any(cost.too_much for cost in found))


if __name__ == "__main__":
    raise SystemExit(main())
