"""The contact against a brute-force model made by another route, see dense_surfaces: gaps within 2 micrometres."""

from __future__ import annotations

import numpy as np
import pytest

from patternscan.frame import Flank
from patternscan.gearing import contact
from patternscan.gearing.contact import trim_hob
from patternscan.gearing.pair import Hand, Placement, Profile, WormPair
from patternscan.gearing.wheel_flank import cut_flank, flank_edges
from patternscan.gearing.worm import Numbers
from tests.gearing.dense_surfaces import RuledThread, WormCloud, dense_gap, dense_pair

ZA_2 = WormPair(8, 2, 53, 80, 62, profile=Profile.ZA, hob_oversize=0.02)
ZI_3_LEFT = WormPair(4, 3, 41, 40, 29, hand=Hand.LEFT, profile=Profile.ZI, hob_oversize=0.045)
ZN_1 = WormPair(6.3, 1, 40, 56.7, 43, profile=Profile.ZN, hob_oversize=0.03)
ZA_4_LEFT = WormPair(10, 4, 38, 110, 78, hand=Hand.LEFT, profile=Profile.ZA, hob_oversize=0.06)
ZI_HOB_IS_WORM = WormPair(2.5, 2, 30, 28, 20, profile=Profile.ZI, hob_oversize=0.0)
NEAR_UM, ALIKE_UM = 30.0, 2.0
EVERY_ROW, EVERY_COLUMN = 3, 4


def with_edges(pair: WormPair, flank: Flank, rho: Numbers, z: Numbers) -> tuple[Numbers, Numbers]:
    """Radii and heights of the places asked for, and of the edges, which may touch first."""
    edges = flank_edges(pair, flank)
    x, y, height = np.concatenate([edges["tip"], edges["end_a"], edges["end_b"]]).T
    return np.append(rho, np.hypot(x, y)), np.append(z, height)


@pytest.mark.study
@pytest.mark.parametrize(
    ("pair", "flank", "placement"),
    [
        (ZA_2, Flank.RIGHT, Placement(0.1, 0.05, 0.02)),
        (ZI_3_LEFT, Flank.LEFT, Placement(-0.08, -0.04, 0.01)),
        (ZN_1, Flank.LEFT, Placement(-0.15, 0.05, -0.02)),
        (ZA_4_LEFT, Flank.RIGHT, Placement(0.05, 0.02, 0.0)),
        (ZI_HOB_IS_WORM, Flank.RIGHT, Placement()),
    ],
)
def test_gap_is_that_of_two_dense_surfaces(
    pair: WormPair, flank: Flank, placement: Placement, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Other phases of the mesh, other places for first touch, the worm as a cloud of points. Where only the very edge
    of the worm's tip comes by, between two of roll's positions, roll may say more; with four times as many it may not.
    """
    wheel = cut_flank(trim_hob(pair), flank)
    sample = np.s_[EVERY_ROW // 2 :: EVERY_ROW, EVERY_COLUMN // 2 :: EVERY_COLUMN]
    rho, z = wheel.rho_mm[sample], wheel.z_mm[sample]
    gap_mm, lag = dense_gap(wheel.pair, flank, placement, *with_edges(wheel.pair, flank, rho.ravel(), z.ravel()))
    brute = gap_mm[: rho.size].reshape(rho.shape) * 1000
    near = brute < NEAR_UM
    assert near.sum() > 50
    for steps, part in ((contact.STEPS_A_TOOTH, 0.95), (4 * contact.STEPS_A_TOOTH, 0.98)):
        monkeypatch.setattr(contact, "STEPS_A_TOOTH", steps)
        rolled = contact.roll(wheel, placement)
        apart = np.nan_to_num(rolled.gap_um[sample][near], nan=np.inf) - brute[near]
        assert apart.min() > -ALIKE_UM
        assert (apart < ALIKE_UM).mean() > part
        assert rolled.lag.min() * pair.wheel_radius_mm == pytest.approx(lag.min() * pair.wheel_radius_mm, abs=0.0005)


def test_cloud_measures_from_a_thread_as_from_a_plane() -> None:
    """The yardstick itself: a point lifted off the thread by 40 um along its normal is 40 um away."""
    dense = dense_pair(ZA_2, Flank.RIGHT)
    cloud = WormCloud(dense, 48.0)
    thread: RuledThread = dense.worm
    run, turn = np.linspace(thread.run_at(34), thread.run_at(46), 40), np.linspace(-3.0, 2.5, 40)
    lifted = thread.points(run, turn) + 0.04 * thread.normals(run, turn)
    sunk = thread.points(run, turn) - 0.04 * thread.normals(run, turn)
    assert cloud.distance(lifted) == pytest.approx(0.04, abs=2e-4)
    assert cloud.distance(sunk) == pytest.approx(-0.04, abs=2e-4)
    assert cloud.distance(np.array([[0.0, 60.0, 0.0]])) > 10
