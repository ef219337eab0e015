"""Segmentation by the net, and how it is fused with segmentation by colour."""

from dataclasses import replace
from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.cautions import caution
from patternscan.errors import BrokenInstallation, PatternscanError
from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.quality.light import WORK_COLUMNS, WORK_ROWS, light_of
from patternscan.seeing.segmentation import net_input as net_input_room
from patternscan.seeing.segmentation.colour_segmentation import ColourSegmentation
from patternscan.seeing.segmentation.contact_cautions import cautions_of_told
from patternscan.seeing.segmentation.contact_map import _plain_without_colour
from patternscan.seeing.segmentation.fused import (
    FusedSegmentation,
    expected_iou_of,
    fuse,
    name_compound,
    without_specks,
)
from patternscan.seeing.segmentation.net_input import BESIDE, NAMES, PLANES, net_input
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET, NetSegmentation, probability_of
from patternscan.training.painted_flank import Print, Scene, bare_flank, paint_flank, place_contact
from tests.seeing.segmented import seen_by_net, segmented

SHAPE = (WORK_ROWS, WORK_COLUMNS)
ALL = np.ones(SHAPE, dtype=bool)


def seen(logit: np.ndarray, likely: Compound = Compound.BLUE) -> NetSegmentation:
    """What the net sees, with this logit."""
    names = {name: 0.97 if name is likely else 0.01 for name in NAMES}
    return NetSegmentation(logit.astype(np.float32), logit.astype(np.float32), names, 0.0, 0.0)


def overlap(one: np.ndarray, other: np.ndarray) -> float:
    """Intersection over union."""
    return float((one & other).sum() / (one | other).sum())


def coloured(logit: np.ndarray, score: float = 0.0) -> ColourSegmentation:
    """What colours show, with this logit."""
    return ColourSegmentation(probability_of(logit), score)


def block(left: int, right: int) -> np.ndarray:
    """Leaning of a print between two columns."""
    logit = np.full(SHAPE, -4.0, dtype=np.float32)
    logit[20:100, left:right] = 4.0
    return logit


EVERY_MARK = [(compound, marking) for compound in Compound for marking in Marking]
CLOSELY = {Compound.VIOLET: 0.94}
"""Overlap with the true contact; 0.95 of the others."""


@pytest.mark.parametrize(("compound", "marking"), EVERY_MARK)
def test_the_net_finds_every_compound_on_drawn_flanks(compound: Compound, marking: Marking) -> None:
    """Drawn by the package's own pictures, which are not those the net was trained on."""
    truth = place_contact(Print(along=0.6))
    by_net = seen_by_net(paint_flank(Scene(), truth, compound, marking), marking, None)
    assert overlap(by_net.logit > 0, truth[::2, ::2]) > 0.8


@pytest.mark.parametrize(("compound", "marking"), EVERY_MARK)
def test_every_compound_is_named_and_with_colours_or_its_name_told_found_closely(
    compound: Compound, marking: Marking
) -> None:
    truth = place_contact(Print(along=0.6))
    flank = paint_flank(Scene(), truth, compound, marking)
    by_net = seen_by_net(flank, marking, None)
    assert by_net.names[compound] > 0.4
    assert sum(by_net.names.values()) == pytest.approx(1)
    assert overlap(seen_by_net(flank, marking, compound).logit > 0, truth[::2, ::2]) > 0.95
    assert overlap(segmented(flank, marking, None).contact, truth) > CLOSELY.get(compound, 0.95)


