"""Flanks told as marked in either way and read both ways: photographs, and their flanks marked anew."""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache

import numpy as np

from patternscan.cautions import CAUTIONS
from patternscan.errors import PatternscanError
from patternscan.frame import Compound, Marking
from patternscan.seeing.geometry.placed_flank import PlacedFlank, place_flank
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.image.threads import use_one_thread
from patternscan.seeing.quality.assessment import assess
from patternscan.seeing.quality.light import FlankLight, light_of
from patternscan.seeing.quality.surroundings import look_round
from patternscan.seeing.segmentation.contact_map import segment_contact
from patternscan.seeing.segmentation.film import colours_of
from patternscan.seeing.segmentation.film_split import unlike_beside
from patternscan.seeing.segmentation.fused import FusedSegmentation
from patternscan.seeing.segmentation.marking_signs import MarkingSigns
from tests.benchmarks.printed_flanks import Mask, PrintedFlank
from tests.benchmarks.remarked import BareFlank, RemarkedFlank, bare_flank, remarked, unmarked
from tests.benchmarks.scenes import Scene, Split, scene, scenes
from tests.study.photographed import outline_of

SPLITS: tuple[Split, ...] = ("dev", "rims", "port")
LEAST_READABLE = 0.5
"""Part of a flank that must be readable for its compound to be taken off."""
EACH, DRAWS = 2, (0, 7)
"""Times that a flank is marked anew in either way by each draw, and laid bare by the first; what the draws start from.
"""
DOUBTED = ("marking-doubtful", "contact-unclear")


@dataclass(frozen=True, slots=True)
class Told:
    """A reading under one marking: ``signs`` None where it was refused; ``grave``: codes but those of the marking and
    of what is compound; ``disputed`` by colours and net, ``expected_iou`` of the contact; ``unlike``: how much further
    a print lies from tip land and root than the metal; ``off``: how far it is misplaced, in face widths.
    """

    marking: Marking
    signs: MarkingSigns | None
    grave: tuple[str, ...] = ()
    disputed: bool = False
    expected_iou: float = 1.0
    unlike: float = 0.0
    off: float = 0.0


@dataclass(frozen=True, slots=True)
class Marked:
    """A flank read under either marking. ``marking``: the true one, None where it is bare; ``anew``: not as it was
    photographed.
    """

    name: str
    machine: str
    marking: Marking | None
    anew: bool
    told: tuple[Told, ...]


def read_both(light: FlankLight, along: float) -> tuple[Told, ...]:
    """A flank's readings under either marking, with contact in truth there along the face."""
    return tuple(_read(light, marking, along) for marking in Marking)


def _read(light: FlankLight, marking: Marking, along: float) -> Told:
    try:
        found = segment_contact(light, marking, None)
    except PatternscanError:
        return Told(marking, None)
    codes = dict.fromkeys(one.code for one in found.cautions if CAUTIONS[one.code].grave)
    disputed = FusedSegmentation(np.zeros(0, dtype=np.float32), found.expected_iou, found.agreement).disputed
    return Told(
        marking=marking,
        signs=found.signs if isinstance(found.signs, MarkingSigns) else None,
        grave=tuple(code for code in codes if code not in DOUBTED),
        disputed=disputed,
        expected_iou=found.expected_iou,
        unlike=_unlike(light, found.contact) if marking is Marking.TRANSFER else 0.0,
        off=abs(middle_along(found.contact & found.judged) - along),
    )


def _unlike(light: FlankLight, contact: Mask) -> float:
    rows, cols = (whole // grid for whole, grid in zip(contact.shape, light.readable.shape, strict=True))
    return unlike_beside(colours_of(light), contact[::rows, ::cols])


def middle_along(contact: Mask) -> float:
    """Middle of contact along the face, 0 at end A to 1 at end B; 0.5 without any."""
    across = contact.sum(axis=0)
    return float(((np.arange(across.size) + 0.5) / across.size) @ across / across.sum()) if across.any() else 0.5


def photographed(split: Split) -> list[Marked]:
    """The photographs of a set as they are."""
    return _in_two((split, one.name) for one in scenes(split))


def marked_anew() -> list[Marked]:
    """The flanks of dev, rims and port marked anew, and bare."""
    named = ((split, one.name) for split in SPLITS for one in scenes(split) if not one.truth["hard"])
    with ProcessPoolExecutor(2) as pool:
        return [one for ones in pool.map(_anew, named, chunksize=2) for one in ones]


def _in_two(named: Iterable[tuple[Split, str]]) -> list[Marked]:
    with ProcessPoolExecutor(2) as pool:
        return list(pool.map(_as_photographed, named, chunksize=4))


def _as_photographed(named: tuple[Split, str]) -> Marked:
    use_one_thread()
    one = scene(*named)
    told = read_both(assess(placed_flank(one)).light, float(one.truth["along"]))
    return Marked(one.name, one.machine, Marking(one.truth["marking"]), False, told)


def _anew(named: tuple[Split, str]) -> list[Marked]:
    use_one_thread()
    one = scene(*named)
    placed = placed_flank(one)
    light = assess(placed).light
    if light.readable.mean() < LEAST_READABLE:
        return []
    return [
        Marked(
            flank.name,
            one.machine,
            flank.marking if flank.compound is not None else None,
            True,
            read_both(light_of(flank.flat, ~light.seen, flank.beside), middle_along(flank.contact)),
        )
        for flank in _drawn(one, placed)
    ]


def bare_of(one: Scene, placed: PlacedFlank) -> BareFlank:
    """A photographed flank without its compound."""
    truth = one.truth
    flank = PrintedFlank(
        name=one.name,
        flat=placed.rectified,
        marking=Marking(truth["marking"]),
        compound=Compound(truth["compound"]),
        contact=one.contact(),
        along=truth["along"],
        coverage=truth["coverage"],
        doubt=placed.uncertainty,
    )
    return bare_flank(flank, look_round(placed))


def _drawn(one: Scene, placed: PlacedFlank) -> Iterator[RemarkedFlank]:
    bare, own = bare_of(one, placed), zlib.crc32(one.name.encode())
    patterns = [pattern for machine, pattern in _patterns() if machine != one.machine]
    for draw in DRAWS:
        yield from remarked(bare, patterns, EACH, own ^ draw)
    yield from unmarked(bare, EACH, own ^ DRAWS[0])


@cache
def _patterns() -> list[tuple[str, Mask]]:
    return [(one.machine, one.contact()) for split in SPLITS for one in scenes(split) if one.truth["coverage"] > 0.03]


def placed_flank(one: Scene) -> PlacedFlank:
    """A photographed flank in its outline as clicked."""
    photo = load_photo(one.photo)
    return place_flank(photo, outline_of(one).enlarged(1 / photo.times), None)
