"""Damaged photos and texts, each thrown at a command: which codes come, and whether a word is no plain line."""

from __future__ import annotations

import io
import re
import signal
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from click.testing import CliRunner
from PIL import Image

from patternscan.cli import main
from tests.benchmarks.campaign.mutation import damaged, garbled

SAMPLES = Path(__file__).parents[3] / "sample_images"
PHOTO = SAMPLES / "goods_lift_before_left.jpg"
OUTLINE = PHOTO.with_name("goods_lift_before_left.outline.json")
SHEET = SAMPLES / "goods_lift.toml"
READ = ["--flank", "left", "--marking", "transfer"]
LONGEST_SECONDS = 60
STEERING = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2066-\u2069]")


@dataclass(slots=True)
class Tally:
    """How the runs ended: by exit code, and what should never be, each with the number of its run."""

    codes: Counter[int] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

    def told(self) -> str:
        """One line, and one more for each fault."""
        codes = ", ".join(f"code {code}: {number}" for code, number in sorted(self.codes.items()))
        return "\n".join([f"{sum(self.codes.values())} runs ({codes}), {len(self.faults)} faults", *self.faults])


class TooLongError(BaseException):
    """A run that takes longer than any may."""


def throw_photos(folder: Path, number: int, chance: Random) -> Tally:
    """Read so many damaged photos of several formats."""
    tally, kinds = Tally(), _photos()
    for run in range(number):
        ending = chance.choice(list(kinds))
        path = folder / f"photo{ending}"
        path.write_bytes(damaged(kinds[ending], chance))
        outline = ["--outline", str(folder / "outline.json")]
        (folder / "outline.json").write_bytes(OUTLINE.read_bytes().replace(PHOTO.name.encode(), path.name.encode()))
        _throw(tally, f"photo {run} ({ending})", ["read", str(path), *READ, *outline])
    return tally


def throw_texts(folder: Path, number: int, chance: Random) -> Tally:
    """Give so many damaged outlines, sheets, lists, logs and judgements to the commands that take them."""
    tally, kinds = Tally(), _texts(folder)
    for run in range(number):
        name = chance.choice(list(kinds))
        content, words = kinds[name]
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_bytes(garbled(content, chance) if chance.random() < 0.8 else damaged(content, chance))
        _throw(tally, f"text {run} ({name})", words)
    return tally


def _photos() -> dict[str, bytes]:
    """One photo in several formats."""
    kinds = {".jpg": PHOTO.read_bytes()}
    with Image.open(PHOTO) as image:
        small = image.convert("RGB").resize((672, 504))
    for ending in (".png", ".tif", ".webp", ".avif"):
        content = io.BytesIO()
        small.save(content, Image.registered_extensions()[ending])
        kinds[ending] = content.getvalue()
    return kinds


def _texts(folder: Path) -> dict[str, tuple[bytes, list[str]]]:
    """Every kind of text that comes in, and the command that takes it."""
    pair = [f"--{flank}={PHOTO.parent / f'goods_lift_before_{flank}.jpg'}" for flank in ("left", "right")]
    pair += [f"--{f}-outline={PHOTO.parent / f'goods_lift_before_{f}.outline.json'}" for f in ("left", "right")]
    judged = _run(["judge", *pair, "--marking", "transfer", "--json"]).stdout_bytes
    (folder / "sound.json").write_bytes(judged)
    job = folder / "job"
    _run(["start", str(job)])
    for words in (["end-play", "worm", "0.10mm"], ["shims-found", "carrier-A", "0.5mm"], ["note", "seen"], ["closed"]):
        _run(["log", *words, "--job", str(job)])
    listed = f"photo,flank,outline,machine\n{PHOTO},left,{OUTLINE},Goods lift\n".encode()
    return {
        "outline.json": (OUTLINE.read_bytes(), ["read", str(PHOTO), *READ, "--outline", str(folder / "outline.json")]),
        "sheet.toml": (SHEET.read_bytes(), ["sheet", str(folder / "sheet.toml")]),
        "predicted.toml": (SHEET.read_bytes(), ["predict", "--sheet", str(folder / "predicted.toml")]),
        "judged.json": (judged, ["compare", str(folder / "judged.json"), str(folder / "sound.json")]),
        "job/log.jsonl": ((job / "log.jsonl").read_bytes(), ["next", str(job)]),
        "list.csv": (
            listed,
            ["read", str(folder / "list.csv"), *READ, "--out", str(folder / "out"), "--overwrite", "--workers", "1"],
        ),
    }


def _throw(tally: Tally, title: str, words: list[str]) -> None:
    """Run a command; what counts as a fault: code 1, a run that hangs, words that steer a screen, no two sentences."""
    try:
        with _timed():
            result = _run(words)
    except TooLongError:
        tally.faults.append(f"{title}: takes longer than {LONGEST_SECONDS} s")
        return
    tally.codes[result.exit_code] += 1
    if result.exit_code == 1:
        tally.faults.append(f"{title}: {result.stderr.strip()} {result.exception!r}")
    if STEERING.search(result.output):
        tally.faults.append(f"{title}: words that steer a screen")


def _run(words: list[str]):  # type: ignore[no-untyped-def]
    return CliRunner().invoke(main, words)


@contextmanager
def _timed() -> Iterator[None]:
    """Raise TooLongError inside after LONGEST_SECONDS."""

    def stop(*_: object) -> None:
        raise TooLongError

    before: Callable[..., object] | int | None = signal.signal(signal.SIGALRM, stop)
    signal.alarm(LONGEST_SECONDS)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
