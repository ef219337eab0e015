"""The contact net is given drawn pictures as it is given photographs."""

from __future__ import annotations

import numpy as np
import pytest

torch = pytest.importorskip("torch", reason="the group 'training' is not installed")

from patternscan.frame import Marking  # noqa: E402
from patternscan.seeing.segmentation.net_input import BESIDE, NAMES, PLANES, input_planes  # noqa: E402
from patternscan.training.contact.beside import colours_beside  # noqa: E402
from patternscan.training.contact.given import Told, given_planes  # noqa: E402
from patternscan.training.drawn.fields import COLUMNS, ROWS  # noqa: E402
from patternscan.training.drawn.pictures import Pictures  # noqa: E402


def some_pictures(count: int, filmed: float) -> Pictures:
    """Noise, of which a part is hidden; the left half of each carries so much film."""
    chance = np.random.default_rng(3)
    levels = torch.tensor(chance.integers(0, 256, (count, 3, ROWS, COLUMNS)), dtype=torch.float32)
    seen = torch.tensor(chance.random((count, ROWS, COLUMNS)) > 0.3, dtype=torch.float32)
    amount = torch.zeros(count, ROWS, COLUMNS)
    amount[:, :, : COLUMNS // 2] = filmed
    nothing = torch.zeros(count)
    return Pictures(levels / 255, seen, amount, amount, nothing, nothing.long())


def test_drawn_pictures_are_given_as_a_photograph_is() -> None:
    pictures = some_pictures(2, 0.0)
    told = Told(torch.tensor([0.0, 1.0]), torch.tensor([-1, 2]))
    given = given_planes(pictures, told).numpy()
    same = [number for number, name in enumerate(PLANES) if name not in BESIDE]
    for one, marking, compound in ((0, Marking.TRANSFER, None), (1, Marking.RUB_OFF, NAMES[2])):
        pixels = (pictures.pixels[one].permute(1, 2, 0).numpy() * 255).round().astype(np.uint8)
        alone = input_planes(pixels, pictures.seen[one].numpy() > 0, marking, compound)
        assert given[one][same] == pytest.approx(alone[same], abs=1e-3)


def test_the_metal_beside_is_paler_or_deeper_than_the_bare_flank_but_of_its_hue() -> None:
    torch.manual_seed(1)
    light = torch.full((400, 3, ROWS, COLUMNS), 0.2)
    light[:, 0] *= 2
    light[:, 2] /= 2
    told = colours_beside(light, some_pictures(400, 0.0)).unflatten(1, (2, 3))
    known = told[..., 0] > 0
    assert 0.8 < float(known.float().mean()) < 0.95
    assert (told[~known] == 0).all()
    red, blue = told[known][:, 1], told[known][:, 2]
    assert float(red.median()) > 0.3
    assert float(blue.median()) < -0.3


def test_nothing_is_told_of_metal_where_all_of_the_flank_is_filmed() -> None:
    light = torch.full((8, 3, ROWS, COLUMNS), 0.2)
    pictures = some_pictures(8, 1.0)
    pictures.amount[:] = 1
    assert (colours_beside(light, pictures) == 0).all()
