"""The net's look, and how it is joined with the parting of colours."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.rectified import RectifiedFlank
from patternscan.seeing.segmentation.contact_map import _plain_without_colour, segment_contact
from patternscan.seeing.segmentation.film import WORK_COLUMNS, WORK_ROWS
from patternscan.seeing.segmentation.fused import (
    TRUST_IF_AGREED,
    TRUST_IF_DISPUTED,
    ColourLook,
    JointLook,
    chance_of,
    join_looks,
    name_compound,
    trust_in,
    without_specks,
)
from patternscan.seeing.segmentation.net_segmentation import NAMES, LearnedLook, look_learned
from patternscan.synthetic import Print, Scene, bare_flank, paint_flank, place_contact

SHAPE = (WORK_ROWS, WORK_COLUMNS)
ALL = np.ones(SHAPE, dtype=bool)


def seen(leaning: np.ndarray, likely: Compound = Compound.BLUE) -> LearnedLook:
    """A look of the net with this leaning."""
    names = {name: 0.97 if name is likely else 0.01 for name in NAMES}
    return LearnedLook(leaning.astype(np.float32), chance_of(leaning), names, 0.0)


def overlap(one: np.ndarray, other: np.ndarray) -> float:
    """Intersection over union."""
    return float((one & other).sum() / (one | other).sum())


def coloured(leaning: np.ndarray, merit: float = 0.0) -> ColourLook:
    """What colours show, with this leaning."""
    return ColourLook(chance_of(leaning), merit)


def block(left: int, right: int) -> np.ndarray:
    """Leaning of a print between two columns."""
    leaning = np.full(SHAPE, -4.0, dtype=np.float32)
    leaning[20:100, left:right] = 4.0
    return leaning


EVERY_MARK = [(compound, marking) for compound in Compound for marking in Marking]
TAKEN_FOR_METAL = pytest.mark.xfail(strict=True, reason="the net takes shaded yellow paint for bronze, overlap 0.785")


@pytest.mark.parametrize(
    ("compound", "marking"),
    [
        pytest.param(*mark, marks=TAKEN_FOR_METAL if mark == (Compound.YELLOW, Marking.RUB_OFF) else ())
        for mark in EVERY_MARK
    ],
)
def test_the_net_finds_every_compound_on_drawn_flanks(compound: Compound, marking: Marking) -> None:
    """Drawn by the package's own pictures, which are not those the net was trained on."""
    truth = place_contact(Print(along=0.6))
    learned = look_learned(paint_flank(Scene(), truth, compound, marking), marking, None)
    assert overlap(learned.leaning > 0, truth[::2, ::2]) > 0.8


@pytest.mark.parametrize(("compound", "marking"), EVERY_MARK)
def test_every_compound_is_named_and_with_colours_or_its_name_told_found_closely(
    compound: Compound, marking: Marking
) -> None:
    truth = place_contact(Print(along=0.6))
    flank = paint_flank(Scene(), truth, compound, marking)
    learned = look_learned(flank, marking, None)
    assert learned.names[compound] > 0.4
    assert sum(learned.names.values()) == pytest.approx(1)
    assert overlap(look_learned(flank, marking, compound).leaning > 0, truth[::2, ::2]) > 0.95
    assert overlap(segment_contact(flank, marking, None).contact, truth) > 0.95


def test_a_print_at_end_a_near_the_tip_is_seen_there() -> None:
    """A landmark: row 0 is the tip, column 0 is end A."""
    truth = place_contact(Print(along=0.2, up=0.75, half_along=0.1, half_up=0.2))
    learned = look_learned(paint_flank(Scene(), truth, Compound.BLUE, Marking.TRANSFER), Marking.TRANSFER, None)
    row, column = np.nonzero(learned.leaning > 0)
    assert column.mean() / WORK_COLUMNS == pytest.approx(0.2, abs=0.03)
    assert 1 - row.mean() / WORK_ROWS == pytest.approx(0.75, abs=0.06)


