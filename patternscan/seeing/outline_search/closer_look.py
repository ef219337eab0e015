"""A flank looked at twice: in the whole photo, then in a window of its own, where its edges are told more exactly."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import Edge, Outline, PictureSide
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.finder_net import SIZE_PX, STRIDE, tooth_maps
from patternscan.seeing.outline_search.seen_teeth import (
    UNIT_CORNERS,
    SeenFlank,
    flank_share,
    patch_points,
    seen_flanks,
)
from patternscan.seeing.outline_search.window import Window

Numbers = NDArray[np.float64]

BESIDE_WIDTH, BESIDE_HEIGHT, LEAST_SIDE_PX = 1.7, 2.2, 120.0
"""Side of the window over the flank's longest edges along it and up it, and its least side."""
NARROWER = 0.75
"""Side of the window in which a flank is looked at again, as a part of the first one's."""
BESIDE_HEIGHTS = 4.0
"""Heights of the flank that a flat window shows above and below it, together. On dev, rims and port it bears out the
same 63 right outlines as a square one and believes 68 of 1122 slips of a hand as against 71; with two heights it bears
out 62 and believes 81, with three 62 and 71. Corners alone are completed a little worse by it."""
ROOT_UP = -0.046
"""Where the net has the root edge, up the flank: in the middle of 55 flanks of 33 machines of dev, rims and port."""
ROWS, COLUMNS, MARGIN = 10, 24, 0.1
"""Places of a flank whose colours are looked at, and what is left out of it at each border: another colour begins."""
PLAIN = 0.05
"""What a flank promises on which no compound is seen, which may lie there all the same."""
CORNER_TIMES = 2
"""How many pixels each corner counts for beside those on the flank (0, 2 and 4 were tried)."""
EDGE_POINTS = 21
"""Of each edge of a found flank."""
DRAWN_PX = 256
"""Long side of the picture in which two outlines are compared."""


