"""How the tests run: each worker has a core of its own, and what costs the most is remembered where it may be."""

import os
from importlib import import_module

import pytest

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"):
    os.environ.setdefault(_name, "1")
"""More threads of the libraries would only wait for each other."""


HANDED_OVER = {"cli", "reporting", "web", "workflow", "test_readme.py"}
"""Rooms and modules whose tests ask what is said of a result, not how it is worked out."""


@pytest.fixture(autouse=True)
def worked_out_once(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """There what costs the most is remembered, see ``tests/remembered.py``."""
    if HANDED_OVER & {request.path.parent.name, request.path.name}:
        remembered = import_module("tests.remembered")
        monkeypatch.setattr("patternscan.judging.estimate.tabulate", remembered.table)
        for net in remembered.NETS:
            monkeypatch.setattr(net, "net", remembered.RememberingNet(net))
