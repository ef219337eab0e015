"""The files of a result: their names."""

from __future__ import annotations

from patternscan.frame import Flank
from patternscan.workflow.outputs.reading import check_pictures
from tests.reporting.builders import drawn_reading


def test_further_teeth_get_a_number_in_the_names_of_their_pictures() -> None:
    files = check_pictures([drawn_reading(flank) for flank in (Flank.LEFT, Flank.LEFT)])
    assert list(files) == ["left.left.check.png", "left.left.2.check.png"]
