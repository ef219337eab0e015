"""One flank photographed twice, and two flanks, on photographs with known truth."""

from __future__ import annotations

import numpy as np
import pytest

from patternscan.frame import Compound, Flank, Marking
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.quality.same_flank import ALIKE, detail_of, likeness, same_flank
from patternscan.training.painted_flank import Print, Scene, paint_flank, place_contact
from patternscan.workflow.read import read_flank
from tests.benchmarks.scenes import Split, pairs, scene
from tests.benchmarks.second_exposures import edges_of, second_exposure, seen_detail
from tests.drawn import drawn_photo, slanted_outline


@pytest.mark.parametrize(
    ("split", "name"), [("dev", "dev000_before_M"), ("dev", "dev001_after_P"), ("rims", "s_dev000_check_P")]
)
@pytest.mark.parametrize("seed", range(2))
def test_a_second_exposure_shows_the_same_flank_whichever_end_is_called_a(split: Split, name: str, seed: int) -> None:
    one, chance = scene(split, name), np.random.default_rng(seed)
    photo = load_photo(one.photo)
    pixels, edges = second_exposure(photo, edges_of(one), 0.02, chance)
    first, again = seen_detail(one, photo, edges_of(one)), seen_detail(one, Photo("again.jpg", pixels), edges)
    assert same_flank(first, again)
    assert same_flank(first, again.turned)


def test_the_two_flanks_of_a_wheel_are_far_from_one_flank() -> None:
    for pair in pairs("rims"):
        flanks = [seen_detail(one, load_photo(one.photo), edges_of(one)) for one in (pair.left, pair.right)]
        assert likeness(*flanks) < ALIKE / 2


def test_likeness_does_not_hang_on_the_order() -> None:
    flanks = [
        seen_detail(one, load_photo(one.photo), edges_of(one))
        for one in (scene("dev", "dev002_before_M"), scene("dev", "dev002_after_M"))
    ]
    assert likeness(*flanks) == pytest.approx(likeness(*flanks[::-1]), abs=1e-6)
    assert likeness(flanks[0], flanks[0]) == pytest.approx(1)


def test_two_prints_of_one_shape_on_two_flanks_are_not_one_flank() -> None:
    """On a crossed wheel one print is the other with its ends exchanged; the metal beside them tells the flanks."""
    flanks = []
    for flank, at in ((Flank.LEFT, (0.2, 0.5, 0.3, 0.7)), (Flank.RIGHT, (0.5, 0.8, 0.3, 0.7))):
        outline = slanted_outline(flank)
        reading = read_flank(drawn_photo(outline, at), outline, Marking.TRANSFER)
        flanks.append(detail_of(reading.rectified, reading.contact_map.contact))
    assert likeness(*flanks) < ALIKE


def test_even_marks_of_the_hob_do_not_make_two_flanks_one() -> None:
    """One hob leaves the same feed marks on every flank that it cuts (common practice)."""
    flanks = []
    for seed, along in ((1, 0.3), (2, 0.7)):
        contact = place_contact(Print(along=along))
        flank = paint_flank(Scene(seed=seed), contact, Compound.BLUE, Marking.TRANSFER)
        flanks.append(detail_of(flank, contact))
    assert likeness(*flanks) < ALIKE / 2
