"""What lies beside a flank tells which part of it is bare metal."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest

from patternscan.errors import NoCompound
from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.placed_flank import place_flank
from patternscan.seeing.image.lab import lab
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.quality.assessment import assess
from patternscan.seeing.quality.light import light_of
from patternscan.seeing.quality.surroundings import COLUMNS, MARGIN, ROWS, Surroundings, look_round
from patternscan.seeing.segmentation.contact_cautions import cautions_of_fused
from patternscan.seeing.segmentation.contact_map import segment_contact
from patternscan.seeing.segmentation.film import FlankColours, colours_of
from patternscan.seeing.segmentation.film_split import plain_metal, unlike_beside
from patternscan.seeing.segmentation.fused import FusedSegmentation
from tests.benchmarks.painted_film import ALLOYS, PAINTS, THICKNESSES, Scene
from tests.benchmarks.remarked import FLANK, SHAPE
from tests.benchmarks.scenes import scene
from tests.study.marked import bare_of, middle_along, placed_flank
from tests.study.photographed import outline_of

SURE = FusedSegmentation(np.where(np.arange(256) < 100, 6.0, -6.0) * np.ones((128, 1), np.float32), 0.95, 0.9)


def colours(film_at: slice) -> FlankColours:
    """A flank of warm metal that is cold from one column to another, and warm metal beside it."""
    warmth = np.full((128, 256), 0.7, dtype=np.float32)
    warmth[:, film_at] = -0.4
    everywhere = np.ones(warmth.shape, dtype=bool)
    return FlankColours(
        warmth, np.full_like(warmth, 1.0), np.full_like(warmth, 0.3), everywhere, ((0.6, 1.1), (0.8, 0.9))
    )


def test_compound_is_unlike_what_lies_beside_the_flank_and_metal_is_like_it() -> None:
    part = np.zeros((128, 256), dtype=bool)
    part[:, 60:120] = True
    seen = colours(slice(60, 120))
    further = (np.hypot(1.0, 0.1) + np.hypot(1.2, 0.1)) / 2 - np.hypot(0.1, 0.1)
    assert unlike_beside(seen, part) == pytest.approx(further, abs=1e-5)
    assert unlike_beside(seen, ~part) == pytest.approx(-unlike_beside(seen, part))
    assert unlike_beside(replace(seen, beside=()), part) == 0
    assert unlike_beside(seen, np.zeros_like(part)) == 0


@pytest.mark.parametrize(
    ("bounces", "cooler", "brighter", "plain"),
    [(1.5, 0.0, 0.8, True), (2.5, 0.0, 0.5, True), (1.5, 0.0, 1.2, False), (1.0, 0.6, 0.8, False)],
    ids=["tarnish", "deep in the tooth space", "brighter than the metal", "cooler than the metal"],
)
def test_only_what_is_coloured_as_mirrored_metal_and_no_brighter_is_plain_metal(
    bounces: float, cooler: float, brighter: float, plain: bool
) -> None:
    """Each bounce multiplies light by the metal's colour and takes some of it: geometrical optics."""
    part = np.zeros((128, 256), dtype=bool)
    part[:, 60:120] = True
    warmth = np.where(part, 0.7 * bounces - cooler, 0.7).astype(np.float32)
    depth = np.where(part, 1.0 * bounces, 1.0).astype(np.float32)
    light = np.where(part, 0.3 * brighter, 0.3).astype(np.float32)
    assert plain_metal(FlankColours(warmth, depth, light, np.ones_like(part)), part) is plain


def test_a_print_that_looks_like_the_metal_beside_it_allows_no_direction() -> None:
    names = {Compound.BLUE: 1.0}
    assert [one.code for one in cautions_of_fused(SURE, names, False)] == []
    (told,) = cautions_of_fused(SURE, names, True)
    assert told.code == "contact-unclear"
    assert told.grave


def test_paint_that_ran_over_tip_and_root_is_read_all_the_same() -> None:
    one = scene("dev", "dev006_single_M")
    placed = placed_flank(one)
    contact = np.zeros(SHAPE, dtype=np.float32)
    contact[FLANK, 150:290] = 1
    share = cv2.GaussianBlur(1 - contact, (0, 0), 2.0)
    painted = Scene(PAINTS[0], THICKNESSES["thick"], "daylight", ALLOYS[0])
    chance = np.random.default_rng(1)
    flat, beside = bare_of(one, placed).painted(np.asarray(share), painted, Marking.RUB_OFF, chance)
    light = light_of(flat, None, beside)
    found = segment_contact(light, Marking.RUB_OFF, None)
    assert unlike_beside(colours_of(light), found.contact[::2, ::2]) > 0.3
    assert [told.code for told in found.cautions if told.grave] == []
    assert abs(middle_along(found.contact) - 220 / 512) < 0.02


def test_colours_and_net_that_differ_forbid_a_direction_only_where_neither_is_sure() -> None:
    names = {Compound.BLUE: 1.0}
    for expected_iou, code in ((0.5, "contact-unclear"), (0.75, "weak-contrast")):
        (told,) = cautions_of_fused(replace(SURE, expected_iou=expected_iou, agreement=0.1), names, False)
        assert told.code == code
        assert told.grave is (code == "contact-unclear")


def test_strips_lie_beyond_tip_and_root_and_what_lies_outside_the_photo_is_left_out() -> None:
    pixels = np.zeros((ROWS + 2 * MARGIN, COLUMNS + 2 * MARGIN, 3), dtype=np.uint8)
    pixels[:MARGIN], pixels[-MARGIN:] = 50, 200
    inside = np.ones(pixels.shape[:2], dtype=bool)
    inside[:MARGIN, : MARGIN + COLUMNS // 2] = False
    around = Surroundings(pixels, lab(pixels), inside)
    assert [np.unique(strip).tolist() for strip in around.strips] == [[50], [200]]
    tip, root = around.tip_and_root
    assert len(tip) * 2 == len(root)


@pytest.mark.parametrize("name", ["dev001_after_P", "dev012_single_M"])
def test_a_photographs_compound_is_unlike_its_tip_land_and_root(name: str) -> None:
    one = scene("dev", name)
    photo = load_photo(one.photo)
    placed = place_flank(photo, outline_of(one), None)
    assert look_round(placed).inside.mean() > 0.9
    painted = one.contact() == (one.truth["marking"] == "transfer")
    assert unlike_beside(colours_of(assess(placed).light), painted) > 0.3


def test_what_looks_like_the_metal_beside_the_flank_is_not_believed_to_be_compound() -> None:
    """The same print, once with bare metal beside the flank and once with metal of the print's own colour."""
    one = scene("dev", "dev012_single_M")
    photo = load_photo(one.photo)
    light = assess(place_flank(photo, outline_of(one), None)).light
    assert not any(told.grave for told in segment_contact(light, Marking.TRANSFER, None).cautions)
    film = light.linear[one.contact() & light.readable]
    try:
        found = segment_contact(replace(light, beside=(film, film)), Marking.TRANSFER, None)
    except NoCompound:
        return
    assert "contact-unclear" in [told.code for told in found.cautions]
