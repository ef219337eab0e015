"""Judgements written over each other and killed at any moment: is what lies there one result, and is litter left?"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections import Counter
from hashlib import sha256
from pathlib import Path
from random import Random

from patternscan.workflow.disk.staging import PREFIX, UNLOCKED_SECONDS, clean_up
from tests.benchmarks.campaign.commands import SAMPLES

LONGEST_WAIT_SECONDS = 60.0
WRITING_SECONDS = 0.12
"""Writing and naming the files of a judgement takes about so long."""


def kill_judgements(folder: Path, number: int, chance: Random) -> Counter[str]:
    """Kill so many runs over one folder, half at any time and half while they write; how each left the folder."""
    out, ends, lasted = folder / "out", Counter[str](), _seconds(_words("before", folder / "out"))
    (out / "mine.txt").write_text("the user's own")
    for run in range(number):
        words = _words(("before", "after")[run % 2], out)
        with subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
            if run % 2:
                time.sleep(chance.uniform(0, lasted))
            else:
                _wait_until_it_writes(process, out)
                time.sleep(chance.uniform(0, WRITING_SECONDS))
            process.kill()
        ends[_state(out)] += 1
        clean_up(out)
        ends[f"next run: {_state(out)}"] += 1
    time.sleep(UNLOCKED_SECONDS)
    subprocess.run(_words("before", out), check=True, capture_output=True)
    ends["litter in the end"] = sum(path.name.startswith(".") for path in out.iterdir())
    assert (out / "mine.txt").exists()
    return ends


def _words(state: str, out: Path) -> list[str]:
    stem = SAMPLES / f"goods_lift_{state}"
    photos = [f"--{flank}={stem}_{flank}.jpg" for flank in ("left", "right")]
    outlines = [f"--{flank}-outline={stem}_{flank}.outline.json" for flank in ("left", "right")]
    told = ["--marking", "transfer", "--out", str(out), "--overwrite", "--json"]
    return [sys.executable, "-m", "patternscan", "judge", *photos, *outlines, *told]


def _seconds(words: list[str]) -> float:
    begun = time.perf_counter()
    subprocess.run(words, check=True, capture_output=True)
    return time.perf_counter() - begun


def _wait_until_it_writes(process: subprocess.Popen[bytes], out: Path) -> None:
    end = time.monotonic() + LONGEST_WAIT_SECONDS
    while process.poll() is None and time.monotonic() < end and not list(out.glob(f"{PREFIX}*")):
        time.sleep(0.001)


def _state(out: Path) -> str:
    """Whether a folder holds one whole result, none, or a mixed one."""
    if not (out / "judgement.json").exists():
        return "no result"
    named = json.loads((out / "judgement.json").read_bytes())["files"]
    fits = all(
        (out / name).exists() and sha256((out / name).read_bytes()).hexdigest() == digest
        for name, digest in named.items()
    )
    return "whole" if fits else "mixed"
