"""What cannot have happened is refused, and what can passes."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from patternscan.errors import WrongUse
from patternscan.frame import End
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import (
    EccentricChange,
    EccentricsFound,
    Event,
    Note,
    Replied,
    ShimChange,
    ShimsFound,
    Struck,
)
from patternscan.setting.log.words import ShimPlace
from patternscan.setting.machine.sheet import Eccentrics, Sheet, SideShims
from patternscan.setting.state.entry_check import refuse_impossible
from tests.setting.test_entries import EVENTS

SHEET = Sheet(shims=SideShims(End.A, thickest_mm=1.0), eccentrics=Eccentrics(holes=12))
A, B = ShimPlace.CARRIER_A, ShimPlace.CARRIER_B
FOUND = ShimsFound(A, 0.5, 0.5)


def log(*events: Event) -> list[Entry]:
    return [Entry(number, datetime(2026, 3, 1, tzinfo=UTC), None, event) for number, event in enumerate(events, 1)]


@pytest.mark.parametrize(
    ("event", "before", "part"),
    [
        (ShimChange(A, 0.1, 0.1), (), "shims-found carrier-A"),
        (ShimChange(B, 0.1, 0.1), (FOUND,), "shims-found carrier-B"),
        (ShimChange(A, -0.6, -0.6), (FOUND,), "lie only 0.50 mm (0.020 in)"),
        (ShimChange(A, 0.0, -0.6), (FOUND,), "lie only 0.50 mm (0.020 in)"),
        (ShimChange(A, -0.3, -0.3), (FOUND, ShimChange(A, -0.3, -0.3)), "lie only 0.20 mm"),
        (ShimChange(A, 0.6, 0.0), (FOUND,), "takes 1.00 mm (0.039 in) at most"),
        (EccentricsFound(3, 13), (), "Hole 13 is not there"),
        (EccentricChange(1, 1), (), "eccentrics-found"),
        (EccentricChange(12, 1), (EccentricsFound(3, 3),), "a whole turn or more"),
        (Struck(2, "x"), (FOUND,), "no entry 2"),
        (Struck(1, "x"), (FOUND, Struck(1, "x")), "struck before, by entry 2"),
    ],
)
def test_the_impossible_is_refused(event: Event, before: tuple[Event, ...], part: str) -> None:
    with pytest.raises(WrongUse) as stop:
        refuse_impossible(event, log(*before), SHEET)
    assert part in str(stop.value)


@pytest.mark.parametrize(
    ("event", "before"),
    [
        (ShimChange(A, -0.5, -0.5), (FOUND,)),
        (ShimChange(A, 0.5, 0.5), (FOUND,)),
        (ShimChange(B, 0.6, 0.6), (ShimsFound(B, 0.5, 0.5),)),  # the sheet limits the carrier that holds the side shims
        (ShimChange(A, 0.4, 0.4), (FOUND, ShimChange(A, 0.4, 0.4), Struck(2, "never done"))),
        (EccentricsFound(12, 1), ()),
        (EccentricChange(-1, -1), (EccentricsFound(1, 1),)),
        (Struck(2, "x"), (FOUND, Note("x"))),
    ],
)
def test_the_possible_passes(event: Event, before: tuple[Event, ...]) -> None:
    refuse_impossible(event, log(*before), SHEET)


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_without_a_sheet_readings_always_pass(event: Event) -> None:
    if not isinstance(event, ShimChange | EccentricChange | Struck | Replied):
        refuse_impossible(event, [], Sheet())