def test_brightness_of_the_photo_does_not_move_the_contact() -> None:
    truth = place_contact(Print(along=0.4))
    found = []
    for brightness in (0.25, 0.5):
        flank = paint_flank(Scene(brightness=brightness), truth, Compound.BLUE, Marking.TRANSFER)
        found.append(look_learned(flank, Marking.TRANSFER, None).leaning > 0)
    assert (found[0] & found[1]).sum() / (found[0] | found[1]).sum() > 0.95


def test_the_same_flank_is_seen_the_same_again_whatever_was_looked_at_between() -> None:
    flank = paint_flank(Scene(), place_contact(Print()), Compound.RED, Marking.TRANSFER)
    first = look_learned(flank, Marking.TRANSFER, None).leaning.copy()
    look_learned(bare_flank(Scene(seed=3)), Marking.RUB_OFF, None)
    assert np.array_equal(first, look_learned(flank, Marking.TRANSFER, None).leaning)


def test_a_flank_wholly_out_of_sight_is_no_stop() -> None:
    flank = bare_flank(Scene())
    unseen = RectifiedFlank(flank.pixels, np.zeros_like(flank.seen), 600.0, 120.0)
    assert np.isfinite(look_learned(unseen, Marking.TRANSFER, None).leaning).all()


def test_trust_of_certain_contact_is_one_and_of_none_is_nought() -> None:
    assert trust_in(np.where(block(50, 90) > 0, 30.0, -30.0)) == pytest.approx(1, abs=1e-3)
    assert trust_in(np.full(SHAPE, -3.0)) == 0


@given(st.floats(0.1, 6), st.floats(0.1, 6))
@settings(deadline=None, max_examples=25)
def test_surer_places_are_trusted_more(one: float, other: float) -> None:
    """The expected overlap grows with every place's certainty."""
    weaker, stronger = sorted((one, other))
    sign = np.sign(block(60, 120))
    assert trust_in(sign * weaker) <= trust_in(sign * stronger) + 1e-6


def test_trust_is_the_overlap_to_expect_of_truths_drawn_from_the_chances() -> None:
    """Against drawing: truths drawn place by place from the chances overlap the contact by the trust, on average."""
    chance = np.random.default_rng(5)
    leaning = block(80, 160) * 0.4 + chance.normal(0, 0.5, SHAPE)
    found = leaning > 0
    overlaps = []
    for _ in range(20):
        true = chance.random(SHAPE) < chance_of(leaning.astype(np.float32))
        overlaps.append((found & true).sum() / (found | true).sum())
    assert trust_in(leaning.astype(np.float32)) == pytest.approx(np.mean(overlaps), abs=0.01)


def test_two_ways_that_agree_are_trusted_and_two_that_differ_are_not() -> None:
    learned = seen(block(60, 120))
    agreeing = join_looks(coloured(block(62, 122)), learned, ALL, Marking.TRANSFER)
    differing = join_looks(coloured(block(160, 220)), learned, ALL, Marking.TRANSFER)
    assert agreeing.trust >= TRUST_IF_AGREED
    assert differing.trust <= TRUST_IF_DISPUTED


def test_a_net_that_is_sure_outweighs_colours_and_one_that_is_not_does_not() -> None:
    colours = coloured(block(160, 220))
    sure = join_looks(colours, seen(block(60, 120) * 1.5), ALL, Marking.RUB_OFF)
    unsure = join_looks(colours, seen(block(60, 120) * 0.1), ALL, Marking.RUB_OFF)
    assert sure.contact[60, 90]
    assert not sure.contact[60, 190]
    assert unsure.contact[60, 190]
    assert not unsure.contact[60, 90]


