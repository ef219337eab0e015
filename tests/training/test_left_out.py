"""Ingredients that drawn scenes can do without, to see what each brings."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("torch", reason="the group 'training' is not installed")

from patternscan.training.finder.left_out import INGREDIENTS, leave_out
from patternscan.training.scenes.wheel_pool import read_wheels, save_wheels


@pytest.fixture(autouse=True)
def put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever a test leaves out is there again after it."""
    for one in (one for left in INGREDIENTS.values() for one in left):
        monkeypatch.setattr(one.module, one.name, getattr(one.module, one.name))


@pytest.mark.parametrize("ingredient", INGREDIENTS)
def test_what_is_left_out_was_there(ingredient: str) -> None:
    before = [getattr(one.module, one.name) for one in INGREDIENTS[ingredient]]
    leave_out(ingredient)
    for one, value in zip(INGREDIENTS[ingredient], before, strict=True):
        assert getattr(one.module, one.name) is one.value
        assert value != one.value


def test_without_straight_rims_all_wheels_have_a_throat(tmp_path: Path) -> None:
    leave_out("straight-rims")
    save_wheels(tmp_path / "wheels.npz", 12, seed=1)
    assert (read_wheels(tmp_path / "wheels.npz").gorge < 50).all()
