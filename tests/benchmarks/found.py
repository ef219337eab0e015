"""What each step of the search for an outline brings: `python tests/benchmarks/found.py [SET ...] [--tips]`.

The flank of each photograph is looked for with its tip told, once by every step and once without each of them. An
outline is right when it overlaps a marked flank by 0.85 or more. `--tips` says each wrong side for the tip too, and
counts how often an outline is used all the same; `--step` takes the lines whose name has the word.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, get_args
from unittest.mock import patch

import cv2
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import PatternscanError
from patternscan.frame import Flank
from patternscan.seeing.geometry.camera import Lens
from patternscan.seeing.geometry.flank_shape import FlankShape, usual_shape
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, PictureSide, checked_outline
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.image.threads import use_one_thread
from patternscan.seeing.outline_search import closer_look, search
from patternscan.seeing.outline_search.closer_look import FoundFlank, flank_edges
from patternscan.seeing.outline_search.compound_signs import Signs, signs_of
from patternscan.seeing.outline_search.finder_net import tooth_maps
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.place_fit import PlacedShape
from patternscan.seeing.outline_search.seen_teeth import SeenFlank, flank_share
from patternscan.seeing.outline_search.window import Window
from tests.benchmarks.scenes import Scene, Split, scenes

RIGHT, SEEN = 0.85, 0.5
"""Overlap of a right outline with the true one, and of one whose overlap counts in the figures."""
CHOOSING: tuple[Split, ...] = ("dev", "rims", "port")


@dataclass(frozen=True, slots=True)
class Search:
    """One photograph's search: overlap of the likeliest outline with a marked flank, overlaps of those that are used
    unasked, how many wrong tips were believed, and seconds of one core.
    """

    overlap: float
    used: tuple[float, ...]
    believed: int
    seconds: float


def far_alone(photo: Photo, whole: Window, far: SeenFlank) -> FoundFlank:
    """The flank as the whole photo shows it."""
    picture = whole.picture(photo)
    return FoundFlank(whole, picture, far, 1.0, flank_share(tooth_maps(picture)))


def not_again(_photo: Photo, found: FoundFlank) -> FoundFlank:
    """The flank as it was found."""
    return found


def patch_alone(looks: Sequence[FoundFlank], flank: Flank, _shapes: Iterable[FlankShape], _lens: Lens) -> PlacedShape:
    """The edges of the smooth patch through a flank's places."""
    return PlacedShape(usual_shape(flank), flank_edges(looks[0], flank), None, 0.0)


def without_colours(flank: FoundFlank, photo: Photo) -> Signs:
    """The signs, the compound that the net sees standing for the colours too."""
    signs = signs_of(flank, photo)
    return replace(signs, colours=signs.compound)


def without_agreement(flank: FoundFlank, photo: Photo) -> Signs:
    """The signs, as if both looks always agreed."""
    return replace(signs_of(flank, photo), agreement=1.0)


def as_supposed(_picture: NDArray[np.uint8], supposed: PictureSide, _lead: float) -> PictureSide:
    """The side that was supposed."""
    return supposed


def as_drawn(outline: Outline, _looks: Sequence[FoundFlank], _size: tuple[int, int]) -> Outline:
    """The outline as it is."""
    return outline


def not_drawn(_photo: Photo, _given: Outline, _shape: FlankShape, _numbers: object = None) -> None:
    """No outline drawn onto edges."""


Replaced = tuple[Any, str, Callable[..., Any] | float]
LEFT_OUT: Mapping[str, tuple[Replaced, ...]] = {
    "nothing": (),
    "a window for each flank": ((closer_look, "look_closer", far_alone), (search, "look_again", not_again)),
    "the mirrored look": ((search, "look_again", not_again),),
    "agreement of both looks": ((search, "signs_of", without_agreement),),
    "the second flank": ((search, "LOOKED_AT", 1),),
    "the four turns": ((search, "tip_side_of_window", as_supposed),),
    "usual flank and camera": ((search, "place_on", patch_alone), (search, "look_again", not_again)),
    "how rough it may lie": ((search, "ROUGHEST", np.inf),),
    "ends where flanks stop": ((search, "with_ends_seen", as_drawn),),
    "drawing onto edges": ((search, "drawn_tight", not_drawn),),
    "colours": ((search, "signs_of", without_colours),),
}
"""What stands in the place of each step."""


