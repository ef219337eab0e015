"""The work on many photos, by whoever does it: small to send, and no failure stops the others."""

from __future__ import annotations

import pickle
from dataclasses import replace
from pathlib import Path

import pytest

from patternscan.cli.errands import Errand, Outcome, read_photo, stopped, work_off
from patternscan.cli.load import load_setup
from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.workflow.batch.crew import Crew, own_crew
from patternscan.workflow.batch.photo_list import Entry
from tests.cli.test_commands import LEFT, SAMPLES, outline_of
from tests.survey.test_crew import AtOnce

SMALL_BYTES = 10_000
"""A photo of 12 megapixels takes 36 million bytes."""


def errand_for(folder: Path, name: str = "a.jpg") -> Errand:
    setup = load_setup(None, None, SAMPLES / "goods_lift.toml", 250.0)
    return Errand(name, (Entry(name, LEFT, Flank.LEFT, outline_of(LEFT)),), setup, folder / name)


def refuse_second(errand: Errand) -> Outcome:
    if errand.title == "second":
        raise MemoryError("no room")
    return Outcome(({"photo": errand.title, "code": 0},))


def test_errand_and_outcome_are_small_and_can_be_sent(tmp_path: Path) -> None:
    errand = errand_for(tmp_path)
    sent = pickle.dumps(errand)
    assert len(sent) < SMALL_BYTES
    assert pickle.loads(sent) == errand
    (outcome,) = work_off([errand], read_photo, Crew(AtOnce(), 1), lambda *_: None)
    back = pickle.dumps(outcome)
    assert len(back) < SMALL_BYTES
    assert pickle.loads(back) == outcome
    assert (outcome.stop, outcome.flanks[0]["folder"]) == (None, f"{tmp_path.name}/a.jpg")


def test_outcomes_come_in_the_order_of_the_plans_and_each_is_told_once(tmp_path: Path) -> None:
    told: list[tuple[int, int, str]] = []
    early = stopped("early", [Entry("early", LEFT)], WrongUse("Found.", "Do."))
    plans: list[Errand | Outcome] = [
        errand_for(tmp_path, "first"),
        early,
        errand_for(tmp_path, "second"),
        errand_for(tmp_path, "third"),
    ]
    with own_crew(2) as crew:
        outcomes = work_off(plans, refuse_second, crew, lambda *words: told.append(words[:3]))
    assert [outcome.title for outcome in outcomes] == ["first", "early", "second", "third"]
    assert [(number, of) for number, of, _ in told] == [(1, 4), (2, 4), (3, 4), (4, 4)]
    assert sorted(title for *_, title in told) == ["early", "first", "second", "third"]
    failed = outcomes[2].stop
    assert failed is not None
    assert (failed["code"], failed["reason"]) == (1, "patternscan itself failed: MemoryError: no room.")


@pytest.mark.parametrize("change", [{"tip": "down"}, {"flank": Flank.RIGHT}, {"outline": None}])
def test_other_settings_of_a_photo_have_another_fingerprint(tmp_path: Path, change: dict[str, object]) -> None:
    errand = errand_for(tmp_path)
    changed = replace(errand, entries=(replace(errand.entries[0], **change),))  # type: ignore[arg-type]
    assert changed.fingerprint(False) != errand.fingerprint(False)


def test_a_reading_is_kept_when_only_the_machine_is_renamed_but_not_a_judgement(tmp_path: Path) -> None:
    errand = errand_for(tmp_path)
    renamed = replace(errand, setup=replace(errand.setup, sheet=replace(errand.setup.sheet, machine="Other")))
    assert renamed.fingerprint(False) == errand.fingerprint(False)
    assert renamed.fingerprint(True) != errand.fingerprint(True)
    assert replace(errand, title="Lift 2").fingerprint(True) != errand.fingerprint(True)
    otherwise = replace(errand, setup=replace(errand.setup, pair=None))
    assert otherwise.fingerprint(False) != errand.fingerprint(False)
