"""The nets of the package: one copy a thread, and a plain word when their files are not right."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest

from patternscan.errors import BrokenInstallation
from patternscan.seeing import packaged_net
from patternscan.seeing.outline_search import finder_net
from patternscan.seeing.packaged_net import NetFiles, net_of_this_thread
from patternscan.seeing.segmentation import net_input, net_segmentation

NETS = {
    net_segmentation.FILES: net_input.net_description,
    finder_net.FILES: finder_net.net_description,
}


@pytest.mark.parametrize("files", NETS, ids=lambda files: files.weights)
def test_a_thread_has_one_copy_of_its_own(files: NetFiles) -> None:
    here = net_of_this_thread(files, NETS[files])
    there: list[object] = []
    thread = threading.Thread(target=lambda: there.append(net_of_this_thread(files, NETS[files])))
    thread.start()
    thread.join()
    assert net_of_this_thread(files, NETS[files]) is here
    assert there[0] is not here


@pytest.mark.parametrize("files", NETS, ids=lambda files: files.weights)
@pytest.mark.parametrize("wrong", [{"weights": "not_there.onnx"}, {"description": "__init__.py"}])
def test_files_that_cannot_be_read_are_told_plainly(files: NetFiles, wrong: dict[str, str]) -> None:
    with pytest.raises(BrokenInstallation, match="missing or damaged"):
        net_of_this_thread(replace(files, **wrong), NETS[files])


@pytest.mark.parametrize("files", NETS, ids=lambda files: files.weights)
def test_weights_of_another_version_are_refused(monkeypatch: pytest.MonkeyPatch, files: NetFiles) -> None:
    monkeypatch.setattr(packaged_net, "_own", threading.local())
    with pytest.raises(BrokenInstallation, match="is not the one"):
        net_of_this_thread(files, lambda weights: NETS[files](weights) | {"version": 99})
