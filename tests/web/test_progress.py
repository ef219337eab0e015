"""How far a longer piece of work is, as a waiting page reads it."""

from __future__ import annotations

from concurrent.futures import Executor, Future
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from patternscan.frame import Flank, Marking
from patternscan.reporting.text.web.door_words import NOBODY_WORKS
from patternscan.reporting.text.web.reading_words import progress_words
from patternscan.web.drafts.progress import Progress, Stage, progress_at, telling
from patternscan.web.drafts.store import DraftStore
from patternscan.web.work.pool import Pool
from tests.web.served import phone
from tests.web.test_drafts import taken


class Nobody(Executor):
    """Takes work and never does it."""

    def submit(self, *_: Any, **__: Any) -> Future[Any]:
        return Future()


def test_what_is_told_is_there_and_never_goes_back(tmp_path: Path) -> None:
    path = tmp_path / "progress.json"
    assert progress_at(path) is None
    tell = telling(path)
    for done, seen in ((0.0, 0.0), (0.3, 0.3), (0.31, 0.3), (0.2, 0.3), (0.9, 0.9)):
        tell(Stage.MEASURING, done)
        assert progress_at(path) == Progress(Stage.MEASURING, seen)


def test_every_stage_has_its_words() -> None:
    for stage in Stage:
        assert progress_words(stage, 0.25).startswith("25% done. ")


def test_a_page_says_that_nobody_is_there_to_work(tmp_path: Path) -> None:
    store = DraftStore(tmp_path / "readings")
    folder = store.folder(store.begin("R. Moss").key)
    folder.change(lambda one: replace(one, machine_said=True, marking=Marking.TRANSFER))
    taken(folder, Flank.LEFT)
    for alive in (False, True):
        with phone(tmp_path, pool=Pool(Nobody, partial(bool, alive))) as here:
            page = here.get(f"/readings/{folder.read().key}/").text
        assert (NOBODY_WORKS[0] in page) is not alive
