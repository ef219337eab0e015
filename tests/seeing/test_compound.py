"""Compound on flanks whose truth is known.

Truth is the mask from which the flank was painted (training/painted_flank.py). What counts as contact in either
marking, and that glare hides it, is common practice of the trade.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.filters import threshold_otsu

from patternscan.errors import InconsistentInputs, NoCompound
from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.quality.light import light_of
from patternscan.seeing.quality.photo_quality import judge_light
from patternscan.seeing.segmentation.contact_cautions import cautions_of_ends, cautions_of_shape
from patternscan.seeing.segmentation.contact_map import ContactMap
from patternscan.seeing.segmentation.film import beyond_mirrored
from patternscan.seeing.segmentation.film_split import otsu_threshold
from patternscan.training.painted_flank import (
    ALLOYS,
    PIGMENTS,
    Mask,
    Print,
    Scene,
    bare_flank,
    paint_flank,
    place_contact,
)
from tests.seeing.segmented import segmented

LAMPS = {"white": (1.0, 1.0, 1.0), "tungsten": (1.25, 1.0, 0.72), "cool": (0.85, 1.0, 1.2)}


def overlap(found: ContactMap, truth: Mask) -> float:
    """Intersection over union on the judged places (Jaccard 1901)."""
    contact = found.contact & found.judged
    return float((contact & truth).sum() / (contact | (truth & found.judged)).sum())


@pytest.mark.parametrize("marking", list(Marking))
@pytest.mark.parametrize("compound", list(Compound))
def test_every_compound_is_found_and_named_on_tin_bronze(compound: Compound, marking: Marking) -> None:
    truth = place_contact(Print(along=0.62))
    found = segmented(paint_flank(Scene(wear_band=True, tarnish=True), truth, compound, marking), marking, None)
    assert found.compound is compound
    assert overlap(found, truth) > 0.9


@pytest.mark.parametrize("lamp", list(LAMPS.values()), ids=list(LAMPS))
def test_white_in_light_reflected_by_bronze_is_read_where_it_lies(
    lamp: tuple[float, float, float], monkeypatch: pytest.MonkeyPatch
) -> None:
    """White in the gap between bronze teeth shows nearly the colour of bronze, and is brighter: geometrical optics."""
    warm = (0.80, 0.62, 0.44)
    monkeypatch.setitem(PIGMENTS, Compound.WHITE, warm)
    truth = place_contact(Print(along=0.4))
    scene = Scene(metal=ALLOYS["red bronze"], lamp=lamp, wear_band=True)
    found = segmented(paint_flank(scene, truth, Compound.WHITE, Marking.RUB_OFF), Marking.RUB_OFF, None)
    assert found.compound is Compound.WHITE
    assert overlap(found, truth) > 0.85


@pytest.mark.parametrize("lamp", list(LAMPS.values()), ids=list(LAMPS))
@pytest.mark.parametrize("alloy", list(ALLOYS.values()), ids=list(ALLOYS))
def test_blue_is_found_on_every_alloy_under_every_lamp(
    alloy: tuple[float, float, float], lamp: tuple[float, float, float]
) -> None:
    truth = place_contact(Print(along=0.3, slant=-0.2))
    flank = paint_flank(Scene(metal=alloy, lamp=lamp, wear_band=True), truth, Compound.BLUE, Marking.TRANSFER)
    assert overlap(segmented(flank, Marking.TRANSFER, Compound.BLUE), truth) > 0.9


@pytest.mark.parametrize("marking", list(Marking))
@pytest.mark.parametrize("lamp", list(LAMPS.values()), ids=list(LAMPS))
@pytest.mark.parametrize("alloy", list(ALLOYS.values()), ids=list(ALLOYS))
def test_a_bare_flank_carries_no_compound(
    alloy: tuple[float, float, float], lamp: tuple[float, float, float], marking: Marking
) -> None:
    scene = Scene(metal=alloy, lamp=lamp, wear_band=True, tarnish=True)
    with pytest.raises(NoCompound) as stop:
        segmented(bare_flank(scene), marking, None)
    assert stop.value.exit_code == 5
    assert ("coat the worm" in stop.value.remedy) is (marking is Marking.TRANSFER)
    assert ("paint the teeth" in stop.value.remedy) is (marking is Marking.RUB_OFF)


def test_a_print_near_tip_and_end_a_comes_out_top_left() -> None:
    truth = place_contact(Print(along=0.15, up=0.8, half_along=0.12, half_up=0.18, slant=0.0))
    found = segmented(paint_flank(Scene(), truth, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    rows, columns = np.nonzero(found.contact)
    assert rows.mean() < found.contact.shape[0] / 3
    assert columns.mean() < found.contact.shape[1] / 3


def test_a_mirrored_flank_gives_the_mirrored_contact() -> None:
    truth = place_contact(Print(along=0.7))
    flank = paint_flank(Scene(), truth, Compound.BLUE, Marking.TRANSFER)
    mirrored = RectifiedFlank(np.ascontiguousarray(flank.pixels[:, ::-1]), flank.seen[:, ::-1].copy(), 600.0, 120.0)
    one = segmented(flank, Marking.TRANSFER, None).contact
    other = segmented(mirrored, Marking.TRANSFER, None).contact[:, ::-1]
    assert (one ^ other).mean() < 0.005


def test_half_the_light_finds_the_same_contact() -> None:
    truth = place_contact(Print())
    found = [
        segmented(paint_flank(scene, truth, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
        for scene in (Scene(brightness=0.5), Scene(brightness=0.25))
    ]
    assert (found[0].contact ^ found[1].contact).mean() < 0.01


def test_holes_and_thin_streaks_in_a_print_belong_to_it() -> None:
    truth = place_contact(Print(half_along=0.25))
    holed = truth.copy()
    holed[120:130, 200:300] = False
    found = segmented(paint_flank(Scene(), holed, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    assert found.contact[120:130, 230:270].all()


def test_a_small_smear_away_from_the_print_is_no_contact() -> None:
    truth = place_contact(Print(along=0.35))
    smeared = truth | place_contact(Print(along=0.9, up=0.6, half_along=0.025, half_up=0.08, slant=0.0))
    found = segmented(paint_flank(Scene(), smeared, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    assert not found.contact[:, 430:].any()
    assert overlap(found, truth) > 0.9


def test_unpainted_rims_are_no_contact_when_rubbed_off() -> None:
    truth = place_contact(Print(half_up=0.3))
    found = segmented(paint_flank(Scene(), truth, Compound.BLUE, Marking.RUB_OFF), Marking.RUB_OFF, None)
    assert not found.contact[-8:].any()
    assert not found.contact[:, :6].any()


@pytest.mark.parametrize(("height", "told"), [(10, False), (100, True)])
def test_a_painted_flank_that_is_bare_up_to_an_end_is_asked_about(height: int, told: bool) -> None:
    """It was rubbed off there, or never painted; a print on bare metal may end where it likes."""
    contact, judged = np.zeros((256, 512), bool), np.ones((256, 512), bool)
    contact[50 : 50 + height, 300:] = True
    (asked,) = cautions_of_ends(contact, judged, Marking.RUB_OFF) if told else (None,)
    assert asked is None or (asked.code, asked["end"]) == ("bare-to-end", "B")
    assert told or not [*cautions_of_ends(contact, judged, Marking.RUB_OFF)]
    assert [*cautions_of_ends(contact[:, ::-1], judged, Marking.TRANSFER)] == []
    judged[:, 490:] = False
    assert [*cautions_of_ends(contact, judged, Marking.RUB_OFF)] == []


@pytest.mark.parametrize(
    ("far_to", "marking", "codes"),
    [
        (512, Marking.RUB_OFF, ["bare-to-end"]),
        (480, Marking.RUB_OFF, ["two-places"]),
        (512, Marking.TRANSFER, ["two-places"]),
    ],
)
def test_a_patch_at_a_bare_end_is_asked_about_once(far_to: int, marking: Marking, codes: list[str]) -> None:
    """Whether it was painted there decides whether the patch is contact at all; a print needs no paint there."""
    contact, judged = np.zeros((256, 512), bool), np.ones((256, 512), bool)
    contact[80:200, 100:300] = contact[60:200, 400:far_to] = True
    assert [one.code for one in cautions_of_shape(contact, judged, marking)] == codes


def test_a_lesser_patch_beside_a_large_one_at_a_bare_end_is_asked_about_too() -> None:
    """That the large one was painted does not tell whether the lesser one is a smear."""
    contact, judged = np.zeros((256, 512), bool), np.ones((256, 512), bool)
    contact[40:220, :150] = contact[60:200, 380:460] = True
    codes = [one.code for one in cautions_of_shape(contact, judged, Marking.RUB_OFF)]
    assert codes == ["two-places", "bare-to-end"]


def test_two_places_beside_a_bare_end_are_asked_about_too() -> None:
    contact, judged = np.zeros((256, 512), bool), np.ones((256, 512), bool)
    contact[60:200, :20] = contact[60:200, 60:200] = contact[60:200, 300:440] = True
    told = {one.code: dict(one.values) for one in cautions_of_shape(contact, judged, Marking.RUB_OFF)}
    assert told["bare-to-end"] == {"end": "A"}
    assert sorted(told["two-places"].values()) == pytest.approx([130 / 512, 370 / 512])  # type: ignore[type-var]


def test_glare_is_not_judged_and_is_spoken_of() -> None:
    truth = place_contact(Print())
    flank = paint_flank(Scene(glare=0.1), truth, Compound.BLUE, Marking.TRANSFER)
    found = segmented(flank, Marking.TRANSFER, None)
    assert 0.07 < 1 - found.judged.mean() < 0.14
    assert "glare" in [caution.code for caution in judge_light(light_of(flank))]


@pytest.mark.parametrize("level", [0, 255])
def test_a_black_or_burnt_out_flank_is_declined_with_the_reason(level: int) -> None:
    flank = bare_flank(Scene())
    blank = replace(flank, pixels=np.full_like(flank.pixels, level))
    with pytest.raises(NoCompound, match="can be judged"):
        segmented(blank, Marking.TRANSFER, None)


def test_bright_bronze_is_judged() -> None:
    flank = paint_flank(Scene(brightness=1.0), place_contact(Print()), Compound.BLUE, Marking.TRANSFER)
    assert segmented(flank, Marking.TRANSFER, None).judged.mean() > 0.97


def test_a_place_outside_the_photo_is_not_judged() -> None:
    flank = paint_flank(Scene(), place_contact(Print(along=0.6)), Compound.BLUE, Marking.TRANSFER)
    seen = flank.seen.copy()
    seen[:, :60] = False
    found = segmented(replace(flank, seen=seen), Marking.TRANSFER, None)
    assert not found.judged[:, :58].any()


def test_a_flank_marked_far_and_wide_is_told() -> None:
    truth = place_contact(Print(half_along=0.46, half_up=0.5, slant=0.0))
    found = segmented(paint_flank(Scene(), truth, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    assert "thick-coat" in [caution.code for caution in found.cautions]


@pytest.mark.parametrize("declared", list(Marking))
def test_the_wrong_marking_is_refused(declared: Marking) -> None:
    painted = Marking.RUB_OFF if declared is Marking.TRANSFER else Marking.TRANSFER
    truth = place_contact(Print(half_up=0.46))
    with pytest.raises(InconsistentInputs) as stop:
        segmented(paint_flank(Scene(), truth, Compound.BLUE, painted), declared, None)
    assert stop.value.exit_code == 6


@settings(deadline=None, max_examples=12)
@given(
    along=st.floats(0.3, 0.7),
    up=st.floats(0.4, 0.6),
    thickness=st.floats(1.5, 5.0),
    brightness=st.floats(0.15, 0.7),
    alloy=st.sampled_from(list(ALLOYS.values())),
)
def test_the_centre_of_a_print_is_found_to_a_hundredth(
    along: float, up: float, thickness: float, brightness: float, alloy: tuple[float, float, float]
) -> None:
    truth = place_contact(Print(along=along, up=up))
    scene = Scene(metal=alloy, thickness=thickness, brightness=brightness)
    found = segmented(paint_flank(scene, truth, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    shift = np.nonzero(found.contact)[1].mean() - np.nonzero(truth)[1].mean()
    assert abs(shift) / truth.shape[1] < 0.01
    assert ((found.probability >= 0) & (found.probability <= 1)).all()


def test_a_print_of_two_hundredths_of_the_flank_is_gravely_doubted() -> None:
    """A thin film still prints a tenth of the flank or more: common practice."""
    truth = place_contact(Print(half_along=0.06, half_up=0.12, slant=0.0))
    found = segmented(paint_flank(Scene(), truth, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    assert any(caution.grave for caution in found.cautions)


@pytest.mark.parametrize("bounces", [0.5, 1.0, 2.5])
def test_bronze_mirrored_in_bronze_lies_on_the_ray_of_its_own_colour(bounces: float) -> None:
    """Each bounce multiplies by the reflectance, so logarithms of colour scale: geometrical optics."""
    assert beyond_mirrored((0.6 * bounces, 1.1 * bounces), (0.6, 1.1)) == pytest.approx(0, abs=1e-9)
    assert beyond_mirrored((-0.4, -0.5), (0.6, 1.1)) > 1.0


@pytest.mark.parametrize("share", [0.1, 0.5, 0.8])
def test_the_threshold_of_tones_is_otsus_as_scikit_image_finds_it(share: float) -> None:
    tones = np.random.default_rng(3)
    count = int(20000 * share)
    values = np.r_[tones.normal(0, 0.3, count), tones.normal(2, 0.4, 20000 - count)].astype(np.float32)
    inner = values[(values > np.quantile(values, 0.005)) & (values < np.quantile(values, 0.995))]
    expected = threshold_otsu(inner, nbins=128)  # type: ignore[no-untyped-call]
    assert otsu_threshold(values) == pytest.approx(float(expected), abs=1.5 * float(np.ptp(inner)) / 128)
