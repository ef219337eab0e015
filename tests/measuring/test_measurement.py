"""Coverage, centroid and extents against scikit-image's regionprops and against shapes known in closed form."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from skimage.measure import regionprops

from patternscan.calibration.measuring import BORDER_UNCERTAINTY, STRETCH_ALONG, STRETCH_COVERAGE, STRETCH_UP
from patternscan.frame import Compound, Marking
from patternscan.measuring.interval import NINE_IN_TEN
from patternscan.measuring.measurement import Measurement, measure
from patternscan.measuring.misplacement import misplacement
from patternscan.seeing.geometry.placed_flank import PlaceUncertainty
from patternscan.seeing.segmentation.contact_map import ContactMap

ROWS, COLS = 60, 100
SURE = PlaceUncertainty(0.0, 0.0, 0.0)


def found(contact: NDArray[np.bool_], judged: NDArray[np.bool_] | None = None, soft: float = 0.0) -> ContactMap:
    """A compound map with the given contact; ``soft`` is how far its probability lies from certainty."""
    probability = np.where(contact, 1.0 - soft, soft).astype(np.float32)
    return ContactMap(
        compound=Compound.BLUE,
        marking=Marking.TRANSFER,
        probability=probability,
        contact=contact.copy(),
        judged=np.ones_like(contact) if judged is None else judged.copy(),
        expected_iou=1.0,
        agreement=1.0,
        cautions=(),
    )


def block(top: int, bottom: int, left: int, right: int) -> NDArray[np.bool_]:
    mask = np.zeros((ROWS, COLS), dtype=bool)
    mask[top:bottom, left:right] = True
    return mask


def values(result: Measurement) -> tuple[float, float, float]:
    assert result.along is not None
    assert result.up is not None
    return result.coverage.value, result.along.value, result.up.value


def test_area_and_centroid_agree_with_regionprops() -> None:
    # Reference: scikit-image regionprops (area; centroid as row, col of cell centres).
    rng = np.random.default_rng(5)
    mask = rng.random((ROWS, COLS)) > 0.7
    mask[:20] = False
    (region,) = regionprops(mask.astype(int))  # type: ignore[no-untyped-call]
    row, col = region.centroid
    coverage, along, up = values(measure(found(mask), SURE))
    assert coverage == pytest.approx(region.area / (ROWS * COLS), abs=1e-12)
    assert along == pytest.approx((col + 0.5) / COLS, abs=1e-12)
    assert up == pytest.approx(1 - (row + 0.5) / ROWS, abs=1e-12)


def test_a_block_near_the_tip_at_end_a() -> None:
    # Closed form: the block covers along 0.10..0.30 and up 0.75..0.95.
    coverage, along, up = values(measure(found(block(3, 15, 10, 30)), SURE))
    assert coverage == pytest.approx(0.2 * 0.2)
    assert along == pytest.approx(0.2)
    assert up == pytest.approx(0.85)


def test_length_takes_gaps_out() -> None:
    # Worked case (Russian handbook rule, length = (extent - breaks) / face): 40 of 60 mm with a break of 6 mm = 56.7 %.
    mask = np.zeros((48, 600), dtype=bool)
    mask[12:36, 100:300] = True
    mask[12:36, 360:500] = True
    assert measure(found(mask), SURE).length.value == pytest.approx(34 / 60, abs=1e-12)


def test_height_of_a_band() -> None:
    # Worked case after JGMA 1002-01: a print 4.9 high on a working height of 12 is 40.8 %.
    mask = np.zeros((120, 100), dtype=bool)
    mask[40:89, 20:70] = True
    assert measure(found(mask), SURE).height.value == pytest.approx(4.9 / 12, abs=1e-12)


def test_a_speck_is_no_length() -> None:
    mask = block(20, 40, 40, 60)
    mask[5, 95] = True
    assert measure(found(mask), SURE).length.value == pytest.approx(0.20)


def test_no_contact_has_no_centroid() -> None:
    result = measure(found(np.zeros((ROWS, COLS), dtype=bool)), SURE)
    assert result.along is None
    assert result.up is None
    assert result.centroid is None
    assert (result.coverage.value, result.length.value, result.height.value) == (0.0, 0.0, 0.0)


def test_doubt_of_places_widens_the_centroid() -> None:
    # 90 % of a normal error lie within 1.645 standard deviations.
    result = measure(found(block(20, 40, 40, 60)), PlaceUncertainty(0.01, 0.03, 0.04))
    assert result.along is not None
    assert result.up is not None
    assert result.along.half_width == pytest.approx(
        STRETCH_ALONG * NINE_IN_TEN * float(np.hypot(0.01, BORDER_UNCERTAINTY))
    )
    assert result.up.half_width == pytest.approx(STRETCH_UP * NINE_IN_TEN * float(np.hypot(0.03, BORDER_UNCERTAINTY)))


def test_doubt_of_the_flanks_area_widens_the_coverage_by_its_part_of_it() -> None:
    mask = block(20, 40, 40, 60)
    value = float(mask.mean())
    spread = float(np.hypot(0.04 * value, BORDER_UNCERTAINTY))
    result = measure(found(mask), PlaceUncertainty(0.0, 0.0, 0.04))
    assert result.coverage.half_width == pytest.approx(STRETCH_COVERAGE * NINE_IN_TEN * spread)


@pytest.mark.parametrize(("expected_iou", "agreement"), [(0.7, 0.65), (0.9, 0.4), (0.6, None)])
def test_contact_that_may_be_misplaced_widens_the_centroid_and_not_the_coverage(
    expected_iou: float, agreement: float | None
) -> None:
    plain = found(block(20, 40, 40, 60))
    unsure = measure(replace(plain, expected_iou=expected_iou, agreement=agreement), SURE)
    sure = measure(plain, SURE)
    for one, other, stretch in ((sure.along, unsure.along, STRETCH_ALONG), (sure.up, unsure.up, STRETCH_UP)):
        assert one is not None
        assert other is not None
        assert other.value == one.value
        misplaced = stretch * misplacement(expected_iou, agreement)
        assert other.half_width == pytest.approx(np.hypot(one.half_width, misplaced))
        assert other.half_width > one.half_width + 0.01
    assert unsure.coverage == sure.coverage


def test_hidden_places_on_one_side_pull_only_that_way() -> None:
    judged = np.ones((ROWS, COLS), dtype=bool)
    judged[:, 80:] = False
    result = measure(found(block(20, 40, 40, 60), judged), SURE)
    assert result.along is not None
    assert result.along.low == pytest.approx(result.along.value - STRETCH_ALONG * NINE_IN_TEN * BORDER_UNCERTAINTY)
    assert result.along.high > result.along.value + 0.05
    assert result.judged_fraction == pytest.approx(0.8)


def test_coverage_allows_for_a_hidden_part_without_any_contact() -> None:
    """A fifteenth of the flank touched, a fifth hidden: half of a fifth may carry contact as the rest does."""
    judged = np.ones((ROWS, COLS), dtype=bool)
    judged[:, 80:] = False
    coverage = measure(found(block(20, 40, 40, 60), judged), SURE).coverage
    whole = (20 / ROWS) * (20 / COLS)
    assert coverage.value == pytest.approx(whole * (1 + 0.5 * 0.2 / 0.8))
    assert coverage.low <= whole
    assert coverage.high > whole / 0.8
    assert coverage.high > coverage.value + 0.05


def test_hidden_places_can_only_make_a_pattern_longer() -> None:
    judged = np.ones((ROWS, COLS), dtype=bool)
    judged[:, 80:] = False
    seen, partly = (measure(found(block(20, 40, 40, 60), shown), SURE).length for shown in (None, judged))
    assert partly.value == seen.value == pytest.approx(0.2)
    assert partly.low == pytest.approx(seen.low)
    assert partly.high > seen.high + 0.02


def test_soft_ends_widen_the_length_and_not_the_height() -> None:
    mask = block(20, 40, 30, 60)
    probability = np.where(mask, 1.0, 0.0).astype(np.float32)
    probability[20:40, 60:80] = 0.4
    sharp = found(mask)
    soft = measure(replace(sharp, probability=probability), SURE)
    assert soft.length.high > measure(sharp, SURE).length.high + 0.05
    assert soft.length.low == pytest.approx(measure(sharp, SURE).length.low)
    assert soft.height == measure(sharp, SURE).height


def test_soft_places_widen_coverage() -> None:
    mask = block(20, 40, 30, 60)
    hesitant = found(mask)
    probability = np.where(mask, 1.0, 0.0).astype(np.float32)
    probability[20:40, 60:70] = 0.4
    soft = replace(hesitant, probability=probability)
    sharp = measure(hesitant, SURE)
    wide = measure(soft, SURE)
    assert wide.coverage.high > sharp.coverage.high
    assert wide.along is not None
    assert sharp.along is not None
    assert wide.along.high > sharp.along.high
    assert wide.along.low == pytest.approx(sharp.along.low)


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 2**32 - 1), st.floats(0.05, 0.95), st.floats(0.0, 0.3))
def test_turning_the_flank_round_turns_the_numbers_round(seed: int, density: float, hidden: float) -> None:
    rng = np.random.default_rng(seed)
    mask = rng.random((30, 40)) < density
    judged = rng.random((30, 40)) >= hidden
    doubt = PlaceUncertainty(0.01, 0.02, 0.03)
    straight = measure(found(mask, judged), doubt)
    swapped = measure(found(mask[:, ::-1], judged[:, ::-1]), doubt)
    assert swapped.coverage.value == pytest.approx(straight.coverage.value)
    if straight.along is None:
        assert swapped.along is None
    else:
        assert swapped.along is not None
        assert swapped.along.value == pytest.approx(1 - straight.along.value)
        assert swapped.along.low == pytest.approx(1 - straight.along.high)
        assert swapped.along.high == pytest.approx(1 - straight.along.low)
