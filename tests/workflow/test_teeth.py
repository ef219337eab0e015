"""Which readings of one flank are of one tooth."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from patternscan.frame import Flank
from patternscan.measuring.reading import Reading
from patternscan.seeing.image.photo import Photo
from patternscan.workflow.teeth import teeth_of
from tests.reporting.builders import drawn_reading


@pytest.fixture(scope="module")
def two() -> tuple[Reading, Reading]:
    """Two teeth of one wheel, each with a print of its own."""
    return drawn_reading(Flank.LEFT), drawn_reading(Flank.LEFT, (0.5, 0.8, 0.3, 0.7), tooth=1)


def named(reading: Reading, tooth: str) -> Reading:
    return replace(reading, outline=replace(reading.outline, tooth=tooth))


@pytest.mark.parametrize(
    ("names", "teeth"),
    [(("1", "1"), 2), (("2", "2"), 2), (("7", "7"), 1), (("7", "8"), 2), (("by the door", "By the  door"), 1)],
)
def test_a_name_that_a_person_gave_twice_is_of_one_tooth(
    names: tuple[str, str], teeth: int, two: tuple[Reading, Reading]
) -> None:
    """The numbers that a page or the search gives by itself begin anew in each photo."""
    assert len(teeth_of(list(map(named, two, names)))) == teeth


def test_two_flanks_in_one_photo_are_two_teeth_whatever_their_names(two: tuple[Reading, Reading]) -> None:
    one, other = two
    assert len(teeth_of([named(one, "7"), replace(named(other, "7"), photo=one.photo)])) == 2


def test_the_readings_of_each_tooth_keep_their_order(two: tuple[Reading, Reading]) -> None:
    one, other = two
    darker = replace(one, photo=Photo("again.png", (one.photo.pixels * 0.75).astype(np.uint8)))
    assert teeth_of([one, other, darker]) == ((one, darker), (other,))
    assert teeth_of([]) == ()
