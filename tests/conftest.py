"""How the tests run: each worker has a core of its own, and what costs the most is remembered where it may be."""

import gc
import os
from collections.abc import Generator, Iterator
from importlib import import_module

import pytest

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "OPENCV_FOR_THREADS_NUM"):
    os.environ.setdefault(_name, "1")
"""More threads of the libraries would only wait for each other."""


def pytest_configure(config: pytest.Config) -> None:
    """Each worker has a row of modules, so that what the tests of one share is made once, and in the end helps out."""
    if config.getoption("dist", None) == "load":
        config.option.dist = "worksteal"


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """What is made while tests are collected stays: it is not looked through for garbage, then or later."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """All examples of README.md come first: it is a long test, and those of the commands judge the same samples. What a
    browser is made to do may be tried twice; the last lines tell how often that was.
    """
    items.sort(key=lambda item: item.path.name != "test_readme.py")
    for item in items:
        if item.get_closest_marker("browser"):
            item.add_marker(pytest.mark.flaky(reruns=1))  # under load a browser loses a press now and then


HANDED_OVER = {"cli", "reporting", "web", "workflow", "test_readme.py"}
"""Rooms and modules whose tests ask what is said of a result, not how it is worked out."""
HOW_READ = {"workflow"}
"""Of these the rooms that ask what way a photo goes until it is read."""
HOW_DRAWN = {"workflow", "reporting"}
"""Of these the rooms that ask what is drawn."""


@pytest.fixture(scope="module", autouse=True)
def worked_out_once(request: pytest.FixtureRequest) -> Iterator[None]:
    """There what costs the most is remembered, see ``tests/remembered.py``."""
    place = {request.path.parent.name, request.path.name}
    with pytest.MonkeyPatch.context() as patched:
        if place & HANDED_OVER:
            import_module("tests.remembered").remember(
                patched, readings=not place & HOW_READ, pictures=not place & HOW_DRAWN
            )
        if place & HANDED_OVER - HOW_READ:  # no test there pulls the plug, and a slow disk takes long to be sure
            patched.setattr(os, "fsync", lambda _: None)
        yield
