"""The benchmark that repaints photographed flanks paints what it says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.placed_flank import PlaceUncertainty
from patternscan.training.painted_flank import Print, Scene, bare_flank, paint_flank, place_contact
from tests.benchmarks import painted_film
from tests.benchmarks.painted_film import ALLOYS, PAINTS, Paint, lamp_colour, paint_over, scatter
from tests.benchmarks.printed_flanks import Field, PrintedFlank, StrippedFlank, linear, strip_film

LIT = Scene(brightness=0.6, noise=0.001)
CONTACT = place_contact(Print())


@pytest.fixture(scope="module", params=list(Marking))
def printed(request: pytest.FixtureRequest) -> PrintedFlank:
    """A drawn blue flank whose film and bare metal are known."""
    marking = Marking(request.param)
    flat = paint_flank(LIT, CONTACT, Compound.BLUE, marking)
    small = CONTACT[1::2, 1::2]
    return PrintedFlank(
        "drawn", flat, marking, Compound.BLUE, small, 0.5, float(small.mean()), PlaceUncertainty(0.004, 0.004, 0.0057)
    )


@pytest.fixture(scope="module")
def stripped(printed: PrintedFlank) -> StrippedFlank:
    return strip_film(printed)


def painted(stripped: StrippedFlank, paint: Paint, marking: Marking) -> Field:
    """Linear light of the flank with a thick film in daylight on tin bronze."""
    scene = painted_film.Scene(paint, painted_film.THICKNESSES["thick"], "daylight", ALLOYS[0])
    return linear(paint_over(stripped, scene, marking, np.random.default_rng(5)))


def test_film_is_taken_off_where_it_was(printed: PrintedFlank, stripped: StrippedFlank) -> None:
    film = stripped.share > 0.5
    wanted = CONTACT if printed.marking is Marking.TRANSFER else ~CONTACT
    inside = np.s_[20:-20, 12:-12]  # the drawn brush leaves ragged unpainted rims
    assert (film == wanted)[inside].mean() > 0.98


def test_metal_shows_as_it_was_where_bare_and_as_bronze_under_the_film(stripped: StrippedFlank) -> None:
    truth = linear(bare_flank(LIT).pixels)
    apart = np.abs(np.log((stripped.metal + 0.01) / (truth + 0.01))).mean(axis=-1)
    assert np.median(apart[stripped.share < 0.05]) < 0.02
    assert np.median(apart[stripped.share > 0.9]) < 0.3


@pytest.mark.parametrize("paint", PAINTS, ids=lambda paint: paint.name)
def test_film_has_its_pigments_colour_and_metal_has_none_of_it(
    printed: PrintedFlank, stripped: StrippedFlank, paint: Paint
) -> None:
    light = painted(stripped, paint, printed.marking)
    red, green, blue = np.median(light[stripped.share > 0.9], axis=0)
    bare = stripped.share == 0
    metal_red, _, metal_blue = np.median(light[bare], axis=0)
    order = {
        Compound.BLUE: blue > 1.15 * green and green > red,
        Compound.WHITE: red / blue < (metal_red / metal_blue) ** 0.6 and green > 0.75 * red,
        Compound.YELLOW: red > green > 2 * blue and green > 0.35 * red,
        Compound.RED: red > 2.5 * green > 3 * blue,
        Compound.VIOLET: blue > red > 1.3 * green,
    }
    assert order[paint.compound]
    other = painted(stripped, replace(paint, absorbed=(9.0, 9.0, 9.0)), printed.marking)
    ratio = np.median(light[bare] / np.maximum(other[bare], 1e-4), axis=0)  # only the exposure may differ
    assert ratio == pytest.approx(ratio[1], rel=0.03)


def test_scattering_film_without_absorption_loses_no_light() -> None:
    """Kubelka 1948: for K = 0, R = S d / (1 + S d) and T = 1 / (1 + S d)."""
    pale = Paint("chalk", Compound.WHITE, (1e-6, 1e-6, 1e-6), (2.0, 2.0, 2.0))
    back, through = scatter(pale, np.full((1, 1), 1.5, np.float32))
    assert back == pytest.approx(np.full((1, 1, 3), 3 / 4), abs=2e-3)
    assert through == pytest.approx(np.full((1, 1, 3), 1 / 4), abs=2e-3)


@pytest.mark.parametrize("paint", PAINTS, ids=lambda paint: paint.name)
def test_endless_film_has_the_reflectance_of_kubelka_and_munk(paint: Paint) -> None:
    """Kubelka and Munk 1931: R = 1 + K/S - sqrt((K/S)^2 + 2 K/S)."""
    back, through = scatter(paint, np.full((1, 1), 30.0, np.float32))
    ratio = np.array(paint.absorbed) / np.array(paint.scattered)
    assert back[0, 0] == pytest.approx(1 + ratio - np.sqrt(ratio**2 + 2 * ratio), abs=2e-3)
    assert through.max() < 0.01


def test_lamps_lean_the_way_they_should() -> None:
    assert lamp_colour("daylight") == pytest.approx(np.ones(3), abs=0.005)
    red, green, blue = lamp_colour("tungsten")
    assert red > green > blue
    red, green, blue = lamp_colour("cold LED")
    assert blue > green > red
    red, green, blue = lamp_colour("fluorescent")
    assert green >= red > blue
