"""How far a longer piece of work is, as a waiting page reads it."""

from __future__ import annotations

from pathlib import Path

from patternscan.reporting.text.web.reading_words import progress_words
from patternscan.web.drafts.progress import Progress, Stage, progress_at, telling


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
