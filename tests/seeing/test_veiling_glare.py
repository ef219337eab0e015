"""A veil of mirrored light is known where it was laid, and films of every compound are not taken for one.

Light adds: what a lamp's mirror image sends to the camera is laid over the flank's own light (common knowledge of
optics); the curve between light and pixels is that of IEC 61966-2-1.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from patternscan.frame import Compound, Marking
from patternscan.measuring.measurement import measure
from patternscan.seeing.geometry.placed_flank import PlaceUncertainty
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS, RectifiedFlank
from patternscan.seeing.quality.light import find_veiling_glare, light_of
from patternscan.seeing.quality.photo_quality import judge_light
from patternscan.training.painted_flank import ALLOYS, Print, Scene, paint_flank, place_contact
from tests.seeing.segmented import segmented

Grid = NDArray[np.float64]
ALONG, UP = np.meshgrid((np.arange(FLAT_COLUMNS) + 0.5) / FLAT_COLUMNS, 1 - (np.arange(FLAT_ROWS) + 0.5) / FLAT_ROWS)
CONTACT = place_contact(Print(along=0.4))


def printed(compound: Compound, scene: Scene, marking: Marking = Marking.TRANSFER) -> RectifiedFlank:
    return paint_flank(scene, CONTACT, compound, marking)


def blob(peak: float, along: float = 0.7, up: float = 0.5, size: float = 0.12) -> Grid:
    """A soft round veil, as a part of white."""
    away = ((ALONG - along) / size) ** 2 + ((UP - up) / (2.5 * size)) ** 2
    return np.asarray(peak * np.exp(-0.5 * away))


def linear(pixels: NDArray[np.uint8]) -> Grid:
    code = pixels / 255
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


def veiled(flank: RectifiedFlank, veil: Grid) -> RectifiedFlank:
    light = np.clip(linear(flank.pixels) + veil[..., None], 0, 1)
    code = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return RectifiedFlank(np.rint(255 * code).astype(np.uint8), flank.seen.copy(), 600.0, 300.0)


def found(flank: RectifiedFlank) -> NDArray[np.float32]:
    small = linear(flank.pixels).reshape(FLAT_ROWS // 2, 2, FLAT_COLUMNS // 2, 2, 3).mean(axis=(1, 3))
    return find_veiling_glare(small.astype(np.float32), np.ones(small.shape[:2], dtype=bool))


@pytest.mark.parametrize("compound", [Compound.BLUE, Compound.YELLOW, Compound.RED])
@pytest.mark.parametrize("peak", [0.35, 0.6])
def test_the_veil_is_as_strong_as_it_was_laid(compound: Compound, peak: float) -> None:
    veil = blob(peak)
    got = found(veiled(printed(compound, Scene(brightness=0.35)), veil))
    laid = veil[::2, ::2]
    strong = laid > 0.5 * peak
    assert np.median(got[strong] / laid[strong]) == pytest.approx(1, abs=0.2)
    assert got[laid < 0.01].mean() < 0.01


@pytest.mark.parametrize("compound", list(Compound))
@pytest.mark.parametrize("alloy", list(ALLOYS))
def test_a_film_is_no_veil(compound: Compound, alloy: str) -> None:
    scene = Scene(metal=ALLOYS[alloy], wear_band=True, tarnish=True)
    for marking in Marking:
        assert not found(printed(compound, scene, marking)).any()


def test_a_small_highlight_is_no_veil() -> None:
    flank = printed(Compound.BLUE, Scene())
    assert not found(veiled(flank, blob(0.6, size=0.012))).any()


def test_what_the_veil_drowns_is_not_judged() -> None:
    flank = veiled(printed(Compound.BLUE, Scene(brightness=0.35)), blob(0.6))
    light = light_of(flank)
    laid = blob(0.6)[::2, ::2]
    assert not light.readable[laid > 0.5].any()
    assert light.readable[laid < 0.05].all()


def test_a_thin_veil_is_lifted() -> None:
    """Metal and film under it keep their colours, so that the whole print is found."""
    flank = printed(Compound.BLUE, Scene(brightness=0.8))
    clear, thin = (segmented(one, Marking.TRANSFER, None) for one in (flank, veiled(flank, blob(0.25, 0.45))))
    assert thin.judged.mean() > 0.9
    overlap = (clear.contact & thin.contact & thin.judged).sum() / ((clear.contact | thin.contact) & thin.judged).sum()
    assert overlap > 0.85


def test_glare_is_told_and_widens_the_bracket() -> None:
    flank = printed(Compound.BLUE, Scene(brightness=0.35))
    doubt = PlaceUncertainty(0.005, 0.01, 0.011)
    clear = measure(segmented(flank, Marking.TRANSFER, None), doubt)
    contact_map = segmented(veiled(flank, blob(0.6, 0.6)), Marking.TRANSFER, None)
    dimmed = measure(contact_map, doubt)
    told = [caution.code for caution in judge_light(light_of(veiled(flank, blob(0.6, 0.6))))]
    assert told == ["much-glare"]
    assert dimmed.judged_fraction < 0.9 < clear.judged_fraction
    assert dimmed.along is not None
    assert clear.along is not None
    assert dimmed.along.width > clear.along.width + 0.02
    assert dimmed.along.holds(clear.along.value)
    assert dimmed.coverage.holds(clear.coverage.value)
