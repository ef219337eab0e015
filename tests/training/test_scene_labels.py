"""What is told of the drawn scenes' pixels, held against the flanks that ``gearing`` computes."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch", reason="the group 'training' is not installed")

from patternscan.frame import Flank  # noqa: E402
from patternscan.gearing.pair import Hand, Rim, WormPair  # noqa: E402
from patternscan.gearing.wheel_flank import flank_points  # noqa: E402
from patternscan.training.drawn.dice import throw  # noqa: E402
from patternscan.training.scenes import wheel_pool  # noqa: E402
from patternscan.training.scenes.pictures import CORNERS  # noqa: E402
from patternscan.training.scenes.view import draw_view, flank_place  # noqa: E402
from patternscan.training.scenes.wheel_solid import Part, _distance, _named, draw_solid  # noqa: E402

ALONG, UP = (grid.ravel() for grid in np.meshgrid(np.linspace(0.06, 0.94, 9), np.linspace(0.1, 0.95, 6)))
NEAR = 0.03
"""Modules within which the tables of a drawn wheel give its surface."""


def drawn_as(pair: WormPair, monkeypatch: pytest.MonkeyPatch) -> wheel_pool.Wheels:
    """The wheel that is drawn when chance gives just this pair, its outside as ``gearing`` has it."""
    monkeypatch.setattr(wheel_pool, "draw_pair", lambda _: pair)
    monkeypatch.setattr(wheel_pool, "STRAIGHT", 0.0 if pair.rim is Rim.THROATED else 1.0)
    monkeypatch.setattr(wheel_pool, "STRAIGHT_FACE", (1.0, 1.0))
    monkeypatch.setattr(wheel_pool, "RIM", (1.5, 1.5))
    monkeypatch.setattr(wheel_pool, "STRAIGHT_RIM", (1.0, 1.0))
    wheel = wheel_pool._drawn_wheel(np.random.default_rng(1))
    return wheel_pool.Wheels(**{name: torch.as_tensor(value)[None] for name, value in wheel.items()})


def pair_with(hand: Hand, rim: Rim) -> WormPair:
    return WormPair(1.0, 2, 38, 10.0, 7.2 if rim is Rim.THROATED else 5.3, hand=hand, rim=rim)


@pytest.mark.parametrize("hand", list(Hand))
@pytest.mark.parametrize("rim", list(Rim))
@pytest.mark.parametrize(("flank", "part"), [(Flank.RIGHT, Part.FLANK), (Flank.LEFT, Part.BACK_FLANK)])
def test_places_of_a_flank_are_named_as_gearing_has_them(
    hand: Hand, rim: Rim, flank: Flank, part: Part, monkeypatch: pytest.MonkeyPatch
) -> None:
    pair = pair_with(hand, rim)
    wheels = drawn_as(pair, monkeypatch)
    solid = draw_solid(throw(1, "cpu", 3), wheels)
    points = torch.as_tensor(flank_points(pair, flank, ALONG, UP), dtype=torch.float32)[None]
    if flank is Flank.LEFT:  # gearing counts the left flank of the tooth behind the same space
        turn = torch.tensor(pair.tooth_angle_rad)
        x, y, z = points.unbind(-1)
        points = torch.stack(
            [x * torch.cos(turn) - y * torch.sin(turn), x * torch.sin(turn) + y * torch.cos(turn), z], -1
        )
    assert _distance(solid, points).abs().max() < NEAR
    met = _named(solid, torch.ones(points.shape[:2]), points)
    assert (met.part == part).all()
    np.testing.assert_allclose(met.along[0].numpy(), ALONG, atol=1e-3)
    np.testing.assert_allclose(met.up[0].numpy(), UP, atol=5e-3)


@pytest.mark.parametrize("hand", list(Hand))
def test_below_the_root_edge_begins_the_root_and_above_the_tip_nothing(
    hand: Hand, monkeypatch: pytest.MonkeyPatch
) -> None:
    wheels = drawn_as(pair_with(hand, Rim.THROATED), monkeypatch)
    solid = draw_solid(throw(1, "cpu", 3), wheels)
    middle = flank_place(wheels, 0.5, 0.0)[:, None]
    lower = middle * torch.tensor([1 - 0.1 / 18, 1 - 0.1 / 18, 1.0])
    assert _named(solid, torch.ones(1, 1), lower).part.item() == Part.ROOT
    assert _distance(solid, flank_place(wheels, 0.5, 1.0)[:, None] * torch.tensor([1.02, 1.02, 1.0])).item() > 0


@pytest.mark.parametrize("hand", list(Hand))
def test_with_the_tip_up_end_a_of_a_right_flank_is_seen_on_the_left(
    hand: Hand, monkeypatch: pytest.MonkeyPatch
) -> None:
    wheels = drawn_as(pair_with(hand, Rim.THROATED), monkeypatch)
    for seed in range(8):
        view = draw_view(throw(1, "cpu", seed), wheels)
        root_a, root_b, tip_b, tip_a = (view.see(flank_place(wheels, *place)[:, None])[0, 0] for place in CORNERS)
        turn = sum(
            (p[0] * q[1] - q[0] * p[1]).item()
            for p, q in zip((root_a, root_b, tip_b, tip_a), (root_b, tip_b, tip_a, root_a), strict=True)
        )
        assert turn < 0, "root A, root B, tip B, tip A go round anticlockwise as seen, y downward"
