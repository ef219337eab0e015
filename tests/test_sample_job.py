"""The sample job: it is finished, tells every kind of event, and its patterns are what the tool reads today."""

from __future__ import annotations

import hashlib

import pytest
from click.testing import CliRunner

from patternscan.cli import main
from patternscan.frame import Flank
from patternscan.setting.log.events import KINDS, Pattern
from patternscan.setting.log.job_log import Log, read_job
from patternscan.setting.rules.action import WORK, Priority
from patternscan.setting.rules.next_actions import next_actions
from patternscan.setting.state.entry_check import refuse_impossible
from patternscan.setting.state.job_state import job_state
from sample_images import make_job

LEFT_OUT = {"lost-motion", "accepted"}
"""Backlash is read on the dial; reading it at the worm instead is the other way. No pattern of the job is crossed."""


@pytest.fixture(scope="module")
def made_again(tmp_path_factory: pytest.TempPathFactory) -> Log:
    folder = tmp_path_factory.mktemp("again") / "job"
    make_job.make_job(folder)
    return read_job(folder)[1]


def patterns(log: Log) -> list[Pattern]:
    return [entry.event for entry in log.entries if isinstance(entry.event, Pattern)]


def test_the_log_is_whole_and_tells_every_kind_of_event() -> None:
    _, log = read_job(make_job.JOB)
    assert log.damage == ()
    assert {entry.kind for entry in log.entries} == KINDS.keys() - LEFT_OUT


def test_nothing_is_left_to_do() -> None:
    result = CliRunner().invoke(main, ["next", str(make_job.JOB)])
    assert result.exit_code == 0, result.output
    assert "\nNothing to do: signed off by E. Larkin on 2025-10-08 (entry 51).\n" in result.stdout


def test_it_could_have_happened_and_every_limit_was_met_when_it_was_signed() -> None:
    sheet, log = read_job(make_job.JOB)
    for count, entry in enumerate(log.entries):
        refuse_impossible(entry.event, log.entries[:count], sheet)
    before_signing = next_actions(job_state(log.entries[:-1], sheet), sheet)
    assert [action.code for action in before_signing if action.priority in WORK] == ["sign-off"]
    assert len([action for action in before_signing if action.priority is Priority.MET]) == 5


def test_trials_come_nearer_one_after_the_other() -> None:
    _, log = read_job(make_job.JOB)
    shifts = [pattern.shared.value for pattern in patterns(log)[1:4] if pattern.shared is not None]
    assert shifts == sorted(shifts, reverse=True)
    assert shifts[0] > 0.2 > 0.04 > abs(shifts[2])


def test_photos_are_those_of_the_samples_or_lie_in_the_job() -> None:
    _, log = read_job(make_job.JOB)
    for pattern in patterns(log):
        for photo in pattern.photos:
            kept = make_job.JOB / str(pattern.folder) / photo.name
            path = kept if kept.exists() else make_job.HERE / photo.name
            assert hashlib.sha256(path.read_bytes()).hexdigest() == photo.sha256


def test_made_again_it_is_the_same_story(made_again: Log) -> None:
    """Numbers of patterns may differ a little from one version of a picture library to the next."""
    _, log = read_job(make_job.JOB)
    assert [entry.kind for entry in made_again.entries] == [entry.kind for entry in log.entries]
    assert [entry.at for entry in made_again.entries] == [entry.at for entry in log.entries]
    for now, then in zip(patterns(made_again), patterns(log), strict=True):
        assert now.move is then.move
        assert now.shared is not None
        assert then.shared is not None
        assert now.shared.value == pytest.approx(then.shared.value, abs=0.02)


def test_drawings_are_read_as_they_were_computed(made_again: Log) -> None:
    """The drawn wheel of trial 3 stands where it was hobbed: by symmetry both flanks together lie in the middle, and
    mirror each other about it (half a turn about the common perpendicular swaps flanks and ends)."""
    trial = patterns(made_again)[3]
    assert trial.left is not None
    assert trial.right is not None
    assert trial.left.along.value + trial.right.along.value == pytest.approx(1.0, abs=0.02)


def test_a_drawn_left_flank_shows_end_a_on_the_right() -> None:
    """As every photo of a left flank with the tip up does (flank names as in ISO 1122-1)."""
    left, right = make_job.drawn_outline(Flank.LEFT), make_job.drawn_outline(Flank.RIGHT)
    assert left.end_a[:, 0].mean() > left.end_b[:, 0].mean()
    assert right.end_a[:, 0].mean() < right.end_b[:, 0].mean()
