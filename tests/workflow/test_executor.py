"""Who does the work: everything is done once, no more is handed out than the workers can take."""

from __future__ import annotations

import gc
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from dataclasses import replace

import pytest

from patternscan.errors import WorkersLost, WrongUse
from patternscan.workflow.batch import cluster as dask
from patternscan.workflow.batch.cluster import cluster_workers
from patternscan.workflow.batch.executor import WAITING_PER_WORKER, Workers, own_threads, usable_cores


class AtOnce(Executor):
    """An executor of the simplest kind: it does the work while it is handed out."""

    def submit(self, work, /, *words, **named):  # type: ignore[no-untyped-def]
        future: Future[object] = Future()
        try:
            future.set_result(work(*words, **named))
        except Exception as error:
            future.set_exception(error)
        return future


def square(number: int) -> int:
    return number * number


@pytest.mark.parametrize("executor", [AtOnce(), ThreadPoolExecutor(2)])
def test_any_executor_does_every_task_once(executor: Executor) -> None:
    with executor:
        results = [(task, future.result()) for task, future in Workers(executor, 2).each(square, range(25))]
    assert sorted(results) == [(number, number * number) for number in range(25)]


def test_no_more_is_handed_out_than_the_workers_can_take() -> None:
    taken, finished, most = 0, 0, 0

    def tasks() -> Iterator[int]:
        nonlocal taken, most
        for number in range(40):
            taken += 1
            most = max(most, taken - finished)
            yield number

    with own_threads(3) as workers:
        for _ in workers.each(square, tasks()):
            finished += 1
    assert (taken, finished) == (40, 40)
    assert most <= 3 * WAITING_PER_WORKER


def test_both_of_two_workers_work_at_the_same_time() -> None:
    meeting = threading.Barrier(2, timeout=20)
    with own_threads(2) as workers:
        assert all(future.exception() is None for _, future in workers.each(lambda _: meeting.wait(), range(4)))


def test_a_failure_comes_with_its_task_and_stops_no_other() -> None:
    with own_threads(2) as workers:
        failed = {task: future.exception() is not None for task, future in workers.each(lambda x: 1 // x, [2, 0, 1])}
    assert failed == {2: False, 0: True, 1: False}


def test_nothing_new_is_begun_when_the_caller_stops() -> None:
    begun: list[int] = []

    def work(number: int) -> None:
        begun.append(number)
        time.sleep(0.05)

    with own_threads(1) as workers:
        rest = workers.each(work, range(100))
        next(rest)
        rest.close()
    assert len(begun) <= 3


def test_there_is_a_worker_for_each_core_but_not_too_many() -> None:
    with own_threads() as workers:
        assert workers.number == min(usable_cores(), 4)


def test_a_scheduler_that_does_not_answer_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    monkeypatch.setattr("patternscan.workflow.batch.cluster.PATIENCE_SECONDS", 0.5)
    for address in ("tcp://127.0.0.1:9", "nonsense"):
        with pytest.raises(WrongUse, match="No scheduler of a Dask cluster answers"), cluster_workers(address):
            pass


class LateClient:
    """A client of the library whose own thread begins only at a later try, as on a computer under load."""

    def __init__(self, fault: type[Exception], late: int) -> None:
        self.fault, self.late, self.tries = fault, late, 0

    def __call__(self, address: str, timeout: float) -> str:
        assert timeout > 0
        self.tries += 1
        if self.tries <= self.late:
            time.sleep(0.05)
            raise self.fault
        return address


@pytest.mark.parametrize("fault", [AssertionError, RuntimeError])
def test_a_connection_is_waited_for_while_the_computer_is_busy(fault: type[Exception]) -> None:
    """distributed 2026.8, ``LoopRunner``: it waits ten seconds for its thread, then asserts that it has a loop."""
    client = LateClient(fault, 3)
    assert dask._connected(client, "tcp://here", 20.0) == "tcp://here"
    assert client.tries == 4


def test_no_garbage_is_collected_while_a_client_begins() -> None:
    """distributed 2026.8, ``Client.__del__`` and ``LoopRunner``: collected then, another client never lets it begin."""
    assert dask._connected(lambda *_, **__: gc.isenabled(), "tcp://here", 1.0) is False
    assert gc.isenabled()
    with pytest.raises(WorkersLost):
        dask._connected(LateClient(AssertionError, 1000), "tcp://here", 0.1)
    assert gc.isenabled()


def test_a_computer_that_stays_busy_ends_the_work_with_plain_words() -> None:
    with pytest.raises(WorkersLost, match="too busy"):
        dask._connected(LateClient(AssertionError, 1000), "tcp://here", 0.2)


def test_a_cluster_that_goes_away_while_its_version_is_asked_is_named() -> None:
    class Gone:
        def run(self, *_: object, **__: object) -> None:
            raise OSError("closed")

    with pytest.raises(WorkersLost, match="scheduler or all workers"):
        dask._refuse_other_versions(Gone())


CLUSTER = """
import sys
from distributed import LocalCluster
if __name__ == "__main__":
    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=False, protocol="tcp://", dashboard_address=":0"
    ) as cluster:
        print(cluster.scheduler_address, flush=True)
        sys.stdin.read()
"""


class Nobody(Executor):
    """An executor whose workers are gone."""

    def submit(self, *_: object, **__: object) -> Future[object]:  # type: ignore[override]
        return Future()


def test_without_workers_the_work_ends_after_a_while() -> None:
    begun = time.monotonic()
    with pytest.raises(WorkersLost):
        list(Workers(Nobody(), 1, lambda: False, 0.1).each(square, range(3)))
    assert time.monotonic() - begun < 10


def test_a_scheduler_that_dies_ends_the_work_without_a_word_of_the_library(capfd: pytest.CaptureFixture[str]) -> None:
    pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
    cluster = subprocess.Popen([sys.executable, "-c", CLUSTER], text=True, **pipes)  # type: ignore[call-overload]
    done: list[tuple[None, float]] = []

    def work() -> None:
        with cluster_workers(cluster.stdout.readline().strip()) as workers:
            for _, future in replace(workers, patience_s=0.5).each(time.sleep, [0.01, 60.0, 60.0]):
                cluster.kill()
                done.append((future.result(), time.monotonic()))

    with cluster, pytest.raises(WorkersLost):
        work()
    ((nothing, killed),) = done
    assert nothing is None
    assert time.monotonic() - killed < 60
    assert capfd.readouterr() == ("", "")


def test_workers_of_another_version_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    distributed = pytest.importorskip("distributed", reason="the extra 'cluster' is not installed")
    monkeypatch.setattr("patternscan.workflow.batch.cluster.__version__", "0.0")
    gc.collect()  # clients left open: collected while the cluster begins, they would stop it
    with (
        distributed.LocalCluster(n_workers=1, threads_per_worker=1, dashboard_address=":0") as cluster,
        pytest.raises(WrongUse, match=r"but this is version 0\.0"),
        cluster_workers(cluster.scheduler_address),
    ):
        pass
