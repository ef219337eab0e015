"""What printed tags tell in photographs: `python tests/benchmarks/pasted_tags.py dev2 [--placings 60]`.

Tags are pasted into the photographs where they would be seen: on the end face under the tooth, or on a card held beside
the end, by the camera that sees the true outline of the wheel with its gear data (whatever lens the file tells, so that
they stay where they were); as bright as the photo round them, as blurred, and as noisy; of three tags one is partly
hidden and one shines. Each placing is read as it is, with the two ends swapped in the outline, mirrored, and with
another machine's sheet. Limits are chosen on `dev`, reported on `dev2`.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import InconsistentInputs
from patternscan.frame import End, Flank
from patternscan.gearing.contact import trim_hob
from patternscan.gearing.pair import Hand, WormPair
from patternscan.seeing.geometry.camera import Lens, lens_of
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, checked_outline
from patternscan.seeing.geometry.pose import Pose, fit_pose
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.tags.seen_tag import see_tags
from patternscan.seeing.tags.tag_face import TAG_CELLS, tag_cells
from patternscan.seeing.tags.tag_pair import PAIRS, tag_number
from patternscan.seeing.tags.told_ends import ends_told, refuse_foreign
from tests.benchmarks.scenes import Scene, Split, scenes

SIZES_MM = (12.0, 16.0, 20.0)
CELL_PX = 24
"""Size of a cell in the tag before it is seen through the camera."""
TILT = 0.25
"""Spread of how a card is held, in radians about each axis."""


@dataclass(frozen=True, slots=True, eq=False)
class Placing:
    """A photo with tags pasted in, and the outline of its flank."""

    photo: Photo
    outline: Outline
    pair: int


def gear_of(one: Scene) -> WormPair:
    """The true gear of a photograph."""
    gear = one.truth["gear"]
    return trim_hob(
        WormPair(
            module_mm=gear["m"],
            starts=gear["z1"],
            teeth=gear["z2"],
            worm_diameter_mm=gear["m"] * gear["q"],
            face_width_mm=gear["face_width_mm"],
            pressure_angle_deg=gear["alpha_deg"],
            hand=Hand.RIGHT if gear["hand"] > 0 else Hand.LEFT,
            hob_oversize=one.truth["hob_oversize"],
        )
    )


def placings(split: Split, count: int) -> Iterator[Placing]:
    """So many placings: photographs in turn, all else by chance, the same at every call."""
    chance, made, chosen = np.random.default_rng(20), 0, scenes(split)
    posed: dict[str, tuple[Photo, Outline, Pose] | None] = {}
    for turn in range(40 * count):
        one = chosen[turn % len(chosen)]
        if one.name not in posed:
            posed[one.name] = _posed(one)
        known = posed[one.name]
        placed = None if known is None else _placed(*known, chance)
        if placed is not None:
            made += 1
            yield placed
        if made == count:
            return


def _posed(one: Scene) -> tuple[Photo, Outline, Pose] | None:
    photo = load_photo(one.photo)
    outline = checked_outline(dict(one.truth["outline"]), Flank(one.truth["flank"]))
    pose = fit_pose(outline, gear_of(one), Lens(lens_of(photo).size_px))
    return None if pose is None or not pose.fit.plausible else (photo, outline, pose)


def _placed(photo: Photo, outline: Outline, pose: Pose, chance: np.random.Generator) -> Placing | None:
    """The photo with one tag or two; None when none of them would be seen whole."""
    pair, pixels, seen = int(chance.integers(PAIRS)), photo.pixels.copy(), 0
    for end in chance.permutation(np.array(list(End)))[: chance.integers(1, 3)]:
        square = _square(pose, End(end), chance)
        corners = None if square is None else pose.camera.see(square)
        if corners is not None and _fits(corners, outline, photo):
            pixels = pasted(pixels, tag_number(pair, End(end)), corners, chance)
            seen += 1
    return Placing(Photo(photo.name, pixels), outline, pair) if seen else None


def _square(pose: Pose, end: End, chance: np.random.Generator) -> NDArray[np.float64] | None:
    """Corners (4, 3) of a tag in mm, from its top left clockwise as it is looked at; None when it is turned away.

    z runs toward end A, the tooth in mesh points along -y, the right flank faces -x (see ``gearing.pair``).
    """
    assert pose.pair is not None
    size, side = float(chance.choice(SIZES_MM)), 1.0 if end is End.A else -1.0
    face = pose.pair.face_width_mm / 2
    aside = chance.normal(0, 0.4 * size)
    if chance.random() < 0.5:
        down = pose.pair.wheel_root_radius_mm - (0.6 + chance.uniform(0.1, 0.6)) * size
        middle, right, up = np.array([aside, -down, side * face]), np.array([-side, 0, 0]), np.array([0, -1.0, 0])
    else:
        across = 1.0 if pose.flank is Flank.RIGHT else -1.0
        flank = pose.surface_grid[pose.surface_grid.shape[0] // 2, 0 if end is End.A else -1]
        middle = flank + np.array([0, aside, side * size * chance.uniform(0.7, 1.2)])
        turn = cv2.Rodrigues(chance.normal(0, TILT, 3))[0]
        right, up = turn @ np.array([0, 0, -across]), turn @ np.array([0, -1.0, 0])
    outward = np.cross(right, up)
    if outward @ (pose.camera.eye_mm - middle) < 0.2 * np.linalg.norm(pose.camera.eye_mm - middle):
        return None
    steps = ((-1, 1), (1, 1), (1, -1), (-1, -1))
    return np.array([middle + size / 2 * (x * right + y * up) for x, y in steps])


def _fits(corners: NDArray[np.float64], outline: Outline, photo: Photo) -> bool:
    """Whether the tag lies in the photo and off the flank."""
    inside = (corners > 4).all() and (corners < np.array([photo.width_px, photo.height_px]) - 5).all()
    border = outline.border.astype(np.float32)
    return bool(inside) and all(cv2.pointPolygonTest(border, tuple(map(float, at)), False) < 0 for at in corners)


def pasted(
    pixels: NDArray[np.uint8], number: int, corners: NDArray[np.float64], chance: np.random.Generator
) -> NDArray[np.uint8]:
    """The picture with a tag at these corners (4, 2): its white as bright as what lies there, blurred and noisy."""
    cells = np.pad(~tag_cells(number), 1, constant_values=True).astype(np.float32)
    face = cv2.resize(cells, None, fx=CELL_PX, fy=CELL_PX, interpolation=cv2.INTER_NEAREST)
    spoil(face, chance)
    edge, far = CELL_PX - 0.5, CELL_PX * (TAG_CELLS + 1) - 0.5
    flat = np.array([[edge, edge], [far, edge], [far, far], [edge, far]], dtype=np.float32)
    seen = cv2.getPerspectiveTransform(flat, corners.astype(np.float32))
    size = pixels.shape[1::-1]
    shade = cv2.warpPerspective(face, seen, size, flags=cv2.INTER_AREA)
    cover = cv2.warpPerspective(np.ones_like(face), seen, size, flags=cv2.INTER_AREA)
    blur = chance.uniform(0.6, 2.5)
    shade, cover = (cv2.GaussianBlur(each, (0, 0), blur) for each in (shade, cover))
    there = pixels[cover > 0.5].astype(np.float32)
    white = np.clip(np.quantile(there, 0.9, axis=0).max() * chance.uniform(0.9, 1.8), 40, 255)
    ink = 0.1 * white
    tag = ink * cover + (white - ink) * shade
    tag = tag + chance.normal(0, 3, tag.shape)
    laid = pixels * (1 - cover[..., None]) + tag[..., None] * (cover[..., None] > 0)
    return np.clip(np.where(cover[..., None] > 0, laid, pixels), 0, 255).astype(np.uint8)


def spoil(face: NDArray[Any], chance: np.random.Generator) -> None:
    """Of every three tags, one half hidden at most and one with a bright spot of oil on it; in place."""
    side, what = len(face), chance.random()
    if what < 1 / 3:
        face[: int(side * chance.uniform(0.05, 0.6))] = chance.uniform(0.1, 0.6)
    elif what < 2 / 3:
        middle = chance.uniform(0.2, 0.8, 2) * side
        cv2.circle(face, tuple(int(at) for at in middle), int(side * chance.uniform(0.05, 0.25)), 1.0, -1)


def swapped(placing: Placing) -> Placing:
    """The same with end A and end B exchanged in the outline, and so the flank named otherwise."""
    old = placing.outline
    edges = {"root": old.root[::-1], "tip": old.tip[::-1], "end_a": old.end_b, "end_b": old.end_a}
    return replace(placing, outline=checked_outline(edges, _other(old.flank)))


def mirrored(placing: Placing) -> Placing:
    """The same in a mirror: the outline goes with it, and shows the other flank."""
    photo, last = placing.photo, placing.photo.width_px - 1
    edges = {name: np.array([last, 0]) + getattr(placing.outline, name) * (-1, 1) for name in EDGE_NAMES}
    pixels = np.ascontiguousarray(photo.pixels[:, ::-1])
    return replace(
        placing, photo=Photo(photo.name, pixels), outline=checked_outline(edges, _other(placing.outline.flank))
    )


def _other(flank: Flank) -> Flank:
    return Flank.RIGHT if flank is Flank.LEFT else Flank.LEFT


def outcome(placing: Placing, pair: int | None) -> str:
    """What comes of a placing: told, refused, or silent as without tags."""
    seen = see_tags(placing.photo)
    try:
        refuse_foreign(seen, pair, placing.photo.name)
        return "told" if ends_told(seen, placing.outline, placing.photo.name) else "silent"
    except InconsistentInputs:
        return "refused"


def tried(all_placings: Sequence[Placing]) -> dict[str, Counter[str]]:
    """How often each comes about: as they are, swapped, mirrored, and with another machine's sheet."""
    return {
        "as they are": Counter(outcome(one, one.pair) for one in all_placings),
        "ends swapped": Counter(outcome(swapped(one), one.pair) for one in all_placings),
        "mirrored": Counter(outcome(mirrored(one), one.pair) for one in all_placings),
        "other machine's sheet": Counter(outcome(one, (one.pair + 1) % PAIRS) for one in all_placings),
    }


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("split", choices=("dev", "dev2"))
    parser.add_argument("--placings", type=int, default=60)
    asked = parser.parse_args()
    for title, counts in tried([*placings(asked.split, asked.placings)]).items():
        print(f"{title}: " + ", ".join(f"{what} {count}" for what, count in sorted(counts.items())))


if __name__ == "__main__":
    main()
