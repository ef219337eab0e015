"""The nets of the package: one copy a thread, and a plain word when their files are not right."""

from __future__ import annotations

import threading
from typing import Any
from unittest.mock import Mock

import pytest

from patternscan.errors import BrokenInstallation
from patternscan.seeing.outline_search.finder_net import FINDER_NET
from patternscan.seeing.packaged_net import PackagedNet
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET

BOTH = pytest.mark.parametrize("one", [CONTACT_NET, FINDER_NET], ids=["contact", "finder"])


def like(one: PackagedNet, **other: Any) -> PackagedNet:
    """A net that is not loaded yet, with other files."""
    known = {name: getattr(one, name) for name in ("package", "weights", "description", "described")}
    return PackagedNet(**known | other)


@BOTH
def test_each_thread_has_one_copy_of_its_own(one: PackagedNet) -> None:
    there: list[object] = []
    thread = threading.Thread(target=lambda: there.append(one.net))
    thread.start()
    thread.join()
    assert one.net is one.net
    assert there[0] is not one.net


def test_what_was_fetched_is_loaded_once(monkeypatch: pytest.MonkeyPatch) -> None:
    loaded = Mock(side_effect=lambda _: object())
    monkeypatch.setattr("cv2.dnn.readNetFromONNX", loaded)
    fresh = like(FINDER_NET)
    fresh.fetch()
    assert fresh.net is fresh.net
    fresh.fetch()
    assert loaded.call_count == 1


def test_a_fetched_net_that_cannot_be_loaded_says_so_where_it_is_needed() -> None:
    broken = like(FINDER_NET, weights="not_there.onnx")
    broken.fetch()
    with pytest.raises(BrokenInstallation, match="missing or damaged"):
        _ = broken.net


@BOTH
@pytest.mark.parametrize("wrong", [{"weights": "not_there.onnx"}, {"description": "__init__.py"}])
def test_files_that_cannot_be_read_are_told_plainly(one: PackagedNet, wrong: dict[str, str]) -> None:
    with pytest.raises(BrokenInstallation, match="missing or damaged"):
        _ = like(one, **wrong).net


@BOTH
def test_weights_of_another_version_are_refused(one: PackagedNet) -> None:
    with pytest.raises(BrokenInstallation, match="is not the one"):
        _ = like(one, described=lambda weights: one.described(weights) | {"version": 99}).net
