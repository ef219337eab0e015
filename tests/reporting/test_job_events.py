"""Every event has its sentence, to the letter where a direction or a unit hangs on it."""

from __future__ import annotations

import pytest

from patternscan.judging.advice import Move
from patternscan.reporting.text.job.events import SENTENCES, event_sentence
from patternscan.setting.log.events import (
    KINDS,
    Accepted,
    Alignment,
    Backlash,
    EccentricChange,
    EndPlay,
    Event,
    Measured,
    Replaced,
    Replied,
    ShimChange,
    ShimsFound,
    Struck,
)
from patternscan.setting.log.words import (
    Geometry,
    Part,
    Reply,
    Shaft,
    ShimPlace,
)
from tests.setting.job_entries import blued
from tests.setting.test_entries import EVENTS


@pytest.mark.parametrize(
    ("event", "words"),
    [
        (
            ShimsFound(ShimPlace.CARRIER_A, 0.5, 0.5),
            "Found under the carrier at end A: 0.50 mm (0.020 in) of shims.",
        ),
        (
            ShimChange(ShimPlace.CARRIER_B, -0.1, -0.1),
            "Shims under the carrier at end B: 0.10 mm (0.004 in) removed.",
        ),
        (
            ShimChange(ShimPlace.CARRIER_A, 0.1, 0.0),
            "Shims under the carrier at end A: 0.10 mm (0.004 in) added at the upper bolts, nothing changed at the "
            "lower bolts.",
        ),
        (EccentricChange(1, -2), "Eccentrics turned: end A 1 hole up, end B 2 holes down."),
        (EndPlay(Shaft.WORM, 0.1), "End play of the worm shaft: 0.10 mm (0.004 in)."),
        (
            Backlash((0.4, 0.5), 254.0),
            "Backlash on the dial, 254.00 mm (10.000 in) from the wheel's axis: 0.40, 0.50 mm, mean "
            "0.45 mm (0.018 in).",
        ),
        (Alignment(0.0508), "Outboard bearing out of line by 0.05 mm (0.002 in)."),
        (Measured(Geometry.SQUARENESS, 0.03), "Shafts out of square: 0.03 mm (0.001 in)."),
        (Accepted(Geometry.CENTRE_DISTANCE, "R. Moss"), "Centre distance: left as it is by R. Moss."),
        (Replaced(Part.WORM_BEARINGS), "Replaced: worm bearings."),
        (Struck(3, "wrong dial"), "Entry 3 struck out: wrong dial"),
        (
            Replied(7, "bare-to-end", Reply.RUBBED_OFF, "R. Moss"),
            "Answer about entry 7: the worm rubbed the paint off right up to the bare end, says R. Moss. "
            "By that the pattern stands.",
        ),
        (
            Replied(7, "bare-to-end", Reply.NEVER_PAINTED, "R. Moss"),
            "Answer about entry 7: the flank was not painted up to its bare end, or was wiped there, says R. Moss. "
            "By that the pattern counts no more.",
        ),
    ],
)
def test_words(event: Event, words: str) -> None:
    assert event_sentence(event) == words


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_every_kind_has_a_sentence(event: Event) -> None:
    assert event_sentence(event)


def test_no_kind_is_left_out() -> None:
    assert set(SENTENCES) == set(KINDS.values())


def test_a_pattern_names_the_end() -> None:
    (pattern,) = (event for event in EVENTS if type(event).__name__ == "Pattern")
    assert event_sentence(pattern) == (
        "Pattern: left 10 % from end A (3 teeth); together 10 % off toward end B: move the wheel toward end A."
    )


def test_a_pattern_without_a_flank_says_so() -> None:
    pattern = blued(None, Move.CANNOT_SAY, left=None, right=None)
    assert event_sentence(pattern) == "Pattern: no flank could be read: no direction could be told."


def test_backlash_without_a_reading_has_a_sentence_too() -> None:
    assert event_sentence(Backlash((), 260.0)) == "Backlash on the dial: no reading."