def marked_borders(one: Scene) -> list[NDArray[np.float64]]:
    """The borders (n, 2) of the marked flanks of the side that is asked for, the one that is meant first."""
    edges = {name: np.array(one.truth["outline"][name], dtype=float) for name in EDGE_NAMES}
    meant = checked_outline(edges, Flank(one.truth["flank"])).border
    return [meant, *(np.array(other, dtype=float) for other in one.truth["other_marked_flanks"])]


def best_overlap(outline: Outline, borders: Iterable[NDArray[np.float64]], photo: Photo) -> float:
    """The largest overlap of an outline with one of the borders."""
    own = filled(outline.border, photo)
    return max(float((own & other).sum() / (own | other).sum()) for other in (filled(one, photo) for one in borders))


def filled(border: NDArray[np.float64], photo: Photo) -> NDArray[np.bool_]:
    """Pixels of the photo within a border."""
    mask = np.zeros(photo.pixels.shape[:2], dtype=np.uint8)
    return np.asarray(cv2.fillPoly(mask, [np.rint(border).astype(np.int32)], 1), dtype=np.bool_)


def looked_for(one: Scene, tips: bool) -> Search:
    """One photograph's flank as the search finds it now."""
    photo, flank, tip = load_photo(one.photo), Flank(one.truth["flank"]), PictureSide(one.truth["tip"])
    began = time.process_time()
    used = outlines_used(photo, flank, tip)
    seconds = time.process_time() - began
    guess = used[0] if used else search.best_guess(photo, flank, Hint(tip))
    borders = marked_borders(one)
    wrong = [side for side in PictureSide if side is not tip] if tips else []
    return Search(
        0.0 if guess is None else best_overlap(guess, borders, photo),
        tuple(best_overlap(outline, borders, photo) for outline in used),
        sum(bool(outlines_used(photo, flank, side)) for side in wrong),
        seconds,
    )


def outlines_used(photo: Photo, flank: Flank, tip: PictureSide) -> tuple[Outline, ...]:
    """The outlines that are used unasked where the tip is said to point to that side."""
    try:
        return search.find_outlines(photo, flank, Hint(tip))
    except PatternscanError:
        return ()


def line(name: str, found: list[Search]) -> str:
    """One line of the table."""
    overlaps = [one.overlap for one in found if one.overlap > SEEN]
    worst, middle = np.quantile(overlaps, (0.1, 0.5))
    right = sum(max(one.used, default=0.0) >= RIGHT for one in found)
    wrong = sum(overlap < RIGHT for one in found for overlap in one.used)
    return (
        f"{name:24} {len(overlaps):5} {middle:10.3f} / {worst:.3f} {right:7} {wrong:7}"
        f" {np.mean([one.seconds for one in found]):11.2f}"
    )


def lines(splits: Iterable[Split], tips: bool, step: str) -> Iterator[str]:
    """The table."""
    photographs = [one for split in splits for one in scenes(split)]
    yield f"of {len(photographs)} photographs"
    head = f"{'left out':24} {'seen':>5} {'overlap, 9 in 10':>18} {'right':>7} {'wrong':>7} {'CPU-s each':>11}"
    yield head + f" {'wrong tips believed':>20}" * tips
    for name, replaced in ((name, replaced) for name, replaced in LEFT_OUT.items() if step in name):
        with ExitStack() as changed:
            for module, what, by in replaced:
                changed.enter_context(patch.object(module, what, by))
            found = [looked_for(one, tips) for one in photographs]
        yield line(name, found) + f" {sum(one.believed for one in found):20}" * tips


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("splits", nargs="*", metavar="SET", help="dev, rims, port; dev2 to report")
    parser.add_argument("--tips", action="store_true", help="say each wrong side for the tip too")
    parser.add_argument("--step", default="", metavar="WORD")
    asked = parser.parse_args()
    use_one_thread()
    if unknown := set(asked.splits) - set(get_args(Split)):
        parser.error(f"no such set: {', '.join(sorted(unknown))}")
    chosen = [split for split in get_args(Split) if split in (asked.splits or CHOOSING)]
    for said in lines(chosen, asked.tips, asked.step):
        print(said, flush=True)


if __name__ == "__main__":
    main()
