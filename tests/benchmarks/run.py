"""How right, how quick and how large: `python tests/benchmarks/run.py` prints one table. No part of the ordinary tests.

Accuracy is that on the sample photos, whose truth is known. Time and memory are those of reading a 12-megapixel
JPEG with a given outline, beside decoding the same file with Pillow in the same process.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.frame import Marking
from patternscan.inspection import Reading, read_flank
from patternscan.reporting.result import contact_map_image
from patternscan.seeing.outline import EDGE_NAMES, checked_outline, outline_document, read_outline_file
from patternscan.seeing.photo import load_photo

SAMPLES = Path(__file__).parents[2] / "sample_images"
LARGE_FROM = "goods_lift_before_left"
LARGE_SIZE = (4032, 3024)
DECODES_ALLOWED, MEGABYTES_ALLOWED, HELP_SECONDS_ALLOWED = 3.0, 350.0, 0.25

WATCHED = """
import sys
from pathlib import Path
from patternscan.cli import main
main(sys.argv[1:], standalone_mode=False)
lines = Path("/proc/self/status").read_text().splitlines()
print(next(line for line in lines if line.startswith("VmHWM")), file=sys.stderr)
"""
"""Runs one command and then tells the most memory its process ever held, in KiB."""


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
    Image.fromarray(np.clip(large + grain, 0, 255).astype(np.uint8)).save(picture, quality=95)
    marks.write_text(json.dumps(outline_document(picture.name, [checked_outline(edges, outline.flank)])))
    return picture, marks


def median_seconds(work: Callable[[], object], times: int = 7) -> float:
    """Median time of a piece of work, after one turn that warms up."""
    work()
    taken: list[float] = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def decode(picture: Path) -> None:
    """Decode a JPEG with Pillow and nothing else."""
    with Image.open(picture) as image:
        image.load()


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


def cost_rows(folder: Path) -> Iterator[str]:
    """The table of time and memory, each with what is allowed."""
    picture, marks = write_large_photo(folder)
    outline = read_outline_file(marks).outlines[0]
    decoding = median_seconds(lambda: decode(picture))
    reading = median_seconds(lambda: read_flank(load_photo(picture), outline, Marking.TRANSFER))
    flank = ("--flank", outline.flank.value, "--marking", "transfer")
    memory = peak_megabytes("read", str(picture), "--outline", str(marks), *flank, "--json")
    help_text = [sys.executable, "-m", "patternscan", "--help"]
    start_up = median_seconds(lambda: subprocess.run(help_text, check=True, stdout=subprocess.DEVNULL))
    yield f"{'12-megapixel JPEG':36}{'found':>9}{'allowed':>9}"
    yield f"{'decoding it with Pillow, s':36}{decoding:9.3f}"
    yield f"{'reading it, s':36}{reading:9.3f}"
    yield f"{'reading over decoding':36}{reading / decoding:9.2f}{DECODES_ALLOWED:9.2f}"
    yield f"{'largest memory of read, MB':36}{memory:9.0f}{MEGABYTES_ALLOWED:9.0f}"
    yield f"{'patternscan --help, s':36}{start_up:9.3f}{HELP_SECONDS_ALLOWED:9.3f}"


def main() -> None:
    """Print both tables."""
    with tempfile.TemporaryDirectory() as folder:
        for row in [*accuracy_rows(), "", *cost_rows(Path(folder))]:
            sys.stdout.write(f"{row}\n")


if __name__ == "__main__":
    main()
