"""Which part of the time each stage of a look and of an answer takes, as the waiting pages tell it."""

from __future__ import annotations

import io
import statistics
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from types import ModuleType

from patternscan.frame import Flank, Marking
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.threads import use_one_thread
from patternscan.web.drafts.incoming import Incoming, take_photo
from patternscan.web.drafts.progress import Stage, Tell
from patternscan.web.drafts.store import DraftFolder, DraftStore
from patternscan.web.work import answering, looking
from patternscan.workflow.inputs.settings import SettingsRequest
from patternscan.workflow.job.folder import job_sheet_path, start_job
from tests.benchmarks.scenes import Pair, Scene, Split, pairs, sheet_text


def stages(split: Split, only: str) -> None:
    """Go through both kinds of work with the photographs of a set, and print where their stages begin."""
    use_one_thread()
    begun: dict[str, list[float]] = defaultdict(list)
    with tempfile.TemporaryDirectory() as place:
        for pair in pairs(split):
            if only in f"{pair.machine} {pair.state}":
                for sheet in (False, True):
                    timed(Path(place), pair, sheet, begun)
    for stage, parts in begun.items():
        print(f"{stage} begins at {statistics.median(parts):.2f} of the time ({min(parts):.2f} to {max(parts):.2f})")


@contextmanager
def watched(work: ModuleType, name: str, begun: dict[str, list[float]]) -> Iterator[None]:
    """Note at which part of the time each stage of the work begins."""
    told: list[tuple[Stage, float]] = []

    def telling(_: Path) -> Tell:
        return lambda stage, _: told.append((stage, time.process_time()))

    usual, work.telling = work.telling, telling  # type: ignore[attr-defined]
    try:
        start = time.process_time()
        yield
        whole = time.process_time() - start
    finally:
        work.telling = usual  # type: ignore[attr-defined]
    for stage, at in dict(reversed(told)).items():
        begun[f"{name}: {stage}"].append((at - start) / whole)


def timed(place: Path, pair: Pair, sheet: bool, begun: dict[str, list[float]]) -> None:
    """Both looks and the answer of one pair, with its gear data on a sheet or without."""
    store = DraftStore(place / "readings")
    marking = Marking(pair.left.truth["marking"])
    folder = store.folder(store.begin("R. Moss").key)
    job = place / f"{pair.machine}_{pair.state}" if sheet else None
    if job is not None:
        (place / "sheet.toml").write_text(sheet_text(pair.left))
        start_job(job, sheet_path=place / "sheet.toml")
    for one in (pair.left, pair.right):
        look(folder, one, SettingsRequest(marking), begun)
    draft = folder.change(lambda now: now.asking())
    with watched(answering, f"answer{', gear known' if sheet else ''}", begun):
        settings = SettingsRequest(marking, sheet=None if job is None else job_sheet_path(job))
        answering.answer_draft(folder, draft, settings, job)
    stop = folder.answer_stop(draft)
    if stop is not None:
        print(f"{pair.machine} {pair.state}: {stop.found}")


def look(folder: DraftFolder, one: Scene, settings: SettingsRequest, begun: dict[str, list[float]]) -> None:
    """A look at a photograph whose tip is known."""
    take_photo(
        folder, Flank(one.truth["flank"]), Incoming(folder).received(io.BytesIO(one.photo.read_bytes())), "a.jpg"
    )
    photo = replace(folder.read().photos[-1], tip=PictureSide(one.truth["tip"]))
    folder.change(lambda draft: draft.with_changed(photo))
    with watched(looking, "look", begun):
        looking.look_at(folder, photo, settings)