def test_plain_colours_are_heard_more_than_faint_ones() -> None:
    """The net leans toward contact less than colours lean against it."""
    learned, elsewhere = seen(np.where(block(60, 120) > 0, 1.6, -6.0)), block(160, 220)
    faint, plain = (join_looks(coloured(elsewhere, merit), learned, ALL, Marking.RUB_OFF) for merit in (-2.0, 2.0))
    assert faint.contact[60, 90]
    assert not plain.contact[60, 90]


def test_small_holes_and_specks_are_taken_back_and_large_ones_stay() -> None:
    leaning = block(60, 140)
    leaning[50:55, 100:105] = -4
    leaning[30:60, 70:90] = -4
    leaning[60:64, 200:204] = 4
    leaning[20:60, 220:240] = 4
    contact = without_specks(leaning) > 0
    assert contact[52, 102]
    assert not contact[45, 80]
    assert not contact[62, 202]
    assert contact[40, 230]


def test_what_is_not_judged_carries_no_contact() -> None:
    judged = ALL.copy()
    judged[:, :90] = False
    look = join_looks(None, seen(block(60, 120)), judged, Marking.TRANSFER)
    assert not look.contact[:, :90].any()
    assert look.contact[60, 100]


def test_contact_without_colour_needs_trust_and_bare_metal_beside_it() -> None:
    """So a bare flank is not taken for one that the worm touched nearly everywhere."""
    learned = seen(block(60, 120))
    for right, trust, believed in ((120, 0.9, True), (120, 0.7, False), (256, 0.9, False), (61, 0.9, False)):
        look = JointLook(block(60 if right < 256 else 0, right), trust)
        assert _plain_without_colour(look, learned, ALL) is believed
    half = block(0, 128) > 0
    assert not _plain_without_colour(JointLook(block(0, 128), 0.9), learned, half)


def test_fitting_colours_outweigh_a_name_the_net_is_not_sure_of() -> None:
    learned = LearnedLook(block(0, 9), chance_of(block(0, 9)), dict(zip(NAMES, (0.4, 0.5, 0.05, 0.05), strict=True)), 0)
    assert next(iter(name_compound(learned, {}))) is Compound.YELLOW
    names = name_compound(learned, {Compound.BLUE: 0.5})
    assert next(iter(names)) is Compound.BLUE
    assert sum(names.values()) == pytest.approx(1)


@pytest.mark.parametrize("marking", list(Marking))
def test_the_wrong_marking_is_refused_or_told(marking: Marking) -> None:
    """Read under the other marking a flank gives the complement of its contact; nobody may act on that unwarned."""
    from patternscan.errors import PatternscanError

    other = Marking.RUB_OFF if marking is Marking.TRANSFER else Marking.TRANSFER
    flank = paint_flank(Scene(), place_contact(Print(along=0.45)), Compound.BLUE, marking)
    try:
        found = segment_contact(flank, other, None)
    except PatternscanError:
        return
    assert any(caution.grave for caution in found.cautions)


def test_a_compound_named_wrongly_is_told() -> None:
    flank = paint_flank(Scene(), place_contact(Print()), Compound.BLUE, Marking.TRANSFER)
    found = segment_contact(flank, Marking.TRANSFER, Compound.RED)
    assert any("You said red, but the compound looks blue." in caution.message for caution in found.cautions)
    assert not any(
        "You said" in one.message for one in segment_contact(flank, Marking.TRANSFER, Compound.BLUE).cautions
    )


def test_weights_that_cannot_be_read_are_told_plainly(monkeypatch: pytest.MonkeyPatch) -> None:
    import threading

    from patternscan.errors import BrokenInstallation
    from patternscan.seeing.segmentation import net_segmentation

    monkeypatch.setattr(net_segmentation, "_own", threading.local())
    monkeypatch.setattr(net_segmentation, "WEIGHTS", "not_there.onnx")
    with pytest.raises(BrokenInstallation, match="missing or damaged"):
        look_learned(bare_flank(Scene()), Marking.TRANSFER, None)
