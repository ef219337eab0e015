"""Photographed flanks marked anew: each the way it was marked and the other way, with patterns of other wheels.

The compound is taken off a flank, and a pattern of another photograph is printed onto it, or painted and rubbed off it,
in a compound, lamp and alloy drawn by chance. So metal, light and pattern say nothing of the marking. They are harder
than photographs: wider and narrower patterns, thin and uneven coats, paint that runs over tip and root, prints in a
haze of wiped compound, dim lamps.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS, RectifiedFlank
from patternscan.seeing.quality.surroundings import Surroundings
from tests.benchmarks.painted_film import ALLOYS, LAMPS, PAINTS, THICKNESSES, Scene, paint_over
from tests.benchmarks.printed_flanks import Field, Mask, PrintedFlank, StrippedFlank, encoded, linear, strip_film

T = TypeVar("T")
Pixels = NDArray[np.uint8]
Painted = tuple[RectifiedFlank, tuple[Pixels, Pixels]]
STRIP = 40
"""Rows of what lies beyond tip and root."""
FLANK = slice(STRIP, STRIP + FLAT_ROWS)
"""Rows of the flank itself."""
SHAPE = (FLAT_ROWS + 2 * STRIP, FLAT_COLUMNS)
"""Of a flank with the strips above and below it."""
MOST_SHIFT, STRETCHES = 0.4, (0.5, 1.9)
"""How far a pattern is moved along the face (face widths), and how far it is stretched."""
TOUCHED = (0.04, 0.75)
"""Parts of the flank that a pattern may cover; others say nothing to a fitter either."""
DABS = 3
"""Dabs of compound beside a print, at most; beside each other a person would see a print that was smeared."""
MISSED, IN_PART = 0.4, 0.1
"""Share of painted flanks with lines that the brush missed, and of those painted from one end only (own guess)."""
RUN_OVER = 0.25
"""Share of painted flanks whose paint runs over tip and root onto what lies beyond (own guess)."""
HAZED, DIM = 0.3, 0.3
"""Share of prints in a haze of wiped compound, and of flanks in dim or uneven light (own guess)."""
DIMMEST, DIM_NOISE = 0.06, 0.012
"""Least part of the light that is left, and the camera's noise in it at mid grey, linear (own guess)."""


@dataclass(frozen=True, slots=True, eq=False)
class RemarkedFlank:
    """A flank marked anew. ``compound`` None: it carries none. ``contact``: bool (FLAT_ROWS, FLAT_COLUMNS). ``beside``:
    sRGB (n, 3) of what lies beyond tip and root, which is as bare as it was.
    """

    name: str
    flat: RectifiedFlank
    beside: tuple[Pixels, Pixels]
    marking: Marking
    compound: Compound | None
    contact: Mask


@dataclass(frozen=True, slots=True, eq=False)
class BareFlank:
    """A flank stripped of its compound, with strips beyond tip and root above and below it."""

    name: str
    flat: RectifiedFlank
    stripped: StrippedFlank

    def painted(self, share: Field, scene: Scene, marking: Marking, chance: np.random.Generator) -> Painted:
        """Pixels of the flank with a share (SHAPE) of a full film on it, and of the strips."""
        pixels = paint_over(replace(self.stripped, share=share), scene, marking, chance)
        if chance.random() < DIM:
            pixels = dimmed(pixels, chance)
        flat = replace(self.flat, pixels=np.ascontiguousarray(pixels[FLANK]))
        return flat, (pixels[:STRIP].reshape(-1, 3), pixels[-STRIP:].reshape(-1, 3))


def bare_flank(flank: PrintedFlank, around: Surroundings) -> BareFlank:
    """Take the compound off a flank; what lies beyond tip and root is taken for bare."""
    stripped = strip_film(flank)
    size = (FLAT_COLUMNS, STRIP)
    tip, root = (cv2.resize(linear(strip), size, interpolation=cv2.INTER_LINEAR) for strip in around.strips)
    metal = np.vstack([tip, stripped.metal, root]).astype(np.float32)
    light = np.pad(stripped.light, ((STRIP, STRIP), (0, 0)), mode="edge")
    return BareFlank(flank.name, flank.flat, replace(stripped, metal=metal, light=light))


