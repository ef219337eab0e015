"""Which flank a photo shows, told by where the painted A is seen."""

from __future__ import annotations

import math

import pytest

from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline
from patternscan.workflow.inputs.shown_flank import as_flank, flank_by_end_a


def turned(flank: Flank, angle: float) -> Outline:
    """A flank 100 by 40 px round (200, 200): with no turn its tip points up."""

    def place(x: float, y: float) -> tuple[float, float]:
        c, s = math.cos(angle), math.sin(angle)
        return 200 + c * x - s * y, 200 + s * x + c * y

    a = -50 if flank is Flank.RIGHT else 50
    corners = {"root_a": (a, 20), "root_b": (-a, 20), "tip_a": (a, -20), "tip_b": (-a, -20)}
    seen = {name: place(*one) for name, one in corners.items()}
    pairs = {
        "root": ("root_a", "root_b"),
        "tip": ("tip_a", "tip_b"),
        "end_a": ("root_a", "tip_a"),
        "end_b": ("root_b", "tip_b"),
    }
    return checked_outline({name: [seen[one] for one in pairs[name]] for name in EDGE_NAMES}, flank)


@pytest.mark.parametrize(("x", "told"), [(120, Flank.RIGHT), (280, Flank.LEFT), (200, None)])
def test_with_the_tip_up_the_right_flank_shows_end_a_on_the_left(x: float, told: Flank | None) -> None:
    for named in Flank:
        assert flank_by_end_a(turned(named, 0.0), (x, 230)) is told


@pytest.mark.parametrize("angle", [0.0, 0.7, math.pi / 2, math.pi, -2.0])
@pytest.mark.parametrize("flank", Flank)
def test_the_camera_may_be_turned(angle: float, flank: Flank) -> None:
    outline = turned(flank, angle)
    beyond_a, beyond_b = (tuple(1.3 * end.mean(axis=0) - 0.3 * 200) for end in (outline.end_a, outline.end_b))
    assert flank_by_end_a(outline, beyond_a) is flank
    assert flank_by_end_a(outline, beyond_b) is not flank


@pytest.mark.parametrize("flank", Flank)
def test_the_other_flank_has_the_same_edges_and_keeps_the_sense(flank: Flank) -> None:
    outline = turned(flank, 0.3)
    other = as_flank(outline, Flank.LEFT if flank is Flank.RIGHT else Flank.RIGHT)
    checked_outline({name: getattr(other, name) for name in EDGE_NAMES}, other.flank)
    assert as_flank(other, flank).root.tolist() == outline.root.tolist()
    assert as_flank(outline, flank) is outline
