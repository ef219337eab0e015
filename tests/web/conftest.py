"""The headless Chromium of the tests of pages."""

from __future__ import annotations

from tests.reporting.conftest import browser as browser