@dataclass(frozen=True, slots=True, eq=False)
class FoundFlank:
    """A flank of a photo: the ``picture`` in its ``window``, how it is seen there (``near``), how much both looks agree
    (overlap over union, 0..1), and how likely each STEP-th pixel of each STEP-th row shows a flank (``share``).
    """

    window: Window
    picture: NDArray[np.uint8]
    near: SeenFlank
    agreement: float
    share: NDArray[np.float32]

    def points(self, places: Numbers) -> Numbers:
        """The photo's pixels (n, 2) of places (n, 2): along from the picture's left end with the tip up, and up."""
        return self.window.in_photo(self.shown(places))

    def shown(self, places: Numbers) -> Numbers:
        """The same in the pixels of the window's picture."""
        return _shown(self.near, places)

    def told_places(self, most: int) -> tuple[Numbers, Numbers]:
        """About so many of the flank's pixels at most, evenly thinned, and its corners CORNER_TIMES: as pixels of the
        photo (n, 2), and their places (n, 2) as in ``points``.
        """
        near, every = self.near, max(1, len(self.near.pixels) // most)
        pixels = np.vstack([near.pixels[::every], *[near.corners] * CORNER_TIMES])
        along, up = np.vstack([near.places[::every], *[UNIT_CORNERS] * CORNER_TIMES]).T
        return self.window.in_photo(pixels), np.stack([along, (up - ROOT_UP) / (1 - ROOT_UP)], axis=1)


def found_flanks(photo: Photo, whole: Window, most: int, at: tuple[float, float] | None = None) -> list[FoundFlank]:
    """The flanks in a window on the whole photo that are seen large and look like compound, at most so many, each
    looked at closer; those nearest the photo's pixel ``at`` when it is told.
    """
    seen = seen_flanks(tooth_maps(whole.picture(photo)))
    if at is None:
        seen = sorted(seen, key=_promise, reverse=True)
    else:
        seen = sorted(seen, key=lambda flank: float(np.linalg.norm(whole.in_photo(flank.middle) - at)))
    found = (look_closer(photo, whole, flank) for flank in seen[:most])
    return [flank for flank in found if flank is not None]


def _promise(flank: SeenFlank) -> float:
    """How much a flank of the whole photo promises: by its size and by the compound seen on it."""
    return float(np.sqrt(len(flank.pixels))) * (PLAIN + flank.compound)


def look_closer(photo: Photo, whole: Window, far: SeenFlank) -> FoundFlank | None:
    """The same flank in a window of its own; None when it is not seen there."""
    window = _window_round(whole.in_photo(far.corners), whole.tip)
    picture = window.picture(photo)
    maps = tooth_maps(picture)
    seen = seen_flanks(maps)
    if not seen:
        return None
    near = _middlemost(seen)
    agreement = _overlap(whole.in_photo(_shown(far, BORDER)), window.in_photo(_shown(near, BORDER)))
    return FoundFlank(window, picture, near, agreement, flank_share(maps))


def look_again(photo: Photo, found: FoundFlank) -> FoundFlank:
    """A found flank as a narrower, mirrored window round it shows it, where the net errs otherwise; the same when it
    is not seen there.
    """
    window = _window_round(found.window.in_photo(found.near.corners), found.window.tip)
    window = replace(window, side=NARROWER * window.side, mirrored=True)
    picture = window.picture(photo)
    maps = tooth_maps(picture)
    seen = seen_flanks(maps)
    if not seen:
        return found
    return FoundFlank(window, picture, _middlemost(seen).mirrored, found.agreement, flank_share(maps))


def _middlemost(seen: list[SeenFlank]) -> SeenFlank:
    """The flank nearest to the middle of a square window."""
    return min(seen, key=lambda flank: float(np.linalg.norm(flank.middle - SIZE_PX / 2)))


def flanks_round(photo: Photo, outline: Outline, flat: bool = False) -> list[FoundFlank]:
    """The flanks that are seen in a window round an outline, the largest first; in a ``flat`` one what lies above and
    below is left out, which is quick and tells a little less.
    """
    corners = np.array([outline.root[0], outline.root[-1], outline.tip[-1], outline.tip[0]])
    window = _window_round(corners, outline.tip_side)
    window = _flattened(window, corners) if flat else window
    picture = window.picture(photo)
    maps = tooth_maps(picture)
    return [FoundFlank(window, picture, seen, 1.0, flank_share(maps)) for seen in seen_flanks(maps)]


def _window_round(corners: Numbers, tip: PictureSide) -> Window:
    """The window of a flank with these corners (4, 2), in the order of ``SeenFlank``, in pixels of the photo."""
    sides = np.linalg.norm(corners - np.roll(corners, -1, axis=0), axis=1)
    side = max(BESIDE_WIDTH * sides[[0, 2]].max(), BESIDE_HEIGHT * sides[[1, 3]].max(), LEAST_SIDE_PX)
    x, y = corners.mean(axis=0)
    return Window(float(x), float(y), float(side), tip)


def _flattened(window: Window, corners: Numbers) -> Window:
    """The window with BESIDE_HEIGHTS above and below the flank with these corners."""
    upward = 1 if window.tip in (PictureSide.UP, PictureSide.DOWN) else 0
    height = max(float(np.linalg.norm(corners[root] - corners[tip])) for root, tip in ((0, 3), (1, 2)))
    seen = float(np.ptp(corners[:, upward])) + BESIDE_HEIGHTS * height
    return replace(window, rows=min(SIZE_PX, STRIDE * ceil(SIZE_PX * seen / window.side / STRIDE)))


def flank_edges(found: FoundFlank, flank: Flank) -> dict[str, Edge]:
    """The four edges of a found flank in the photo, named and run through as in an outline of that flank."""
    places = edge_places(EDGE_POINTS)
    shown = dict(zip(places, np.split(found.points(np.vstack(list(places.values()))), len(places)), strict=True))
    step, first, last = (1, "left", "right") if flank is Flank.RIGHT else (-1, "right", "left")
    return {"root": shown["root"][::step], "tip": shown["tip"][::step], "end_a": shown[first], "end_b": shown[last]}


def edge_places(count: int) -> dict[str, Numbers]:
    """Places (count, 2) along the four edges of a flank: root and tip from left to right, ends from root to tip."""
    run, zero = np.linspace(0, 1, count), np.zeros(count)
    lines = {"root": (run, zero), "tip": (run, zero + 1), "left": (zero, run), "right": (zero + 1, run)}
    return {name: np.stack(line, axis=1) for name, line in lines.items()}


def _border() -> Numbers:
    edges = edge_places(17)
    return np.vstack([edges["root"], edges["right"], edges["tip"][::-1], edges["left"][::-1]])


BORDER = _border()


def _inner() -> Numbers:
    up, along = (MARGIN + (1 - 2 * MARGIN) * (np.arange(n) + 0.5) / n for n in (ROWS, COLUMNS))
    return np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)


INNER = _inner()
"""Places (n, 2) all over a flank, within its borders."""


def _shown(flank: SeenFlank, places: Numbers) -> Numbers:
    """Pixels of the window's picture where a flank shows places (n, 2)."""
    along, up = places.T
    return patch_points(flank, np.stack([along, ROOT_UP + up * (1 - ROOT_UP)], axis=1))


def _overlap(one: Numbers, other: Numbers) -> float:
    """Overlap over union of two borders (n, 2)."""
    both = np.vstack([one, other])
    low = both.min(axis=0)
    scale = DRAWN_PX / max(float((both.max(axis=0) - low).max()), 1.0)
    filled = []
    for border in (one, other):
        mask = np.zeros((DRAWN_PX + 2, DRAWN_PX + 2), np.uint8)
        filled.append(cv2.fillPoly(mask, [np.rint((border - low) * scale).astype(np.int32)], 1) > 0)
    return float((filled[0] & filled[1]).sum()) / max(1, int((filled[0] | filled[1]).sum()))
