"""A comparison on the phone: with the last reading that counts, and no verdict on one that does not."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import msgspec
import pytest

from patternscan.judging.advice import Move
from patternscan.measuring.interval import Interval
from patternscan.reasons import reason
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.pages.parts import WebPage
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.web import desk_words, reading_words
from patternscan.setting.log.events import Replied, Struck
from patternscan.setting.log.job_log import append_entry
from patternscan.setting.log.words import Reply
from patternscan.web.drafts.draft import Draft
from patternscan.web.drafts.store import DraftFolder, DraftStore
from patternscan.workflow.job.folder import start_job
from tests.reporting.builders import ADD_AT_A, written_inspection
from tests.reporting.contents import MADE
from tests.reporting.seen_page import words_of
from tests.setting.rule_jobs import ASKED, BARE
from tests.web.served import Phone, phone
from tests.web.test_reading import waited

FELL = "does not count, by entry 4"
PAGE = WebPage("Better", "Better", [], "Lift", [], doubts=[])


@dataclass(frozen=True, slots=True)
class Kept:
    """A machine with three answers in its job, the oldest first."""

    here: Phone
    job: Path
    readings: tuple[DraftFolder, ...]

    def answer(self, number: int) -> str:
        """The page of an answer, counted from 1 as its entry is."""
        return self.here.get(f"/readings/{self._key(number)}/answer").text

    def desk(self, number: int) -> str:
        """The engineer's page of an answer."""
        return self.here.get(f"/desk/{self._key(number)}").text

    def compared(self, number: int, before: int) -> str:
        """The comparison of two answers, in words."""
        address = f"/readings/{self._key(number)}/compare/{self._key(before)}"
        return words_of(waited(self.here, address, desk_words.COMPARING))

    def offered(self, page: str) -> int | None:
        """The answer that a page offers to compare with."""
        found = re.search(r"/compare/([0-9a-f-]+)", page)
        return None if found is None else [one.read().key for one in self.readings].index(found[1]) + 1

    def _key(self, number: int) -> str:
        return self.readings[number - 1].read().key


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Kept]:
    start_job(tmp_path / "lift", "Lift")
    store = DraftStore(tmp_path / "readings")
    readings = tuple(in_the_job(store, tmp_path / "lift", shared) for shared in (0.3, 0.2, 0.1))
    with phone(tmp_path) as here:
        yield Kept(here, tmp_path / "lift", readings)


def in_the_job(store: DraftStore, job: Path, shared: float) -> DraftFolder:
    """An answer that is in the job, as if it had been judged: both flanks together so far off toward B."""
    read = written_inspection(Move.TOWARD_B, ADD_AT_A, reason("in-place"))
    judged = replace(read, comparison=replace(read.comparison, shared=Interval.around(shared, 0.02)))
    folder = store.folder(store.begin("R. Moss").key)
    number = append_entry(job, ASKED).number
    draft = folder.change(lambda one: replace(Draft.asking(one), machine="lift", entry=number))
    folder.answer_path(draft).mkdir()
    (folder.answer_path(draft) / "judgement.json").write_bytes(msgspec.json.encode(judgement_document(judged, MADE)))
    (folder.answer_path(draft) / "screen.json").write_bytes(msgspec.json.encode(PAGE))
    return folder


def fallen(kept: Kept, entry: int) -> None:
    append_entry(kept.job, Replied(entry, BARE.code, Reply.NEVER_PAINTED, "R. Moss"))


def told(when: str, number: int, answer: int | None) -> str:
    return reason_sentence(reason("visit-gone", when=when, entry=number, answer=answer))


def test_the_last_one_that_counts_is_offered_and_named_by_its_time(kept: Kept) -> None:
    for page in (kept.answer(3), kept.desk(3)):
        assert kept.offered(page) == 2
        began = kept.readings[1].read().begun_at
        assert reading_words.COMPARE_LAST.format(at=f"{began:%Y-%m-%d %H:%M}") in page
    fallen(kept, 2)
    assert [kept.offered(kept.answer(3)), kept.offered(kept.desk(3))] == [1, 1]
    append_entry(kept.job, Struck(1, "wrong machine"))
    assert kept.offered(kept.answer(3)) is None
    append_entry(kept.job, Struck(4, "asked the wrong man"))
    assert kept.offered(kept.answer(3)) == 2


@pytest.mark.parametrize("number", [2, 3])
def test_a_comparison_with_one_that_fell_gives_no_verdict_however_long_ago_it_was_made(kept: Kept, number: int) -> None:
    """By the same rule as on the command line."""
    when, other = ("before", "after") if number == 2 else ("after", "before")
    assert "Better: the pattern came nearer" in kept.compared(3, 2)
    fallen(kept, number)
    page = kept.compared(3, 2)
    assert told(when, number, 4) in page
    assert page.count("Do not go by") == 1 + 1, "as the reason, and among what cannot be compared"
    assert "Cannot say whether the pattern got better" in page
    assert "Better" not in page
    append_entry(kept.job, Struck(5 - number, "wrong tooth"))
    assert told(other, 5 - number, None) in kept.compared(3, 2)
    append_entry(kept.job, Struck(4, "asked the wrong man"))
    append_entry(kept.job, Struck(5, "it was the right tooth"))
    assert "Better: the pattern came nearer" in kept.compared(3, 2)


def test_the_machine_s_page_says_which_of_its_readings_fell(kept: Kept) -> None:
    fallen(kept, 2)
    page = kept.here.get("/machines/lift/").text
    listed = [reading_words.IN_THE_JOB.format(number=number) for number in (1, 2, 3)]
    assert [f"{one}: {FELL}" in page for one in listed] == [False, True, False]
    assert all(one in page for one in listed)


def test_the_engineer_is_told_that_a_reading_fell(kept: Kept) -> None:
    assert "Do not go by" not in kept.desk(3)
    fallen(kept, 3)
    assert reading_words.GONE.format(number=3, gone=FELL) in kept.desk(3)