def remarked(bare: BareFlank, patterns: Sequence[Mask], each: int, seed: int) -> Iterator[RemarkedFlank]:
    """The flank in ``each`` scenes of either marking, with some of the patterns (rows, cols) on it."""
    chance = np.random.default_rng(seed)
    for number in range(2 * each):
        marking = tuple(Marking)[number % 2]
        contact = _some_pattern(patterns, chance)
        share = printed(contact, chance) if marking is Marking.TRANSFER else rubbed(contact, chance)
        scene = Scene(
            _one_of(PAINTS, chance),
            _one_of(tuple(THICKNESSES.values()), chance),
            _one_of(tuple(LAMPS), chance),
            _one_of(ALLOYS, chance),
        )
        flat, beside = bare.painted(share, scene, marking, chance)
        name = f"{bare.name}.{number}"
        yield RemarkedFlank(name, flat, beside, marking, scene.paint.compound, contact[FLANK])


def unmarked(bare: BareFlank, each: int, seed: int) -> Iterator[RemarkedFlank]:
    """The flank without any compound, in ``each`` alloys and lamps."""
    chance = np.random.default_rng(seed)
    nowhere = np.zeros(SHAPE, dtype=bool)
    for number in range(each):
        scene = Scene(PAINTS[0], THICKNESSES["thin"], _one_of(tuple(LAMPS), chance), _one_of(ALLOYS, chance))
        flat, beside = bare.painted(nowhere.astype(np.float32), scene, Marking.TRANSFER, chance)
        yield RemarkedFlank(f"{bare.name}.bare{number}", flat, beside, Marking.TRANSFER, None, nowhere[FLANK])


def _some_pattern(patterns: Sequence[Mask], chance: np.random.Generator) -> Mask:
    """One of the patterns, moved so that it shows."""
    while True:
        contact = moved(patterns[int(chance.integers(len(patterns)))], chance)
        if TOUCHED[0] < float(contact[FLANK].mean()) < TOUCHED[1]:
            return contact


def moved(pattern: Mask, chance: np.random.Generator) -> Mask:
    """A pattern mirrored or not, stretched and moved along the face; bool SHAPE, nothing beyond tip and root."""
    turned = pattern[:, ::-1] if chance.random() < 0.5 else pattern
    stretch = float(np.exp(chance.uniform(*np.log(STRETCHES))))
    shift = chance.uniform(-MOST_SHIFT, MOST_SHIFT)
    across = np.asarray([[stretch, 0, FLAT_COLUMNS * (0.5 + shift - 0.5 * stretch)], [0, 1, 0]], dtype=np.float64)
    size = (FLAT_COLUMNS, FLAT_ROWS)
    sized = cv2.resize(turned.astype(np.float32), size, interpolation=cv2.INTER_LINEAR)
    laid = cv2.warpAffine(sized, across, size, borderMode=cv2.BORDER_REPLICATE)
    return np.pad(np.asarray(laid > 0.5), ((STRIP, STRIP), (0, 0)))


def dimmed(pixels: Pixels, chance: np.random.Generator) -> Pixels:
    """The same by less light, stronger on one side, with the noise that a camera then has."""
    rows, cols = np.mgrid[0 : SHAPE[0], 0 : SHAPE[1]].astype(np.float32)
    off = np.hypot(cols / SHAPE[1] - chance.uniform(-0.2, 1.2), 0.5 * (rows / SHAPE[0] - chance.uniform(0, 1)))
    beam = np.exp(-((off / chance.uniform(0.4, 2)) ** 2))
    light = linear(pixels) * (np.exp(chance.uniform(np.log(DIMMEST), 0)) * beam)[..., None]
    grain = chance.normal(0, DIM_NOISE, light.shape) * np.sqrt(np.maximum(light, 0.005))
    return encoded(np.asarray(light + grain, dtype=np.float32))


