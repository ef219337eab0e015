"""How the tests run: each worker has a core of its own, and what costs the most is remembered where it may be."""

import os
from importlib import import_module

import pytest

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"):
    os.environ.setdefault(_name, "1")
"""More threads of the libraries would only wait for each other."""


HANDED_OVER = {"cli", "reporting", "web", "workflow"}
"""Rooms whose tests ask what is said of a result, not how it is worked out."""


@pytest.fixture(autouse=True)
def worked_out_once(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """In those rooms what costs the most is remembered, see ``tests/remembered.py``."""
    if request.path.parent.name in HANDED_OVER:
        remembered = import_module("tests.remembered")
        monkeypatch.setattr("patternscan.judging.estimate.tabulate", remembered.table)
        monkeypatch.setattr(remembered.CONTACT_NET, "net", remembered.RememberingNet())
