"""A headless Chromium for the tests of pages; they are skipped, with the reason, where there is none."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from typing import Any

import pytest

BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome")
BROWSER_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--disable-quic",
    "--renderer-process-limit=1",
]
"""One process draws all pages of a context; to start one takes more work than most pages."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """One browser per module: its event loop must be gone before other modules (notebooks) start theirs."""
    playwright_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    executable = next(filter(None, map(shutil.which, BROWSER_NAMES)), None)
    with playwright_api.sync_playwright() as playwright:
        try:
            chromium = playwright.chromium.launch(executable_path=executable, args=BROWSER_ARGUMENTS)
        except playwright_api.Error as error:
            pytest.skip(f"no Chromium could be started: {str(error).splitlines()[0]}")
        chromium.new_context().new_page()  # kept open: pages that share this context share its process
        yield chromium
        chromium.close()
