"""The other way of marking, declared: film that is too much for a print, contact along the border, a surer net."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from patternscan.errors import InconsistentInputs, NoCompound
from patternscan.frame import Flank, Marking
from patternscan.seeing.geometry.outline import EDGE_NAMES, checked_outline
from patternscan.seeing.geometry.placed_flank import place_flank
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.quality.assessment import assess
from patternscan.seeing.quality.light import FlankLight
from patternscan.seeing.segmentation.contact_map import segment_contact
from patternscan.seeing.segmentation.marking_signs import MarkingSigns, border_share, joint_logit, other_marking_logit
from tests.benchmarks.scenes import clicked_outline, scene

PRINT = MarkingSigns(surer=-0.3, border=0.05, film=0.3, agreement=0.9)
"""Of a usual print, told as such."""


def test_a_print_looks_like_one_and_not_like_paint() -> None:
    assert other_marking_logit(PRINT, Marking.TRANSFER) < -2
    assert other_marking_logit(replace(PRINT, surer=0.3, border=0.6, agreement=0.2), Marking.RUB_OFF) > 2


@pytest.mark.parametrize("sign", ["surer", "border"])
def test_a_surer_net_and_contact_along_the_border_speak_against_what_was_told(sign: str) -> None:
    more = replace(PRINT, **{sign: getattr(PRINT, sign) + 0.2})
    for told in Marking:
        assert other_marking_logit(more, told) > other_marking_logit(PRINT, told) + 1


def test_film_speaks_for_paint_and_against_a_print() -> None:
    more = replace(PRINT, film=0.6)
    assert other_marking_logit(more, Marking.TRANSFER) > other_marking_logit(PRINT, Marking.TRANSFER) + 2
    assert other_marking_logit(more, Marking.RUB_OFF) < other_marking_logit(PRINT, Marking.RUB_OFF) - 2


def test_flanks_marked_alike_speak_together() -> None:
    assert joint_logit([1.0, -4.0]) < 0 < joint_logit([1.0, 4.0])
    assert joint_logit([1.0]) == 1.0


def test_the_border_of_a_flank() -> None:
    contact = np.zeros((40, 60), dtype=bool)
    assert border_share(contact) == 0.0
    contact[:20] = True
    assert border_share(contact) == pytest.approx(0.5)


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
