"""A served folder, a photo that was looked at, and the headless Chromium of the tests of pages."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import msgspec
import numpy as np
import pytest
from PIL import Image

pytest.importorskip("flask", reason="the extra 'web' is not installed")

from werkzeug.serving import make_server

from patternscan.frame import Flank, Marking
from patternscan.reporting.pages.marking_page import marking_job
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import Photo
from patternscan.setting.log.events import Note
from patternscan.web.drafts.draft import DraftPhoto
from patternscan.web.drafts.store import DraftFolder, DraftStore
from patternscan.workflow.job.folder import start_job
from patternscan.workflow.job.log import LogRequest, log_event
from tests.reporting.conftest import browser as browser
from tests.web.served import served
from tests.web.test_drafts import looked, taken


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """A folder with a machine, and the address under which it is served."""
    folder = tmp_path_factory.mktemp("site")
    start_job(folder / "lift", "Goods lift")
    log_event(LogRequest(folder / "lift", Note("oil drained"), "R. Moss"))
    with at_address(folder) as address:
        yield folder, address


@contextmanager
def at_address(folder: Path) -> Iterator[str]:
    """The address under which a folder is served."""
    server = make_server("127.0.0.1", 0, served(folder), threaded=True)
    thread = threading.Thread(target=server.serve_forever, args=(0.01,))  # so often, in s, it looks whether to stop
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()
    server.server_close()


def seen_photo(folder: Path) -> tuple[DraftFolder, DraftPhoto]:
    """A reading with the photo of a right flank, as if it had been looked at."""
    store = DraftStore(folder / "readings")
    draft_folder = store.folder(store.begin("R. Moss").key)
    draft_folder.change(lambda one: replace(one, machine_said=True, marking=Marking.TRANSFER))
    (photo,) = taken(draft_folder, Flank.RIGHT).photos
    looked(draft_folder, 1)
    Image.new("RGB", (120, 100), "#c9a15c").save(draft_folder.path / photo.view_name)
    whole = Photo(photo.file_name, np.zeros((100, 120, 3), dtype=np.uint8))
    start = marking_job(whole, read_outline_file(draft_folder.outline_path(photo)).outlines, Flank.RIGHT)
    (draft_folder.path / photo.made_of("marking.json")).write_bytes(msgspec.json.encode(start))
    return draft_folder, photo
