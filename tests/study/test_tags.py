"""What printed tags tell in photographs that nothing was chosen on."""

from __future__ import annotations

import pytest

from tests.benchmarks.pasted_tags import placings, tried

pytestmark = pytest.mark.study


def test_of_sixty_placings_none_is_accepted_swapped_mirrored_or_with_another_sheet() -> None:
    counts = tried([*placings("dev2", 60)])
    assert all(counter.total() == 60 for counter in counts.values())
    as_they_are = counts.pop("as they are")
    assert as_they_are["refused"] == 0
    assert as_they_are["told"] >= 30
    assert {title: counter["told"] for title, counter in counts.items()} == dict.fromkeys(counts, 0)
