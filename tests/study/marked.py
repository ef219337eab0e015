"""Flanks told as marked in either way and read both ways: photographs, and their flanks marked anew."""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache

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
from patternscan.seeing.segmentation.marking_signs import MarkingSigns
from tests.benchmarks.printed_flanks import Mask, PrintedFlank
from tests.benchmarks.remarked import RemarkedFlank, bare_flank, remarked, unmarked
from tests.benchmarks.scenes import Scene, Split, scene, scenes
from tests.study.photographed import outline_of

SPLITS: tuple[Split, ...] = ("dev", "rims", "port")
LEAST_READABLE = 0.5
"""Part of a flank that must be readable for its compound to be taken off."""
EACH = 2
"""Times that a flank is marked anew in either way, and laid bare."""
DOUBTED = "marking-doubtful"


@dataclass(frozen=True, slots=True)
class Told:
    """A reading under one marking: ``signs`` None where it was refused; ``grave``: codes but that of the marking."""

    marking: Marking
    signs: MarkingSigns | None
    grave: tuple[str, ...] = ()


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


def read_both(light: FlankLight) -> tuple[Told, ...]:
    """A flank's readings under either marking."""
    return tuple(_read(light, marking) for marking in Marking)


def _read(light: FlankLight, marking: Marking) -> Told:
    try:
        found = segment_contact(light, marking, None)
    except PatternscanError:
        return Told(marking, None)
    codes = dict.fromkeys(one.code for one in found.cautions if CAUTIONS[one.code].grave)
    signs = found.signs if isinstance(found.signs, MarkingSigns) else None
    return Told(marking, signs, tuple(code for code in codes if code != DOUBTED))


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
    told = read_both(assess(_placed(one)).light)
    return Marked(one.name, one.machine, Marking(one.truth["marking"]), False, told)


def _anew(named: tuple[Split, str]) -> list[Marked]:
    use_one_thread()
    one = scene(*named)
    placed = _placed(one)
    light = assess(placed).light
    if light.readable.mean() < LEAST_READABLE:
        return []
    return [
        Marked(
            flank.name,
            one.machine,
            flank.marking if flank.compound is not None else None,
            True,
            read_both(light_of(flank.flat, ~light.seen, flank.beside)),
        )
        for flank in _drawn(one, placed)
    ]


def _drawn(one: Scene, placed: PlacedFlank) -> Iterator[RemarkedFlank]:
    truth, seed = one.truth, zlib.crc32(one.name.encode())
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
    bare = bare_flank(flank, look_round(placed))
    patterns = [pattern for machine, pattern in _patterns() if machine != one.machine]
    yield from remarked(bare, patterns, EACH, seed)
    yield from unmarked(bare, EACH, seed)


@cache
def _patterns() -> list[tuple[str, Mask]]:
    return [(one.machine, one.contact()) for split in SPLITS for one in scenes(split) if one.truth["coverage"] > 0.03]


def _placed(one: Scene) -> PlacedFlank:
    photo = load_photo(one.photo)
    return place_flank(photo, outline_of(one).enlarged(1 / photo.times), None)
