"""The other way of marking, declared: how much film there is, how it hangs together, what the net says of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patternscan.calibration.marking import RAISED
from patternscan.errors import InconsistentInputs, NoCompound
from patternscan.frame import Flank, Marking
from patternscan.seeing.geometry.outline import EDGE_NAMES, checked_outline
from patternscan.seeing.geometry.placed_flank import place_flank
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.quality.assessment import assess
from patternscan.seeing.quality.light import FlankLight
from patternscan.seeing.segmentation.contact_map import segment_contact
from patternscan.seeing.segmentation.marking_signs import MarkingSigns, joint_logit, other_marking_logit
from tests.benchmarks.scenes import clicked_outline, scene

PRINT = MarkingSigns(rubbed=-2.0, hidden=0.2, film=0.3, whole=0.95)
"""Of a usual print."""
PAINTED = MarkingSigns(rubbed=0.6, hidden=0.5, film=0.57, whole=0.57)


def test_a_print_looks_like_one_and_not_like_paint() -> None:
    assert other_marking_logit(PRINT, Marking.TRANSFER) < -2
    assert other_marking_logit(PRINT, Marking.RUB_OFF) > 2
    assert other_marking_logit(PAINTED, Marking.TRANSFER) > 2
    assert other_marking_logit(PAINTED, Marking.RUB_OFF) < -2


def test_told_the_other_way_every_sign_turns_round() -> None:
    odds = [other_marking_logit(PRINT, told) for told in Marking]
    assert sum(odds) == pytest.approx(2 * RAISED)


@pytest.mark.parametrize("sign", [{"film": 0.6}, {"rubbed": 2.0}, {"hidden": 0.5}, {"whole": 0.6}])
def test_every_sign_of_paint_speaks_against_a_print(sign: dict[str, float]) -> None:
    more = replace(PRINT, **sign)
    assert other_marking_logit(more, Marking.TRANSFER) > other_marking_logit(PRINT, Marking.TRANSFER) + 2
    assert other_marking_logit(more, Marking.RUB_OFF) < other_marking_logit(PRINT, Marking.RUB_OFF) - 2


def test_flanks_marked_alike_speak_together() -> None:
    assert joint_logit([1.0, -4.0]) < 0 < joint_logit([1.0, 4.0])
    assert joint_logit([1.0]) == 1.0


@pytest.mark.parametrize("name", ["dev007_single_P", "dev012_single_M", "n_dev001_after_P"])
def test_the_wrong_marking_of_a_photograph_is_not_believed(name: str) -> None:
    one = scene("dev", name)
    (clicked,) = clicked_outline(one)["flanks"]
    outline = checked_outline({edge: clicked[edge] for edge in EDGE_NAMES}, Flank(clicked["flank"]))
    light = assess(place_flank(load_photo(one.photo), outline, None)).light
    true = Marking(one.truth["marking"])
    assert told_as(light, true) == "believed"
    assert told_as(light, true.other) in ("refused", "marking-doubtful")


def told_as(light: FlankLight, marking: Marking) -> str:
    """Whether a flank told as marked in this way is refused, doubted, or believed."""
    try:
        found = segment_contact(light, marking, None)
    except (InconsistentInputs, NoCompound):
        return "refused"
    return "marking-doubtful" if found.other_marking > 0 else "believed"
