"""Photographed flanks marked anew: each the way it was marked and the other way, with patterns of other wheels.

The compound is taken off a flank, and a pattern of another photograph is printed onto it, or painted and rubbed off it,
in a compound, lamp and alloy drawn by chance. So metal, light and pattern say nothing of the marking.
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
from tests.benchmarks.printed_flanks import Field, Mask, PrintedFlank, StrippedFlank, linear, strip_film

T = TypeVar("T")
Pixels = NDArray[np.uint8]
Painted = tuple[RectifiedFlank, tuple[Pixels, Pixels]]
SHAPE = (FLAT_ROWS, FLAT_COLUMNS)
STRIP = 40
"""Rows of what lies beyond tip and root."""
MOST_SHIFT, STRETCHES = 0.3, (0.7, 1.4)
"""How far a pattern is moved along the face (face widths), and how far it is stretched."""
DABS = 3
"""Dabs of compound beside a print, at most; beside each other a person would see a print that was smeared."""
MISSED, IN_PART = 0.4, 0.05
"""Share of painted flanks with lines that the brush missed, and of those painted from one end only (own guess)."""


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
        """Pixels of the flank with a share of a full film on it, and of the strips."""
        laid = np.pad(share, ((STRIP, STRIP), (0, 0)))
        pixels = paint_over(replace(self.stripped, share=laid), scene, marking, chance)
        flat = replace(self.flat, pixels=np.ascontiguousarray(pixels[STRIP:-STRIP]))
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
        contact = moved(patterns[int(chance.integers(len(patterns)))], chance)
        share = printed(contact, chance) if marking is Marking.TRANSFER else rubbed(contact, chance)
        scene = Scene(
            _one_of(PAINTS, chance),
            _one_of(tuple(THICKNESSES.values()), chance),
            _one_of(tuple(LAMPS), chance),
            _one_of(ALLOYS, chance),
        )
        flat, beside = bare.painted(share, scene, marking, chance)
        yield RemarkedFlank(f"{bare.name}.{number}", flat, beside, marking, scene.paint.compound, contact)


def unmarked(bare: BareFlank, each: int, seed: int) -> Iterator[RemarkedFlank]:
    """The flank without any compound, in ``each`` alloys and lamps."""
    chance = np.random.default_rng(seed)
    nowhere = np.zeros(SHAPE, dtype=bool)
    for number in range(each):
        scene = Scene(PAINTS[0], THICKNESSES["thin"], _one_of(tuple(LAMPS), chance), _one_of(ALLOYS, chance))
        flat, beside = bare.painted(nowhere.astype(np.float32), scene, Marking.TRANSFER, chance)
        yield RemarkedFlank(f"{bare.name}.bare{number}", flat, beside, Marking.TRANSFER, None, nowhere)


def moved(pattern: Mask, chance: np.random.Generator) -> Mask:
    """A pattern mirrored or not, stretched and moved along the face."""
    turned = pattern[:, ::-1] if chance.random() < 0.5 else pattern
    stretch, shift = chance.uniform(*STRETCHES), chance.uniform(-MOST_SHIFT, MOST_SHIFT)
    rows, cols = SHAPE
    across = np.asarray([[stretch, 0, cols * (0.5 + shift - 0.5 * stretch)], [0, 1, 0]], dtype=np.float64)
    sized = cv2.resize(turned.astype(np.float32), (cols, rows), interpolation=cv2.INTER_LINEAR)
    return np.asarray(cv2.warpAffine(sized, across, (cols, rows), borderMode=cv2.BORDER_REPLICATE) > 0.5)


def printed(contact: Mask, chance: np.random.Generator) -> Field:
    """Share of a full film of a print: holes, streaks along the face, a dab or two beside it."""
    inside = _soft(contact, chance.uniform(1, 4))
    skipped = _step(_clouds((12, 3), chance) - chance.uniform(0.9, 3.0), 8)
    share = inside * (1 - chance.uniform(0.5, 1) * skipped)
    for _ in range(int(chance.integers(0, DABS + 1))):
        share = np.maximum(share, chance.uniform(0.2, 1) * _dab(chance))
    return np.asarray(share * chance.uniform(0.7, 1), dtype=np.float32)


def rubbed(contact: Mask, chance: np.random.Generator) -> Field:
    """Share of a full film of paint rubbed off: painted nearly all over, its margin ragged, brush marks in it."""
    angle = _one_of(((40, 3), (3, 40), (20, 8)), chance)
    marks = _clouds(angle, chance)
    share = _painted(chance) * np.exp(chance.uniform(0.05, 0.3) * marks)
    if chance.random() < MISSED:
        share = share * (1 - chance.uniform(0.6, 1) * _step(-marks - chance.uniform(0.6, 2), chance.uniform(4, 20)))
    rest = chance.uniform(0, 0.2) * (chance.random() < 0.7) * np.exp(0.5 * _clouds((25, 2), chance))
    inside = _soft(contact, chance.uniform(1, 5))
    return np.asarray(np.clip(share * (1 - inside) + inside * np.minimum(rest, share), 0, 1.05), dtype=np.float32)


def _painted(chance: np.random.Generator) -> Field:
    """1 where the brush went, its margin short of the edges or beyond them."""
    rows, cols = SHAPE
    along = ((np.arange(cols) + 0.5) / cols)[None, :]
    up = (1 - (np.arange(rows) + 0.5) / rows)[:, None]
    first, last = chance.uniform(-0.05, 0.06, 2)
    if chance.random() < IN_PART:
        first = chance.uniform(0.08, 0.3)
    if chance.random() < 0.5:
        first, last = last, first
    low, high = chance.uniform(-0.08, 0.15), chance.uniform(-0.08, 0.08)
    ends = np.minimum(along - first, 1 - last - along)
    inward = np.minimum(np.minimum(up - low, 1 - high - up) * 0.45, ends)
    ragged = 0.015 * _clouds((9, 9), chance)
    return _step(inward.astype(np.float32) + ragged, 200)


def _dab(chance: np.random.Generator) -> Field:
    rows, cols = SHAPE
    row, col = np.mgrid[0:rows, 0:cols]
    high, wide = chance.uniform(6, 25, 2)
    off = np.hypot((row - chance.uniform(0, rows)) / high, (col - chance.uniform(0, cols)) / wide)
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
