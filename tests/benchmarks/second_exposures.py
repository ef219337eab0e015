"""One flank photographed twice, and two flanks: `python tests/benchmarks/second_exposures.py dev rims port`.

Of each photograph a second exposure is drawn: from a stand a little off, in other light, out of focus, noisy, saved
anew, and outlined anew. Printed is how alike the fine detail of both is, and of all pairs of different flanks.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import suppress
from itertools import combinations
from pathlib import Path
from typing import Any, cast

import cv2
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import PatternscanError
from patternscan.frame import Compound, Flank, Marking
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, PictureSide, checked_outline
from patternscan.seeing.geometry.placed_flank import place_flank
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.search import find_outlines
from patternscan.seeing.quality.same_flank import ALIKE, Detail, detail_of, likeness
from patternscan.workflow.read import read_flank
from tests.benchmarks.scenes import CORNERS, Scene, Split, clicked_outline, scenes

Edges = dict[str, NDArray[np.float64]]
STANDS = (0.01, 0.03)
"""How far the corners of the picture move from one stand to the other, as a part of its longer side."""
CLICKED, ASIDE = 0.002, 0.006
"""Spread of a click, and of a whole outline, as a part of the face width."""


def second_exposure(
    photo: Photo, edges: Edges, stand: float, chance: np.random.Generator
) -> tuple[NDArray[np.uint8], Edges]:
    """Another picture of the same tooth, with the edges where they are in it, as a person clicks them again."""
    rows, columns = photo.pixels.shape[:2]
    corners = np.array([[0, 0], [columns, 0], [columns, rows], [0, rows]], dtype=np.float32)
    there = corners + chance.normal(0, stand * max(rows, columns), (4, 2)).astype(np.float32)
    view = cv2.getPerspectiveTransform(corners, there)
    seen = cv2.warpPerspective(photo.pixels, view, (columns, rows), borderMode=cv2.BORDER_REFLECT)
    moved = {name: cv2.perspectiveTransform(edges[name][None], view)[0] for name in EDGE_NAMES}
    return _saved(_lit(seen, chance), chance), clicked(moved, chance)


def _lit(pixels: NDArray[Any], chance: np.random.Generator) -> NDArray[np.uint8]:
    """In other light, that falls off another way, and with the camera's noise."""
    down, across = np.mgrid[-0.5 : 0.5 : pixels.shape[0] * 1j, -0.5 : 0.5 : pixels.shape[1] * 1j]
    strength, slope_down, slope_across = chance.normal(0, (0.25, 0.4, 0.4))
    light = np.exp(strength + slope_down * down + slope_across * across)[..., None]
    levels = 255 * np.clip((pixels / 255) ** 2.2 * light, 0, 1) ** (1 / 2.2) + chance.normal(0, 5, pixels.shape)
    return np.asarray(np.clip(levels, 0, 255), dtype=np.uint8)


def _saved(pixels: NDArray[np.uint8], chance: np.random.Generator) -> NDArray[np.uint8]:
    """A little out of focus, and saved more or less well."""
    soft = cv2.GaussianBlur(pixels, (0, 0), chance.uniform(0.3, 1.2))
    _, content = cv2.imencode(".jpg", soft, [cv2.IMWRITE_JPEG_QUALITY, int(chance.integers(50, 92))])
    return np.asarray(cv2.imdecode(content, cv2.IMREAD_COLOR), dtype=np.uint8)


def clicked(edges: Edges, chance: np.random.Generator) -> Edges:
    """The edges as a person clicks them again."""
    width = float(np.linalg.norm(edges["root"][-1] - edges["root"][0]))
    aside = chance.normal(0, ASIDE * width, 2)
    again = {name: edge + aside + chance.normal(0, CLICKED * width, edge.shape) for name, edge in edges.items()}
    corners: dict[str, NDArray[np.float64]] = {}
    for name, (first, last) in CORNERS.items():
        again[name][0] = corners.setdefault(first, again[name][0])
        again[name][-1] = corners.setdefault(last, again[name][-1])
    return again


def edges_of(one: Scene) -> Edges:
    """The edges as a careful person clicks them."""
    clicked = clicked_outline(one)["flanks"][0]
    return {name: np.array(clicked[name], dtype=np.float64) for name in EDGE_NAMES}


def outlined(one: Scene, edges: Edges) -> Outline:
    """The outline of a photograph's flank by these edges."""
    return checked_outline(edges, Flank(one.truth["flank"]))


def seen_detail(one: Scene, photo: Photo, edges: Edges) -> Detail:
    """Fine detail of a photograph's flank in this picture of it, outlined by these edges, without gear data."""
    return detail_of(place_flank(photo, outlined(one, edges), None).rectified, one.contact())


def _both(one: Scene) -> Iterator[tuple[Detail, Detail]]:
    """A flank, and each second exposure of it."""
    photo, chance = load_photo(one.photo), np.random.default_rng([*one.name.encode()])
    first = seen_detail(one, photo, edges_of(one))
    for stand in STANDS:
        pixels, edges = second_exposure(photo, edges_of(one), stand, chance)
        yield first, seen_detail(one, Photo("again.jpg", pixels), edges)


def _teeth(one: Scene) -> Iterator[Detail]:
    """Every marked flank that is found in a photograph: teeth side by side, of one wheel and cut by one hob."""
    photo, truth = load_photo(one.photo), one.truth
    with suppress(PatternscanError):
        for outline in find_outlines(photo, Flank(truth["flank"]), Hint(PictureSide(truth["tip"]))):
            read = read_flank(
                photo, outline.enlarged(photo.times), Marking(truth["marking"]), Compound(truth["compound"])
            )
            yield detail_of(read.rectified, read.contact_map.contact)


def main() -> None:
    """Print the figures of the sets that are named."""
    found = [one for split in sys.argv[1:] for one in scenes(cast(Split, split))]
    again = np.array([likeness(*both) for one in found for both in _both(one)])
    flanks = [(one, seen_detail(one, load_photo(one.photo), edges_of(one))) for one in found]
    pairs = {
        name: np.array([likeness(a[1], b[1]) for a, b in combinations(flanks, 2) if belongs(a[0], b[0])])
        for name, belongs in (("left and right flank of one wheel", _opposite), ("flanks of two wheels", _strangers))
    }
    print(f"one flank twice ({len(again)}): median {np.median(again):.2f}, above {ALIKE}: {np.mean(again > ALIKE):.2f}")
    pairs["teeth side by side"] = np.array([likeness(*two) for one in found for two in combinations(_teeth(one), 2)])
    for name, alike in pairs.items():
        print(f"{name} ({len(alike)}): median {np.median(alike):.2f}, largest {alike.max():.2f}")


def _opposite(one: Scene, other: Scene) -> bool:
    return one.machine == other.machine and one.truth["flank"] != other.truth["flank"]


def _strangers(one: Scene, other: Scene) -> bool:
    return one.machine != other.machine


if __name__ == "__main__":
    main()
