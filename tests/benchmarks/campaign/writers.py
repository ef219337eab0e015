"""Ten people who write into one job's log at once: is every entry that was acknowledged there, and no line damaged?"""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

from click.testing import CliRunner

from patternscan.cli import main
from patternscan.setting.log.job_log import read_log

WRITERS = 10


def write_at_once(folder: Path, entries: int) -> str:
    """So many notes by each of WRITERS; how many were acknowledged, and how many are there."""
    job = folder / "shared_job"
    CliRunner().invoke(main, ["start", str(job)])
    with ProcessPoolExecutor(WRITERS, get_context("spawn")) as workers:
        told = sum(workers.map(_write, [job] * WRITERS, range(WRITERS), [entries] * WRITERS))
    log = read_log(job)
    numbers = sorted(entry.number for entry in log.entries)
    in_order = numbers == list(range(1, len(numbers) + 1))
    return f"{told} entries acknowledged, {len(numbers)} there, {len(log.damage)} damaged, in order: {in_order}"


def _write(job: Path, writer: int, entries: int) -> int:
    words = (["log", "note", f"writer {writer} entry {number}", "--job", str(job)] for number in range(entries))
    return sum(CliRunner().invoke(main, one).exit_code == 0 for one in words)
