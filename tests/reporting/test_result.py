"""Results as JSON: the contract's keys."""

from __future__ import annotations

import numpy as np
import pytest

from patternscan.frame import Flank, Marking
from patternscan.judging.judgement import Judgement
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.documents.reading import reading_document
from patternscan.reporting.pictures.bare_flank import contact_map_image
from patternscan.workflow.judge import judge_pair
from patternscan.workflow.read import read_flank
from tests.drawn import drawn_photo, slanted_outline
from tests.reporting.contents import MADE, content


@pytest.fixture(scope="module")
def readings() -> dict[Flank, Reading]:
    # Print near the tip at end A.
    place = (0.10, 0.40, 0.55, 0.95)
    return {
        flank: read_flank(drawn_photo(slanted_outline(flank), place), slanted_outline(flank), Marking.TRANSFER)
        for flank in Flank
    }


@pytest.fixture(scope="module")
def judgement(readings: dict[Flank, Reading]) -> Judgement:
    return judge_pair([readings[Flank.LEFT]], [readings[Flank.RIGHT]])


@pytest.mark.parametrize("flank", list(Flank))
def test_the_map_shows_a_print_near_the_tip_at_end_a_at_its_top_left(
    readings: dict[Flank, Reading], flank: Flank
) -> None:
    picture = contact_map_image(readings[flank])
    assert (picture.mode, picture.size) == ("L", (256, 128))
    rows, columns = np.nonzero(np.asarray(picture) == 255)
    assert columns.mean() / 256 == pytest.approx(0.25, abs=0.03)
    assert rows.mean() / 128 == pytest.approx(0.25, abs=0.06)


def test_a_reading_has_every_key_of_the_contract(readings: dict[Flank, Reading]) -> None:
    reading = readings[Flank.LEFT]
    found = content(reading_document(reading.photo, [reading], MADE))
    assert {"format", "version", "photo", "flanks"} <= set(found)
    keys = [
        "flank",
        "tooth",
        "outline",
        "marking",
        "compound",
        "coverage",
        "centroid",
        "length",
        "height",
        "judged_fraction",
        "cautions",
    ]
    assert set(keys) <= set(found["flanks"][0])
    assert set(found["flanks"][0]["centroid"]) == {"along", "up"}


def test_the_judgement_says_the_direction(judgement: Judgement) -> None:
    found = content(judgement_document(judgement, MADE))
    assert found["advice"]["move_wheel"] == "toward-A"
    assert found["shared_shift"]["along"]["value"] < -0.2
    assert found["left"][0]["flanks"][0]["flank"] == "left"
