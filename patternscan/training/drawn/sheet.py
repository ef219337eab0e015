"""A sheet of drawn pictures for eyes: `python -m patternscan.training.drawn.sheet --gaps FILE --out SHEET.png`.

Each picture stands beside itself with the border of its true contact drawn in magenta.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from patternscan.training.drawn.dice import throw
from patternscan.training.drawn.film import KINDS
from patternscan.training.drawn.pattern import read_gaps
from patternscan.training.drawn.pictures import Pictures, draw_pictures

MAGENTA = (255, 0, 255)
ACROSS, SPACE_PX = 3, 6

Pixels = NDArray[np.uint8]


def tile(pictures: Pictures, number: int) -> Pixels:
    """One picture with its name, and beside it with its contact."""
    plain = (pictures.pixels[number].permute(1, 2, 0).numpy() * 255).astype(np.uint8)
    contact = pictures.contact[number].numpy() > 0.5
    traced = plain.copy()
    traced[border(contact)] = MAGENTA
    named = Image.fromarray(plain)
    marking = "rub-off" if pictures.rub_off[number] > 0 else "transfer"
    ImageDraw.Draw(named).text((2, 1), f"{KINDS[int(pictures.kind[number])]} {marking}", fill="white")
    return np.hstack([np.asarray(named), traced])


def border(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Places whose neighbour above or to the left is different."""
    edge = np.zeros_like(mask)
    edge[1:] |= mask[1:] != mask[:-1]
    edge[:, 1:] |= mask[:, 1:] != mask[:, :-1]
    return edge


def sheet(pictures: Pictures) -> Pixels:
    """All pictures, some in a row."""
    tiles = [
        np.pad(tile(pictures, number), ((0, SPACE_PX), (0, SPACE_PX), (0, 0))) for number in range(len(pictures.kind))
    ]
    tiles += [np.zeros_like(tiles[0])] * (-len(tiles) % ACROSS)
    return np.vstack([np.hstack(tiles[first : first + ACROSS]) for first in range(0, len(tiles), ACROSS)])


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--gaps", type=Path, required=True, help="wheel_gaps.npz of a training")
    parser.add_argument("--out", type=Path, default=Path("out/contact_net_pictures.png"))
    parser.add_argument("--count", type=int, default=42)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    asked.out.parent.mkdir(parents=True, exist_ok=True)
    drawn = draw_pictures(throw(asked.count, "cpu", asked.seed), read_gaps(asked.gaps, "cpu"))
    Image.fromarray(sheet(drawn)).save(asked.out)
