"""How the tests are spread: each worker has a core of its own, and all tests of a module go to one worker."""

import os
from importlib import import_module
from typing import Any

import pytest
from xdist.scheduler import LoadFileScheduling

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"):
    os.environ.setdefault(_name, "1")
"""More threads of the libraries would only wait for each other."""


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """What the tests of a module share, readings and browsers above all, is made once and not once a worker.

    In the order in which they are collected, so that the longest (of README) is not the last. Studies share little, and
    one module has most of them.
    """
    if config.option.markexpr == "study":
        return None
    config.option.loadscopereorder = False
    return LoadFileScheduling(config, log)


HANDED_OVER = {"cli", "reporting", "web", "workflow"}
"""Rooms whose tests ask what is said of a result, not how it is worked out."""


@pytest.fixture(autouse=True)
def worked_out_once(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """In those rooms what costs the most is remembered, see ``tests/remembered.py``."""
    if request.path.parent.name in HANDED_OVER:
        remembered = import_module("tests.remembered")
        monkeypatch.setattr("patternscan.judging.estimate.tabulate", remembered.table)
        monkeypatch.setattr(remembered.CONTACT_NET, "net", remembered.RememberingNet())
