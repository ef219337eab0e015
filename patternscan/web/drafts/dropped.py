"""What is left of photos that a person dropped: removed where nothing refers to them any more."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from patternscan.web.drafts.draft import Draft
from patternscan.web.drafts.store import DraftFolder

ANSWERS, TRUTHS = "answer_*/judgement.json", "originals/*truth.json"
"""What may still speak of a photo that is not in the draft any more."""


def clear_dropped(folder: DraftFolder) -> None:
    """Remove the files of every photo that is neither in the draft nor spoken of by an answer or a painted truth."""
    folder.change(lambda draft: _cleared(folder.path, draft))


def _cleared(path: Path, draft: Draft) -> Draft:
    told = [one.read_bytes() for what in (ANSWERS, TRUTHS) for one in path.glob(what)]
    for number in range(1, draft.taken + 1):
        spoken_of = any(f'"photo_{number}.'.encode() in content for content in told)
        if draft.photo(number) is None and not spoken_of:
            for file in _files(path, number):
                file.unlink(missing_ok=True)
    return draft


def _files(path: Path, number: int) -> Iterator[Path]:
    yield from (one for place in (path, path / "originals") for one in place.glob(f"photo_{number}.*"))
