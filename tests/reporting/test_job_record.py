"""The record gathers what the folder holds: readings before and after, trials with what followed, what is missing."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import PatternscanError
from patternscan.judging.advice import Move
from patternscan.reporting.job.kept_patterns import PhotoPlace
from patternscan.reporting.job.record import gather_record
from patternscan.setting.log.entries import Entry, entry_line
from patternscan.setting.log.events import (
    Closed,
    EccentricChange,
    EndPlay,
    Event,
    Note,
    Pattern,
    Replaced,
    ShimChange,
    SignOff,
    Struck,
)
from patternscan.setting.log.job_log import HEADER
from patternscan.setting.log.pattern_parts import PhotoLink
from patternscan.setting.log.words import (
    Part,
    Shaft,
    ShimPlace,
)
from patternscan.setting.state.checks import Check
from tests.reporting.jobs import BEGIN, MADE_AT, SAMPLE, made_job
from tests.setting.job_entries import (
    AS_FOUND_PATTERN,
    CENTRED,
    FOUND,
    HEAVY_AT_A,
    HEAVY_AT_B,
    WORM_PLAY,
    blued,
    side_move,
)
from tests.setting.job_entries import events as any_event
from tests.setting.rule_jobs import NEAR_B


def test_readings_before_any_change_are_as_found_the_last_ones_as_left(tmp_path: Path) -> None:
    worm = [EndPlay(Shaft.WORM, mm) for mm in (0.30, 0.28, 0.15, 0.10)]
    change = ShimChange(ShimPlace.WORM, -0.05, -0.05)
    record = gather_record(made_job(tmp_path, [*worm[:2], change, *worm[2:]]))
    assert record.before[Check.WORM_END_PLAY].readings_mm == (0.28,)
    assert record.state.current_readings[Check.WORM_END_PLAY].readings_mm == (0.10,)


def test_each_trial_tells_what_followed_it(tmp_path: Path) -> None:
    there, back = side_move(0.1)
    turn, note = EccentricChange(1, 1), Note("Centres too wide.")
    events: list[Event] = [
        AS_FOUND_PATTERN,
        HEAVY_AT_B,
        there,
        back,
        HEAVY_AT_B,
        WORM_PLAY,
        note,
        turn,
        CENTRED,
        Closed(),
        note,
        CENTRED,
    ]
    trials = gather_record(made_job(tmp_path, events)).trials
    assert [[entry.event for entry in trial.followed] for trial in trials] == [
        [there, back],
        [note, turn],
        [Closed(), note],
        [],
    ]
    assert [trial.name for trial in trials] == ["Trial 1", "Trial 2", "Trial 3", "Trial 4, after closing"]
    assert [trial.series for trial in trials] == [0, 0, 1, 1]


def test_struck_entries_are_named_with_what_struck_them(tmp_path: Path) -> None:
    record = gather_record(made_job(tmp_path, [WORM_PLAY, HEAVY_AT_B, Struck(2, "wrong tooth"), Struck(1, "wrong")]))
    assert record.gone == {2: 3, 1: 4}
    assert record.trials == ()
    assert [shown.entry.number for shown in record.patterns] == [2]


def test_what_was_done_before_the_first_trial(tmp_path: Path) -> None:
    done: list[Event] = [Replaced(Part.WHEEL), ShimChange(ShimPlace.WORM, 0.1, 0.1)]
    record = gather_record(made_job(tmp_path, [*FOUND, done[0], WORM_PLAY, done[1], HEAVY_AT_B, EccentricChange(1, 1)]))
    assert [entry.event for entry in record.prepared] == done


def test_a_strike_that_was_struck_strikes_nothing(tmp_path: Path) -> None:
    record = gather_record(made_job(tmp_path, [WORM_PLAY, Struck(1, "wrong"), Struck(2, "it was right after all")]))
    assert record.gone == {2: 3}


def test_shims_are_learned_from_the_latest_series_that_tells_something(tmp_path: Path) -> None:
    """0.10 mm moved the pattern from 0.30 to 0.18 toward B: 0.12 of the face width for 0.10 mm, toward A."""
    sheet = '[shims]\ncarrier = "A"\nadding_moves_wheel = "toward-B"\n'
    events: list[Event] = [blued(0.30, Move.TOWARD_B), *side_move(0.1), HEAVY_AT_B, EccentricChange(1, 1), CENTRED]
    learned = gather_record(made_job(tmp_path, events, sheet)).learned
    assert learned is not None
    assert learned.trials == (1, 2)
    assert learned.response.effect_per_mm.value == pytest.approx(-1.2)


def test_a_job_is_finished_only_when_it_is_signed_with_nothing_open(tmp_path: Path) -> None:
    early = gather_record(made_job(tmp_path / "early", [*FOUND, SignOff("E. Larkin")]))
    unsigned = gather_record(made_job(tmp_path / "unsigned", FOUND))
    empty = gather_record(made_job(tmp_path / "empty", []))
    assert [record.finished for record in (early, unsigned, empty)] == [False, False, False]
    assert all(record.open_actions for record in (early, unsigned, empty))
    assert gather_record(SAMPLE).finished
    assert gather_record(SAMPLE).open_actions == ()


def test_digests_are_those_of_the_files() -> None:
    record = gather_record(SAMPLE, MADE_AT)
    assert record.log_sha256 == hashlib.sha256((SAMPLE / "log.jsonl").read_bytes()).hexdigest()
    assert record.sheet_sha256 == hashlib.sha256((SAMPLE / "machine.toml").read_bytes()).hexdigest()


def test_pictures_and_photos_that_are_there_missing_or_changed(tmp_path: Path) -> None:
    job = tmp_path / "job"
    shutil.copytree(SAMPLE, job)
    (job / "patterns" / "01" / "left_1.flat.jpg").unlink()
    (job / "patterns" / "01" / "drawn_as_found_right.jpg").write_bytes(b"another photo")
    shown = gather_record(job).patterns
    assert [one.flat is None for one in shown[0].flanks] == [True, False]
    assert [photo.place for photo in shown[0].photos] == [PhotoPlace.KEPT, PhotoPlace.CHANGED]
    assert [photo.place for photo in shown[1].photos] == [PhotoPlace.NOT_KEPT] * 2


@pytest.mark.parametrize(
    ("content", "doubts"),
    [
        (b'{"cautions": [{"message": "Glare.", "grave": false}, {"message": "Dark.", "grave": true}]}', ("Glare.",)),
        (b'{"cautions": []}', ()),
        (b'{"cautions": ["Glare."]}', ()),
        (b'{"cautions": 3}', ()),
        (b"[]", ()),
        (b"cut off {", ()),
        (b"\xff\xfe\xfa", ()),
    ],
)
def test_lesser_doubts_come_from_the_judgement_kept(tmp_path: Path, content: bytes, doubts: tuple[str, ...]) -> None:
    job = made_job(tmp_path, [blued(0.0, Move.STAY, folder="patterns/01")])
    (job / "patterns" / "01").mkdir(parents=True)
    (job / "patterns" / "01" / "judgement.json").write_bytes(content)
    assert gather_record(job).patterns[0].doubts == doubts


def test_a_second_photo_of_the_same_name_is_found_by_its_digest(tmp_path: Path) -> None:
    contents = {"tooth.jpg": b"first", "tooth.2.jpg": b"second"}
    links = tuple(PhotoLink("tooth.jpg", hashlib.sha256(content).hexdigest()) for content in contents.values())
    job = made_job(tmp_path, [blued(0.0, Move.STAY, photos=links, folder="patterns/01")])
    (job / "patterns" / "01").mkdir(parents=True)
    for name, content in contents.items():
        (job / "patterns" / "01" / name).write_bytes(content)
    assert [photo.place for photo in gather_record(job).patterns[0].photos] == [PhotoPlace.KEPT] * 2


@pytest.mark.parametrize("folder", ["..", "../outside", "/", "patterns/\x00", ""])
def test_a_log_written_by_hand_leads_to_no_file_outside_the_job(tmp_path: Path, folder: str) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    for place in (outside, tmp_path):
        (place / "left_1.flat.jpg").write_bytes(b"private")
    links = (PhotoLink("../outside/left_1.flat.jpg", "0" * 64),)
    record = gather_record(made_job(tmp_path / "job", [blued(0.0, Move.STAY, folder=folder, photos=links)]))
    assert [one.flat for one in record.patterns[0].flanks] == [None, None]
    assert [photo.place for photo in record.patterns[0].photos] == [PhotoPlace.NOT_KEPT]


def test_a_folder_without_a_log_is_refused(tmp_path: Path) -> None:
    with pytest.raises(PatternscanError, match="no log of a job"):
        gather_record(tmp_path)


def test_trials_that_tell_nothing_are_not_named_as_teachers(tmp_path: Path) -> None:
    sheet = '[shims]\ncarrier = "A"\nadding_moves_wheel = "toward-B"\n'
    poor = blued(None, Move.CANNOT_SAY)
    events: list[Event] = [blued(0.30, Move.TOWARD_B), poor, *side_move(0.1), HEAVY_AT_B]
    learned = gather_record(made_job(tmp_path, events, sheet)).learned
    assert learned is not None
    assert learned.trials == (1, 3)


@pytest.mark.parametrize("last", [[HEAVY_AT_A], [CENTRED, HEAVY_AT_B]], ids=["jumped", "read apart"])
def test_patterns_that_were_mixed_up_teach_nothing(tmp_path: Path, last: list[Event]) -> None:
    sheet = '[photos]\nteeth_per_flank = 1\n[shims]\ncarrier = "A"\nadding_moves_wheel = "toward-B"\n'
    begun: list[Event] = [HEAVY_AT_B, *side_move(0.01)]
    assert gather_record(made_job(tmp_path / "mixed up", [*begun, *last], sheet)).learned is None
    assert gather_record(made_job(tmp_path / "right", [*begun, NEAR_B], sheet)).learned is not None


_strikes = st.builds(Struck, st.integers(1, 12), st.just("wrong tooth"))
_numbered = st.lists(st.tuples(st.integers(1, 12), any_event | _strikes), max_size=12)


@settings(deadline=None, max_examples=60)
@given(st.lists(any_event | _strikes, max_size=12).map(lambda events: list(enumerate(events, 1))) | _numbered)
def test_every_log_can_be_gathered(tmp_path_factory: pytest.TempPathFactory, numbered: list[tuple[int, Event]]) -> None:
    """Even one written by hand, whose numbers come twice or out of order."""
    folder = tmp_path_factory.mktemp("job")
    lines = [entry_line(Entry(number, BEGIN, None, event)) for number, event in numbered]
    (folder / "log.jsonl").write_text("\n".join([HEADER, *lines]) + "\n", encoding="utf-8")
    events = [event for _, event in numbered]
    record = gather_record(folder, MADE_AT)
    kept = {entry.number for entry in record.state.entries}
    assert record.gone.keys() == {entry.number for entry in record.log.entries} - kept
    assert len(record.patterns) == sum(isinstance(event, Pattern) for event in events)
    assert len(record.trials) == len(record.state.trials)