def printed(contact: Mask, chance: np.random.Generator) -> Field:
    """Share of a full film (SHAPE) of a print: holes, streaks along the face, a dab or two beside it, a haze about."""
    inside = _soft(contact, chance.uniform(1, 4))
    skipped = _step(_clouds((12, 3), chance) - chance.uniform(0.9, 3.0), 8)
    share = inside * (1 - chance.uniform(0.5, 1) * skipped)
    for _ in range(int(chance.integers(0, DABS + 1))):
        share = np.maximum(share, chance.uniform(0.2, 1) * _dab(chance))
    if chance.random() < HAZED:
        share = np.maximum(share, chance.uniform(0.1, 0.35) * np.exp(0.4 * _clouds((60, 12), chance)))
    return np.asarray(share * chance.uniform(0.6, 1), dtype=np.float32)


def rubbed(contact: Mask, chance: np.random.Generator) -> Field:
    """Share of a full film (SHAPE) of paint rubbed off: painted nearly all over, its margin ragged, thick and thin,
    brush marks in it.
    """
    angle = _one_of(((40, 3), (3, 40), (20, 8)), chance)
    marks = _clouds(angle, chance)
    uneven = np.exp(chance.uniform(0, 0.35) * _clouds((90, 60), chance))
    share = _painted(chance) * uneven * np.exp(chance.uniform(0.05, 0.5) * marks)
    if chance.random() < MISSED:
        share = share * (1 - chance.uniform(0.6, 1) * _step(-marks - chance.uniform(0.6, 2), chance.uniform(4, 20)))
    rest = chance.uniform(0, 0.25) * (chance.random() < 0.7) * np.exp(0.5 * _clouds((25, 2), chance))
    inside = _soft(contact, chance.uniform(1, 5))
    return np.asarray(np.clip(share * (1 - inside) + inside * np.minimum(rest, share), 0, 1.05), dtype=np.float32)


def _painted(chance: np.random.Generator) -> Field:
    """1 where the brush went, its margin short of the edges or beyond them."""
    along = ((np.arange(FLAT_COLUMNS) + 0.5) / FLAT_COLUMNS)[None, :]
    up = (1 - (np.arange(-STRIP, FLAT_ROWS + STRIP) + 0.5) / FLAT_ROWS)[:, None]
    first, last = chance.uniform(-0.05, 0.06, 2)
    if chance.random() < IN_PART:
        first = chance.uniform(0.08, 0.3)
    if chance.random() < 0.5:
        first, last = last, first
    low, high = chance.uniform(0.0, 0.15), chance.uniform(0.0, 0.08)
    if chance.random() < RUN_OVER:
        low, high = chance.uniform(-0.2, 0.05, 2)
    ends = np.minimum(along - first, 1 - last - along)
    inward = np.minimum(np.minimum(up - low, 1 - high - up) * 0.45, ends)
    ragged = 0.015 * _clouds((9, 9), chance)
    return _step(inward.astype(np.float32) + ragged, 200)


def _dab(chance: np.random.Generator) -> Field:
    rows, cols = SHAPE
    row, col = np.mgrid[0:rows, 0:cols]
    high, wide = chance.uniform(6, 25, 2)
    off = np.hypot((row - chance.uniform(STRIP, rows - STRIP)) / high, (col - chance.uniform(0, cols)) / wide)
    return _step(1 - off.astype(np.float32) + 0.3 * _clouds((6, 6), chance), 6)


def _soft(mask: Mask, width: float) -> Field:
    ragged = 0.25 * _clouds((14, 2), np.random.default_rng(int(mask.sum())))
    soft = cv2.GaussianBlur(mask.astype(np.float32), (0, 0), 4.0)
    return _step(soft - 0.5 + 0.3 * ragged * (np.abs(soft - 0.5) < 0.49), 12 / width)


def _step(field: Field, steepness: float) -> Field:
    return np.asarray(1 / (1 + np.exp(-np.clip(steepness * field, -30, 30))), dtype=np.float32)


def _clouds(sizes: tuple[float, float], chance: np.random.Generator) -> Field:
    raw = chance.normal(0, 1, SHAPE).astype(np.float32)
    smooth = cv2.GaussianBlur(raw, (0, 0), sizes[0], sigmaY=sizes[1], borderType=cv2.BORDER_REFLECT)
    return np.asarray((smooth - smooth.mean()) / max(float(smooth.std()), 1e-6), dtype=np.float32)


def _one_of(kinds: Sequence[T], chance: np.random.Generator) -> T:
    return kinds[int(chance.integers(len(kinds)))]
