"""Invented jobs in folders, for tests of the record on paper."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import msgspec

from patternscan.setting.log.events import (
    Event,
    Note,
    SignOff,
)
from patternscan.setting.log.job_log import append_entry, start_log
from tests.setting.job_entries import READ, blued

SAMPLE = Path(__file__).parents[2] / "sample_images" / "goods_lift_job"
MADE_AT = datetime(2026, 3, 4, 9, 30, tzinfo=UTC)
BEGIN = datetime(2025, 3, 2, 8, 0, tzinfo=UTC)
HOSTILE = (
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>'",
    "$x_$ ^{ \\frac{1}{0} $",
    "two\nlines\ttab",
    "車 \U0001f527 \u202e\u0000 عجلة",
    "{{ 7 * 7 }}{% raw %}&lt;",
    "x" * 400,
)
"""Names a person could give to a machine, a photo or himself."""


def made_job(folder: Path, events: Sequence[Event], sheet_text: str = "", by: str | None = "R. Moss") -> Path:
    """A job with these events, one every ten minutes."""
    start_log(folder, sheet_text)
    for number, event in enumerate(events):
        append_entry(folder, event, by, BEGIN + timedelta(minutes=10 * number))
    return folder


def hostile_events(name: str) -> list[Event]:
    """A job in which this name stands wherever a person can write."""
    pattern = blued(0.2, "toward-B", film=name, tool=name, grave=(name,))  # type: ignore[arg-type]
    photos = tuple(dataclasses.replace(photo, name=name) for photo in pattern.photos)
    return [*READ, msgspec.structs.replace(pattern, photos=photos, folder=name), Note(name), SignOff(name)]
