"""What was photographed: said by a person, written in the outline file, usual on the machine sheet."""

from __future__ import annotations

import pytest

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Lift, Medium, Seen
from patternscan.seeing.geometry.outline import PictureSide, flank_shown
from patternscan.seeing.geometry.told_medium import ToldMedium

NOTHING, FLANK = ToldMedium(), ToldMedium(Medium.FLANK)
TAPE, PAPER = ToldMedium(Medium.TAPE, Seen.THROUGH), ToldMedium(Medium.PAPER, Seen.TOUCHED)


def test_nothing_said_is_the_flank_itself() -> None:
    assert NOTHING.lift is None
    assert FLANK.lift is None
    assert TAPE.lift == Lift(Medium.TAPE, Seen.THROUGH)


@pytest.mark.parametrize("half", [ToldMedium(Medium.TAPE), ToldMedium(Medium.PAPER)])
def test_without_the_side_it_asks_which_is_seen(half: ToldMedium) -> None:
    with pytest.raises(WrongUse, match=f"which side of the {half.medium}") as stop:
        _ = half.lift
    assert "--seen touched" in stop.value.remedy
    assert "--seen through" in stop.value.remedy


@pytest.mark.parametrize("half", [ToldMedium(None, Seen.TOUCHED), ToldMedium(Medium.FLANK, Seen.THROUGH)])
def test_a_side_of_nothing_is_wrong_use(half: ToldMedium) -> None:
    with pytest.raises(WrongUse, match="not that tape or paper"):
        _ = half.lift


def test_the_outline_file_fills_in_and_may_not_contradict() -> None:
    assert NOTHING.joined(TAPE) == TAPE
    assert ToldMedium(Medium.TAPE).joined(TAPE) == TAPE
    assert PAPER.joined(NOTHING) == PAPER
    for said in (PAPER, FLANK, ToldMedium(Medium.TAPE, Seen.TOUCHED)):
        with pytest.raises(InconsistentInputs, match="the outline file says"):
            said.joined(TAPE)


def test_what_is_said_outranks_the_sheet() -> None:
    assert NOTHING.over(TAPE) == TAPE
    assert FLANK.over(TAPE) == FLANK
    assert PAPER.over(TAPE) == PAPER
    assert ToldMedium(Medium.TAPE).over(TAPE) == TAPE


@pytest.mark.parametrize("tip", PictureSide)
@pytest.mark.parametrize("end_a", PictureSide)
def test_a_mirror_shows_the_other_flank(tip: PictureSide, end_a: PictureSide) -> None:
    if tip.vector[0] * end_a.vector[1] == tip.vector[1] * end_a.vector[0]:
        return
    assert flank_shown(tip, end_a, mirrored=True) is flank_shown(tip, end_a).other
