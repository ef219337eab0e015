"""The work on many photos, by whoever does it: small to send, and no failure stops the others."""

from __future__ import annotations

import pickle
from dataclasses import replace
from pathlib import Path

import pytest

from patternscan.errors import WrongUse
from patternscan.frame import Flank, Medium, Seen
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.workflow.batch.executor import Workers, own_threads
from patternscan.workflow.batch.machines import judgement_mark
from patternscan.workflow.batch.readings import read_task, reading_mark
from patternscan.workflow.batch.run import run_tasks
from patternscan.workflow.batch.task import Task, TaskResult, stopped
from patternscan.workflow.inputs.photo_list import ListedPhoto
from patternscan.workflow.inputs.settings import SettingsRequest, load_settings
from tests.cli.test_commands import LEFT, SAMPLES, outline_of
from tests.workflow.test_executor import AtOnce

SMALL_BYTES = 10_000
"""A photo of 12 megapixels takes 36 million bytes."""


def task_for(folder: Path, name: str = "a.jpg") -> Task:
    settings = load_settings(SettingsRequest(sheet=SAMPLES / "goods_lift.toml"))
    return Task(name, (ListedPhoto(name, LEFT, Flank.LEFT, outline_of(LEFT)),), settings, folder / name)


def refuse_second(task: Task) -> TaskResult:
    if task.title == "second":
        raise MemoryError("no room")
    return TaskResult(({"photo": task.title, "code": 0},))


def test_task_and_result_are_small_and_can_be_sent(tmp_path: Path) -> None:
    task = task_for(tmp_path)
    sent = pickle.dumps(task)
    assert len(sent) < SMALL_BYTES
    assert pickle.loads(sent) == task
    (result,) = run_tasks([task], read_task, Workers(AtOnce(), 1), lambda *_: None)
    back = pickle.dumps(result)
    assert len(back) < SMALL_BYTES
    assert pickle.loads(back) == result
    assert (result.stop, result.flanks[0]["folder"]) == (None, f"{tmp_path.name}/a.jpg")


def test_results_come_in_the_order_of_the_plans_and_each_is_told_once(tmp_path: Path) -> None:
    told: list[tuple[int, int, str]] = []
    early = stopped("early", [ListedPhoto("early", LEFT)], WrongUse("Found.", "Do."))
    plans: list[Task | TaskResult] = [
        task_for(tmp_path, "first"),
        early,
        task_for(tmp_path, "second"),
        task_for(tmp_path, "third"),
    ]
    with own_threads(2) as workers:
        results = run_tasks(plans, refuse_second, workers, lambda *words: told.append(words[:3]))
    assert [result.title for result in results] == ["first", "early", "second", "third"]
    assert [(number, of) for number, of, _ in told] == [(1, 4), (2, 4), (3, 4), (4, 4)]
    assert sorted(title for *_, title in told) == ["early", "first", "second", "third"]
    failed = results[2].stop
    assert failed is not None
    assert (failed["code"], failed["reason"]) == (1, "patternscan itself failed: MemoryError: no room.")


@pytest.mark.parametrize("change", [{"tip": "down"}, {"flank": Flank.RIGHT}, {"outline": None}])
def test_other_settings_of_a_photo_have_another_fingerprint(tmp_path: Path, change: dict[str, object]) -> None:
    task = task_for(tmp_path)
    changed = replace(task, photos=(replace(task.photos[0], **change),))  # type: ignore[arg-type]
    assert reading_mark(changed) != reading_mark(task)


def test_a_reading_is_kept_when_only_the_machine_is_renamed_but_not_a_judgement(tmp_path: Path) -> None:
    task = task_for(tmp_path)
    renamed = replace(task, settings=replace(task.settings, sheet=replace(task.settings.sheet, machine="Other")))
    assert reading_mark(renamed) == reading_mark(task)
    assert judgement_mark(renamed) != judgement_mark(task)
    assert judgement_mark(replace(task, title="Lift 2")) != judgement_mark(task)


@pytest.mark.parametrize("change", [{"pair": None}, {"told": ToldMedium(Medium.TAPE, Seen.THROUGH)}])
def test_a_reading_under_other_settings_is_not_kept(tmp_path: Path, change: dict[str, object]) -> None:
    task = task_for(tmp_path)
    otherwise = replace(task, settings=replace(task.settings, **change))  # type: ignore[arg-type]
    assert reading_mark(otherwise) != reading_mark(task)


def test_a_reading_of_another_pair_of_tags_is_not_kept(tmp_path: Path) -> None:
    task = task_for(tmp_path)
    tagged = replace(task, settings=replace(task.settings, sheet=replace(task.settings.sheet, tag_pair=7)))
    assert reading_mark(tagged) != reading_mark(task)
