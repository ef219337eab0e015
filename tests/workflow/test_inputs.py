"""Which flank, which marking, which compound a person meant."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Compound, Flank, Marking
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.photo import Photo
from patternscan.setting.machine.sheet import Gear
from patternscan.workflow.inputs.photo_input import PhotoInput, held_pixel
from patternscan.workflow.inputs.settings import chosen_compound, chosen_marking, known_pair
from patternscan.workflow.inputs.shown_flank import chosen_flank

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


@pytest.mark.parametrize("rim", [None, "throated", "straight"])
def test_the_gear_data_tell_the_pair_with_its_rim(rim: str | None) -> None:
    gear = Gear(6.3, 2, 31, 56.7, 20, "right", 30.0, rim=rim)
    pair, cautions = known_pair(gear)
    assert (pair, cautions) == (gear.worm_pair(), ())
    assert pair is not None
    assert pair.rim == (rim or "throated")
    assert known_pair(Gear(rim=rim)) == (None, ())


def test_the_tooth_that_is_meant_lies_in_the_photo() -> None:
    photo = Photo("wheel.png", np.zeros((30, 40, 3), dtype=np.uint8))
    meant = PhotoInput(Path("wheel.png"), Flank.LEFT, tooth_at=(39, 29))
    assert held_pixel(photo, meant) == (39, 29)
    with pytest.raises(WrongUse, match=r"12,30 lies outside wheel.png \(40 x 30 pixels\)"):
        held_pixel(photo, replace(meant, tooth_at=(12, 30)))
