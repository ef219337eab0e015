"""Which flank, which marking, which compound a person meant."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Compound, Flank, Marking
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.setting.machine.sheet import Gear
from patternscan.workflow.inputs import chosen_compound, chosen_flank, chosen_marking, known_pair

UP = PictureSide.UP


def test_flank_may_be_named() -> None:
    assert chosen_flank(Flank.LEFT, None, UP) is Flank.LEFT


def test_end_a_serves_instead_of_the_flank() -> None:
    # Contract of the flank frame: with the tip up, the right flank shows end A on the left.
    assert chosen_flank(None, PictureSide.LEFT, UP) is Flank.RIGHT
    assert chosen_flank(None, PictureSide.RIGHT, UP) is Flank.LEFT


def test_flank_and_end_a_are_checked_against_each_other() -> None:
    assert chosen_flank(Flank.RIGHT, PictureSide.LEFT, UP) is Flank.RIGHT
    with pytest.raises(InconsistentInputs) as stop:
        chosen_flank(Flank.LEFT, PictureSide.LEFT, UP)
    assert stop.value.found == "With the tip up and end A left the photo shows a right flank, but --flank says left."


def test_no_flank_is_wrong_use() -> None:
    with pytest.raises(WrongUse):
        chosen_flank(None, None, UP)


def test_marking_has_no_default() -> None:
    with pytest.raises(WrongUse):
        chosen_marking(None, None)


def test_marking_from_option_or_sheet() -> None:
    assert chosen_marking(Marking.RUB_OFF, None) is Marking.RUB_OFF
    assert chosen_marking(None, Marking.TRANSFER) is Marking.TRANSFER
    with pytest.raises(InconsistentInputs):
        chosen_marking(Marking.TRANSFER, Marking.RUB_OFF)


def test_compound_from_option_or_sheet() -> None:
    assert chosen_compound(None, Compound.RED) is Compound.RED
    assert chosen_compound("auto", Compound.RED) is None
    assert chosen_compound("white", None) is Compound.WHITE


def test_the_gear_data_of_a_straight_rim_tell_no_flank() -> None:
    """Its flanks were not left as the hob cut them; the sheet is good for everything else."""
    gear = Gear(6.3, 2, 31, 56.7, 20, "right", 43.8)
    pair, cautions = known_pair(gear)
    assert (pair, cautions) == (gear.worm_pair(), ())
    pair, cautions = known_pair(replace(gear, rim="straight"))
    assert pair is None
    assert [(caution.code, caution.grave) for caution in cautions] == [("rim-straight", False)]
    assert known_pair(Gear(rim="straight")) == (None, ())
