"""Pieces cut out of one exposure, and second exposures: `python tests/benchmarks/cut_from_one.py dev rims port`.

Of each photograph two pieces are cut out, made smaller, saved badly and outlined anew. So are pieces of second
exposures: from a stand a little off in other light, and from the same stand in other and in the same light. Printed is
how many of them, and of pairs of different photographs, pass for pieces of one exposure.
"""

from __future__ import annotations

import sys
from base64 import b64encode
from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import cast

import cv2
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.seeing.image.fingerprint import SIDE, Fingerprint, OutlinedPicture
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.quality.same_exposure import cut_from_one
from tests.benchmarks.scenes import Scene, Split, scenes
from tests.benchmarks.second_exposures import CLICKED, STANDS, Edges, clicked, edges_of, second_exposure

Pixels = NDArray[np.uint8]
SMALLER, QUALITIES = (1.0, 0.7, 0.5), (90, 60, 40)
LIGHTS = {"in 2 % more light": 1.02, "in 3 % less light": 0.97, "in the same light": 1.0}


def outlined_picture(pixels: Pixels, edges: Edges) -> OutlinedPicture:
    """A picture in little with the corners of its flank."""
    corners = (np.array([edges["root"][0], edges["root"][-1], edges["tip"][-1], edges["tip"][0]]) + 0.5) / pixels.shape[
        1::-1
    ]
    return OutlinedPicture(Photo("photo.jpg", pixels).fingerprint, tuple((float(x), float(y)) for x, y in corners))


def turned(one: OutlinedPicture) -> OutlinedPicture:
    """The same picture turned clockwise by a quarter."""
    levels = np.rot90(np.frombuffer(one.picture.steps, dtype="<u2").reshape(SIDE, SIDE), -1)
    name, width_px, height_px = one.picture.name, one.picture.height_px, one.picture.width_px
    cells = b64encode(levels.tobytes()).decode()
    return OutlinedPicture(Fingerprint(name, width_px, height_px, cells), tuple((1 - y, x) for x, y in one.corners))


def piece(
    pixels: Pixels, edges: Edges, smaller: float, quality: int, chance: np.random.Generator
) -> tuple[Pixels, Edges]:
    """A piece with the flank in it, saved so, and the flank as a person clicks it there."""
    points = np.vstack(list(edges.values()))
    low, high = points.min(axis=0), points.max(axis=0)
    size = np.array(pixels.shape[1::-1])
    left, top = np.maximum(0, low * chance.uniform(0.1, 0.9, 2)).astype(int)
    right, bottom = np.minimum(size, high + (size - high) * chance.uniform(0.1, 0.9, 2)).astype(int)
    cut = cv2.resize(pixels[top:bottom, left:right], None, fx=smaller, fy=smaller, interpolation=cv2.INTER_AREA)
    _, content = cv2.imencode(".jpg", cut, [cv2.IMWRITE_JPEG_QUALITY, quality])
    saved = np.asarray(cv2.imdecode(content, cv2.IMREAD_COLOR), dtype=np.uint8)
    there = {name: (edge - [left, top] + 0.5) * smaller - 0.5 for name, edge in edges.items()}
    return saved, clicked(there, chance)


def same_stand(pixels: Pixels, brighter: float, chance: np.random.Generator) -> Pixels:
    """Another exposure from the same stand, a third of a pixel aside, with the camera's noise."""
    rows, columns = pixels.shape[:2]
    aside = np.array([[1, 0, 0.3], [0, 1, 0.3]])
    moved = cv2.warpAffine(pixels, aside, (columns, rows), borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(np.clip(moved * brighter + chance.normal(0, 3, pixels.shape), 0, 255), dtype=np.uint8)


def pairs_of(one: Scene) -> Iterator[tuple[str, OutlinedPicture, OutlinedPicture]]:
    """Pairs of pieces of one photograph, and of it and second exposures."""
    photo, edges, chance = load_photo(one.photo), edges_of(one), np.random.default_rng([*one.name.encode()])
    for smaller, quality in zip(SMALLER, QUALITIES, strict=True):
        first, second = (
            outlined_picture(*piece(photo.pixels, edges, *how, chance)) for how in ((1.0, 80), (smaller, quality))
        )
        yield "a photo and a piece of it", outlined_picture(photo.pixels, edges), second
        yield "two pieces", first, second
        yield "two pieces, one turned by a quarter", first, turned(second)
        for stand in (CLICKED, *STANDS):
            again = second_exposure(photo, edges, stand, chance)
            yield "a second exposure", first, outlined_picture(*again)
            yield "a piece of a second exposure", first, outlined_picture(*piece(*again, smaller, quality, chance))
            yield "a second exposure, turned by a quarter", first, turned(outlined_picture(*again))
        for name, light in LIGHTS.items():
            again = same_stand(photo.pixels, light, chance), edges
            yield f"from one stand {name}", first, outlined_picture(*piece(*again, smaller, quality, chance))


def main() -> None:
    """Print the counts of the sets that are named."""
    found = [one for split in sys.argv[1:] for one in scenes(cast(Split, split))]
    tried: Counter[str] = Counter()
    passed: Counter[str] = Counter()
    whole = [outlined_picture(load_photo(one.photo).pixels, edges_of(one)) for one in found]
    others = (("two photographs", *two) for two in combinations(whole, 2))
    for kind, one, other in (*(pair for each in found for pair in pairs_of(each)), *others):
        tried[kind] += 1
        passed[kind] += cut_from_one(one, other)
    for kind, number in tried.items():
        print(f"{kind}: {passed[kind]} of {number}")


if __name__ == "__main__":
    main()
