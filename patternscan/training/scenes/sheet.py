"""A sheet of drawn scenes for eyes: `python -m patternscan.training.scenes.sheet --wheels FILE --out SHEET.png`.

With --photos FOLDER as many photographs stand beside them, for eyes and for the figures that are printed.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageOps

from patternscan.seeing.outline_search.finder_net import SIZE_PX, STEP
from patternscan.training.drawn.dice import throw
from patternscan.training.scenes.pictures import Scenes, draw_scenes
from patternscan.training.scenes.wheel_pool import read_wheels
from patternscan.training.scenes.wheel_solid import Part

ACROSS, AT_ONCE = 8, 8
GREEN, MAGENTA = (0, 255, 0), (255, 0, 255)

Pixels = NDArray[np.uint8]


def tile(scenes: Scenes, number: int) -> Pixels:
    """One scene; the corners of its flanks joined in green, of the marked ones in magenta."""
    picture = Image.fromarray((scenes.pixels[number].permute(1, 2, 0).cpu().numpy() * 255).astype(np.uint8))
    flank = (scenes.part[number] == Part.FLANK).cpu()
    pen, drawn = ImageDraw.Draw(picture), set[tuple[int, ...]]()
    for row, column in flank.nonzero()[::7].tolist():
        offsets = scenes.corners[number, :, row, column].reshape(4, 2).cpu().numpy()
        corners = np.rint(offsets + STEP * np.array([column, row])).astype(int)
        key = tuple(corners.ravel() // 2)
        if key not in drawn:
            drawn.add(key)
            colour = MAGENTA if scenes.marked[number, row, column] > 0.5 else GREEN
            pen.polygon([(int(x), int(y)) for x, y in corners], outline=colour)
    return np.asarray(picture)


def photo_tile(path: Path) -> Pixels:
    """A photograph, made to fit."""
    with Image.open(path) as photo:
        fitted = ImageOps.contain(photo.convert("RGB"), (SIZE_PX, SIZE_PX))
    return np.asarray(ImageOps.pad(fitted, (SIZE_PX, SIZE_PX), color=(128, 128, 128)))


def sheet(tiles: list[Pixels]) -> Pixels:
    """All tiles, some in a row."""
    tiles = tiles + [np.zeros_like(tiles[0])] * (-len(tiles) % ACROSS)
    return np.vstack([np.hstack(tiles[first : first + ACROSS]) for first in range(0, len(tiles), ACROSS)])


def figures(tiles: list[Pixels]) -> str:
    """Mean and spread of brightness, of colour and of the step to the next pixel, as tenth, middle and ninetieth of a
    hundred pictures.
    """
    rows = []
    for pixels in (tile.astype(float) for tile in tiles):
        grey = pixels.mean(axis=2)
        rows.append([grey.mean(), grey.std(), np.ptp(pixels, axis=2).mean(), np.abs(np.diff(grey, axis=1)).mean()])
    names = ("brightness", "spread", "colour", "step")
    deciles = np.percentile(rows, [10, 50, 90], axis=0).T
    return "  ".join(f"{name} {'/'.join(f'{x:.1f}' for x in row)}" for name, row in zip(names, deciles, strict=True))


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--wheels", type=Path, required=True, help="wheels.npz of a training")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--photos", type=Path, help="folder of photographs to stand below")
    asked = parser.parse_args()
    device, pool = "cuda" if torch.cuda.is_available() else "cpu", read_wheels(asked.wheels)
    tiles: list[Pixels] = []
    for first in range(0, asked.count, AT_ONCE):
        count = min(AT_ONCE, asked.count - first)
        scenes = draw_scenes(throw(count, device, asked.seed + first), pool)
        tiles += [tile(scenes, number) for number in range(count)]
    print("drawn:      ", figures(tiles))
    if asked.photos:
        others = [photo_tile(path) for path in sorted(asked.photos.iterdir())[: asked.count]]
        print("photographs:", figures(others))
        tiles += others
    Image.fromarray(sheet(tiles)).save(asked.out)