def test_a_print_at_end_a_near_the_tip_is_seen_there() -> None:
    """A landmark: row 0 is the tip, column 0 is end A."""
    truth = place_contact(Print(along=0.2, up=0.75, half_along=0.1, half_up=0.2))
    by_net = seen_by_net(paint_flank(Scene(), truth, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    row, column = np.nonzero(by_net.logit > 0)
    assert column.mean() / WORK_COLUMNS == pytest.approx(0.2, abs=0.03)
    assert 1 - row.mean() / WORK_ROWS == pytest.approx(0.75, abs=0.06)


def test_brightness_of_the_photo_does_not_move_the_contact() -> None:
    truth = place_contact(Print(along=0.4))
    found = []
    for brightness in (0.25, 0.5):
        flank = paint_flank(Scene(brightness=brightness), truth, Compound.BLUE, Marking.TRANSFER)
        found.append(seen_by_net(flank, Marking.TRANSFER, None).logit > 0)
    assert (found[0] & found[1]).sum() / (found[0] | found[1]).sum() > 0.95


def test_the_same_flank_is_seen_the_same_again_whatever_was_looked_at_between() -> None:
    flank = paint_flank(Scene(), place_contact(Print()), Compound.RED, Marking.TRANSFER)
    first = seen_by_net(flank, Marking.TRANSFER, None).logit.copy()
    seen_by_net(bare_flank(Scene(seed=3)), Marking.RUB_OFF, None)
    assert np.array_equal(first, seen_by_net(flank, Marking.TRANSFER, None).logit)


def test_a_flank_wholly_out_of_sight_is_no_stop() -> None:
    flank = bare_flank(Scene())
    unseen = RectifiedFlank(flank.pixels, np.zeros_like(flank.seen), 600.0, 120.0)
    assert np.isfinite(seen_by_net(unseen, Marking.TRANSFER, None).logit).all()


def test_expected_iou_of_certain_contact_is_one_and_of_none_is_nought() -> None:
    assert expected_iou_of(np.where(block(50, 90) > 0, 30.0, -30.0)) == pytest.approx(1, abs=1e-3)
    assert expected_iou_of(np.full(SHAPE, -3.0)) == 0


@given(st.floats(0.1, 6), st.floats(0.1, 6))
@settings(deadline=None, max_examples=25)
def test_surer_places_raise_the_expected_iou(one: float, other: float) -> None:
    """The expected overlap grows with every place's certainty."""
    weaker, stronger = sorted((one, other))
    sign = np.sign(block(60, 120))
    assert expected_iou_of(sign * weaker) <= expected_iou_of(sign * stronger) + 1e-6


def test_expected_iou_is_the_one_to_expect_of_truths_drawn_from_the_chances() -> None:
    """Against drawing: truths drawn place by place from the chances overlap the contact by it, on average."""
    chance = np.random.default_rng(5)
    logit = block(80, 160) * 0.4 + chance.normal(0, 0.5, SHAPE)
    found = logit > 0
    overlaps = []
    for _ in range(20):
        true = chance.random(SHAPE) < probability_of(logit.astype(np.float32))
        overlaps.append((found & true).sum() / (found | true).sum())
    assert expected_iou_of(logit.astype(np.float32)) == pytest.approx(np.mean(overlaps), abs=0.01)


def test_two_ways_that_agree_are_trusted_and_two_that_differ_are_not() -> None:
    by_net = seen(block(60, 120))
    agreeing = fuse(coloured(block(62, 122)), by_net, ALL, Marking.TRANSFER)
    differing = fuse(coloured(block(160, 220)), by_net, ALL, Marking.TRANSFER)
    assert agreeing.agreement == pytest.approx(58 / 62)
    assert differing.agreement == 0
    assert agreeing.agreed
    assert not agreeing.unclear
    assert differing.disputed
    assert differing.unclear
    assert not differing.plain


def test_a_net_that_is_sure_outweighs_colours_and_one_that_is_not_does_not() -> None:
    colours = coloured(block(160, 220))
    sure = fuse(colours, seen(block(60, 120) * 1.5), ALL, Marking.TRANSFER)
    unsure = fuse(colours, seen(block(60, 120) * 0.1), ALL, Marking.TRANSFER)
    assert sure.contact[60, 90]
    assert not sure.contact[60, 190]
    assert unsure.contact[60, 190]
    assert not unsure.contact[60, 90]


def test_small_holes_and_specks_are_taken_back_and_large_ones_stay() -> None:
    logit = block(60, 140)
    logit[50:55, 100:105] = -4
    logit[30:60, 70:90] = -4
    logit[60:64, 200:204] = 4
    logit[20:60, 220:240] = 4
    contact = without_specks(logit) > 0
    assert contact[52, 102]
    assert not contact[45, 80]
    assert not contact[62, 202]
    assert contact[40, 230]


def test_what_is_not_judged_carries_no_contact() -> None:
    judged = ALL.copy()
    judged[:, :90] = False
    fused = fuse(None, seen(block(60, 120)), judged, Marking.TRANSFER)
    assert not fused.contact[:, :90].any()
    assert fused.contact[60, 100]


def test_contact_without_colour_needs_a_high_expected_iou_and_bare_metal_beside_it() -> None:
    """So a bare flank is not taken for one that the worm touched nearly everywhere."""
    by_net = seen(block(60, 120))
    for right, expected_iou, believed in ((120, 0.9, True), (120, 0.7, False), (256, 0.9, False), (61, 0.9, False)):
        fused = FusedSegmentation(block(60 if right < 256 else 0, right), expected_iou, None)
        assert _plain_without_colour(fused, by_net, ALL) is believed
    half = block(0, 128) > 0
    assert not _plain_without_colour(FusedSegmentation(block(0, 128), 0.9, None), by_net, half)


def test_fitting_colours_outweigh_a_name_the_net_is_not_sure_of() -> None:
    by_net = replace(seen(block(0, 9)), names=dict(zip(NAMES, (0.4, 0.5, 0.05, 0.03, 0.02), strict=True)))
    assert next(iter(name_compound(by_net, {}))) is Compound.YELLOW
    names = name_compound(by_net, {Compound.BLUE: 0.5})
    assert next(iter(names)) is Compound.BLUE
    assert sum(names.values()) == pytest.approx(1)


@pytest.mark.parametrize("marking", list(Marking))
def test_the_wrong_marking_is_refused_or_told(marking: Marking) -> None:
    """Read under the other marking a flank gives the complement of its contact; nobody may act on that unwarned."""
    other = Marking.RUB_OFF if marking is Marking.TRANSFER else Marking.TRANSFER
    flank = paint_flank(Scene(), place_contact(Print(along=0.45)), Compound.BLUE, marking)
    try:
        found = segmented(flank, other, None)
    except PatternscanError:
        return
    assert any(one.grave for one in found.cautions)


def test_a_compound_named_wrongly_is_told() -> None:
    flank = paint_flank(Scene(), place_contact(Print()), Compound.BLUE, Marking.TRANSFER)
    found = segmented(flank, Marking.TRANSFER, Compound.RED)
    told = caution("compound-wrong", told="red", seen="blue")
    assert told in found.cautions
    assert told.grave
    rightly = segmented(flank, Marking.TRANSFER, Compound.BLUE).cautions
    assert not {"compound-wrong", "compound-unlike"} & {one.code for one in rightly}


def test_layout_dye_that_a_shop_calls_blue_is_no_wrong_compound() -> None:
    names = {Compound.VIOLET: 0.97, Compound.BLUE: 0.02, Compound.RED: 0.01}
    (told,) = cautions_of_told(Compound.BLUE, names)
    assert (told.code, told.grave) == ("compound-unlike", False)
    assert [one.code for one in cautions_of_told(Compound.RED, names)] == ["compound-wrong"]


@pytest.mark.parametrize(
    ("known", "other"),
    [("PLANES", PLANES[::-1]), ("NAMES", NAMES[::-1]), ("VERSION", 99), ("WORK_ROWS", 64)],
)
def test_weights_that_were_trained_on_other_planes_are_refused(
    monkeypatch: pytest.MonkeyPatch, known: str, other: object
) -> None:
    monkeypatch.delitem(vars(CONTACT_NET), "net", raising=False)
    monkeypatch.setattr(net_input_room, known, other)
    with pytest.raises(BrokenInstallation, match="is not the one"):
        seen_by_net(bare_flank(Scene()), Marking.TRANSFER, None)


def test_each_plane_holds_what_its_name_says() -> None:
    """The outer half of the flank is out of sight."""
    flank = bare_flank(Scene())
    half = np.arange(flank.seen.shape[1]) < flank.seen.shape[1] // 2
    shown = replace(flank, seen=flank.seen & half)
    planes = dict(zip(PLANES, net_input(light_of(shown), Marking.RUB_OFF, Compound.WHITE), strict=True))
    assert set(np.unique(planes["seen"])) == {0, 1}
    assert planes["seen"].mean() == 0.5
    assert planes["height"][0, 0] == -planes["height"][-1, 0] == 0.5 - 0.5 / WORK_ROWS
    assert (planes["marking"] == 1).all()
    assert [planes[f"told {name}"].mean() for name in NAMES] == [name is Compound.WHITE for name in NAMES]
    assert planes["strongest"].max() == pytest.approx(shown.pixels[shown.seen].max() / 255, abs=0.02)
    assert planes["red"].mean() > planes["blue"].mean()  # bronze
    assert not planes["red"][:, WORK_COLUMNS // 2 :].any()


def test_the_metal_beside_is_told_of_prints_where_it_is_known() -> None:
    """A brush runs over tip and root, a worm prints on the flank alone."""
    tip, few = np.tile([0.4, 0.2, 0.1], (60, 1)).astype(np.float32), np.ones((9, 3), dtype=np.float32)
    light = light_of(bare_flank(Scene()))
    for beside, marking, known in (
        ((tip, few), Marking.TRANSFER, [1, log(2), -log(2), 0, 0, 0]),
        ((tip, few), Marking.RUB_OFF, [0] * 6),
        ((), Marking.TRANSFER, [0] * 6),
    ):
        planes = dict(zip(PLANES, net_input(replace(light, beside=beside), marking, None), strict=True))
        assert [planes[name].mean() for name in BESIDE] == pytest.approx(known, abs=0.05)
        assert all(np.ptp(planes[name]) == 0 for name in BESIDE)


def test_marks_finer_than_a_cell_are_smoothed() -> None:
    """A Gaussian leaves 1 / (2 pi spread^2) of a mark as large as one cell in its middle."""
    flank = bare_flank(Scene())
    pixels = np.full_like(flank.pixels, 100)
    rows, cols = (whole // work for whole, work in zip(pixels.shape, (WORK_ROWS, WORK_COLUMNS), strict=False))
    pixels[60 * rows : 61 * rows, 90 * cols : 91 * cols] = 250
    planes = net_input(light_of(replace(flank, pixels=pixels)), Marking.TRANSFER, None)
    left = 255 * float(planes[PLANES.index("strongest")].max()) - 100
    assert left == pytest.approx(150 / (2 * np.pi * net_input_room.SMOOTHED**2), abs=2)
