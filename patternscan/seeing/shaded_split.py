"""Film or metal by colour and shade: a second look, where colour alone shows no film."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import log

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.colour_groups import (
    border_rise,
    local_mean,
    mean_colour,
    middle_colour,
    parting,
    play_inside,
    share_between,
    unit,
)
from patternscan.seeing.film import Grid, Mask, beyond_mirrored
from patternscan.seeing.shaded_film import METAL_PLAY, Colour, ShadedLight, ShadedPigment

SMALLEST_GROUP = 0.01
"""Film or metal below this part of the flank is no group."""
SMALLEST_PATCH = 0.004
"""Patches of film below this part of the flank are not looked at one by one."""
MIRRORED_PART = 0.35
"""A patch whose colour lies less than this part as far beyond mirrored metal as the film does is metal."""
SOFT_PART = 0.4
"""A patch whose border rises less than this part as abruptly as that of the largest one is its mirror image."""
TURNS = 3
"""How often the parting is drawn anew; with more, mirror images creep into the film through its local mean."""
EXPECTED_PART = 0.5
"""How much the way from metal to film leans on what is expected of the pigment rather than on the flank itself."""
PLAY_PART = 0.5
"""How much of the usual play of bare metal is added to the play found inside the groups."""
UNLIKELINESS_WEIGHT = 0.2
"""A unit of unlikeliness against a unit of the logarithm of plainness; colours alone mislead under odd lamps."""
LEAST_PLAIN = 2.4
"""Plainness below which there is no film. Bare flanks, also with lamps of another colour, read 0.5 to 2.3 for the
most part; thin white, the faintest film, reads 3 and more."""
LEAST_PLAIN_ON_RAY = 2.7
"""The same for film of the colours that mirrored metal shows: a polished wear band is crisp too."""
MIRRORED = 0.15
"""Film no further than this from mirrored metal may be metal, and is when it is darker: each bounce loses light."""
ALIKE = 0.9
"""Partings that agree on this much of the film are one."""
NEAR = 12
"""Film and metal are set side by side within this part (one in so many) of the flank's height of their border."""


Start = tuple[Colour, float]
"""A way through colour, and the tone on it at which a first parting is drawn."""


@dataclass(frozen=True, slots=True, eq=False)
class ShadedSplit:
    """One parting of a flank. ``share``: 0 at local bare metal, 1 at local full film, 0.5 where they part.

    ``pigments``: those it may be, likeliest first. ``origin``, ``start``: pigment and first parting it settled from.
    ``way``: the colour change that tells film from metal best.
    ``film_colour``, ``metal_colour``: on either side of the border.
    ``rise``: step of colour across the border, within a few cells, over the play of colour inside the groups;
    shading rises slowly, so it is small there. ``beyond``: how far the film lies from metal mirrored in metal.
    """

    pigments: tuple[ShadedPigment, ...]
    origin: ShadedPigment
    start: Start
    share: Grid
    way: Colour
    film_colour: Colour
    metal_colour: Colour
    rise: float
    beyond: float

    @property
    def pigment(self) -> ShadedPigment:
        """The likeliest pigment."""
        return self.pigments[0]

    @property
    def film(self) -> Mask:
        """Where film covers the metal."""
        return np.asarray(self.share > 0.5)

    @property
    def apart(self) -> float:
        """How far film and metal lie apart for the usual play of bare metal."""
        change = self.film_colour - self.metal_colour
        return float(np.sqrt(change @ np.linalg.solve(METAL_PLAY, change))) + 1e-3

    @property
    def plainness(self) -> float:
        """How crisp and how large the step from metal to film is; bare metal seldom reaches 3 by itself."""
        return self.rise * self.apart

    @property
    def gain(self) -> float:
        """Logarithm of the film's brightness over the metal's."""
        return float(self.film_colour[2] - self.metal_colour[2])

    def unlikeliness(self, pigment: ShadedPigment) -> float:
        """How badly the colours fit a pigment on bronze; smaller is better."""
        return pigment.unlikeliness(self.film_colour, self.metal_colour)

    @property
    def present(self) -> bool:
        """Whether there is film, and not one metal in changing light or mirrored in itself."""
        mirrored = self.beyond < MIRRORED
        return self.plainness > (LEAST_PLAIN_ON_RAY if mirrored else LEAST_PLAIN) and not (mirrored and self.gain < 0)

    @property
    def merit(self) -> float:
        """How well this parting explains the flank: a plain, crisp step between likely colours."""
        return log(max(self.plainness, 1e-3)) - UNLIKELINESS_WEIGHT * self.unlikeliness(self.pigment)


def split_shaded(light: ShadedLight, pigments: Sequence[ShadedPigment]) -> list[ShadedSplit]:
    """All plausible partings into film and metal, best first; each found on a coarse grid."""
    if light.judged.mean() < 0.2:
        return []
    found: list[ShadedSplit] = []
    for start, pigment in _first_partings(light, pigments):
        split = _settle(light, start, pigment)
        if split is not None:
            found.append(_named(split, pigments))
    found.sort(key=lambda split: -split.merit)
    kept: list[ShadedSplit] = []
    for split in found:
        if not any(agreement(split, other) > ALIKE for other in kept):
            kept.append(split)
    return kept


def refine_shaded(light: ShadedLight, coarse: ShadedSplit) -> ShadedSplit | None:
    """The same split, from the same first parting, on a finer grid of the same flank; None if it does not hold."""
    split = _settle(light, coarse.start, coarse.origin)
    return None if split is None else _named(split, coarse.pigments)


def _named(split: ShadedSplit, pigments: Sequence[ShadedPigment]) -> ShadedSplit:
    return replace(split, pigments=tuple(sorted(pigments, key=split.unlikeliness)))


def _first_partings(light: ShadedLight, pigments: Sequence[ShadedPigment]) -> Iterator[tuple[Start, ShadedPigment]]:
    """First guesses of the film along every pigment's way, with and without shade; no guess twice."""
    seen: list[Mask] = []
    for pigment in pigments:
        for way in (pigment.way, unit(np.linalg.solve(METAL_PLAY, pigment.change))):
            tone = light.colours @ way
            for start in _starts(tone[light.judged], pigment.half_tone if way[2] == 0 else None):
                film = light.judged & (tone > start)
                if not any(np.count_nonzero(film ^ other) < 0.01 * film.size for other in seen):
                    seen.append(film)
                    yield (way, start), pigment


def _starts(values: NDArray[np.float32], half_tone: float | None) -> Iterator[float]:
    """First partings worth trying: of all tones, the expected one, and those of the tones above and below."""
    middle = parting(values)
    yield middle
    parts = [values[values > middle], values[values <= middle]]
    if half_tone is not None:
        yield half_tone
        parts.append(values[values > half_tone])
    for part in parts:
        if part.size > SMALLEST_GROUP * values.size:
            yield parting(part)


def _settle(light: ShadedLight, start: Start, pigment: ShadedPigment) -> ShadedSplit | None:
    """Let a first parting settle on the local colours of film and metal, and on the way that tells them apart."""
    colours, judged = light.colours, light.judged
    way = start[0]
    film = judged & (colours @ way > start[1])
    metal, share = judged & ~film, np.zeros(judged.shape, dtype=np.float32)
    for turn in range(TURNS):
        if _too_small(film, metal):
            return None
        around = local_mean(colours, film), local_mean(colours, metal)
        if turn:
            way = _better_way(colours, (film, metal), around, pigment)
        share = _share(colours @ way, (film, metal), (around[0] @ way, around[1] @ way))
        film = judged & (share > 0.5)
        metal = judged & ~film
    if _too_small(film, metal):
        return None
    inner, outer = _near_border(judged & (share > 0.75), judged & (share < 0.25))
    film_colour, metal_colour = middle_colour(colours, inner), middle_colour(colours, outer)
    play = play_inside(colours, (film, metal), (local_mean(colours, film), local_mean(colours, metal)))
    noise = float(np.sqrt(way @ (play + PLAY_PART * METAL_PLAY) @ way))
    return ShadedSplit(
        pigments=(pigment,),
        origin=pigment,
        start=start,
        share=share,
        way=way,
        film_colour=film_colour,
        metal_colour=metal_colour,
        rise=border_rise(colours @ way, film, metal) / noise,
        beyond=beyond_mirrored(_hue(film_colour), _hue(metal_colour)),
    )


def _better_way(colours: Grid, groups: tuple[Mask, Mask], around: tuple[Grid, Grid], pigment: ShadedPigment) -> Colour:
    """The way on which two groups lie furthest apart for their play, half-way to the pigment's own.

    Source: R. A. Fisher, The use of multiple measurements in taxonomic problems, Annals of Eugenics 7 (1936).
    """
    change = mean_colour(colours, groups[0]) - mean_colour(colours, groups[1])
    expected = pigment.change * float(np.linalg.norm(change) / np.linalg.norm(pigment.change))
    leaned = EXPECTED_PART * expected + (1 - EXPECTED_PART) * change
    own = unit(np.linalg.solve(play_inside(colours, groups, around) + PLAY_PART * METAL_PLAY, leaned))
    return unit(own + pigment.way)


def _too_small(film: Mask, metal: Mask) -> bool:
    return bool(min(np.count_nonzero(film), np.count_nonzero(metal)) < SMALLEST_GROUP * film.size)


def _near_border(film: Mask, metal: Mask) -> tuple[Mask, Mask]:
    """Film with metal near it and metal with film near it; all of both where they hardly meet."""
    reach = 2 * (film.shape[0] // NEAR) + 1
    kernel = np.ones((reach, reach), np.uint8)
    inner, outer = (
        one & (cv2.dilate(other.view(np.uint8), kernel) > 0) for one, other in ((film, metal), (metal, film))
    )
    return (
        (film, metal) if min(np.count_nonzero(inner), np.count_nonzero(outer)) < 0.003 * film.size else (inner, outer)
    )


def without_images(split: ShadedSplit, light: ShadedLight) -> Grid:
    """The share of film, but little of it on patches that look like the film's or the metal's mirror image.

    Those fade out where the largest patch of film ends abruptly, or lie far nearer to mirrored metal than the film.
    """
    film = np.asarray(split.film & light.judged)
    metal = np.asarray(light.judged & ~film)
    metal_colour = middle_colour(light.colours, metal)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(film.astype(np.uint8), connectivity=8)
    share = split.share.copy()
    largest = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA])) if count > 1 else 0
    abrupt = border_rise(share, np.asarray(labels == largest), metal)
    for patch in range(1, count):
        if patch == largest or stats[patch, cv2.CC_STAT_AREA] < SMALLEST_PATCH * film.size:
            continue
        members = np.asarray(labels == patch)
        near_metal = (
            beyond_mirrored(_hue(middle_colour(light.colours, members)), _hue(metal_colour))
            < MIRRORED_PART * split.beyond
        )
        if near_metal or border_rise(share, members, metal) < SOFT_PART * abrupt:
            share[members] = np.minimum(share[members], 0.2)
    return share


def agreement(first: ShadedSplit, second: ShadedSplit) -> float:
    """Overlap of two partings' films over their union."""
    one, two = first.film, second.film
    return float((one & two).sum() / max(int(np.sum(one | two)), 1))


def _share(tone: Grid, groups: tuple[Mask, Mask], around: tuple[Grid, Grid]) -> Grid:
    """Share of film between the local tones of film and metal."""
    film, metal = (cv2.mean(tone, members.view(np.uint8))[0] for members in groups)
    return share_between(tone, groups, around, film - metal)


def _hue(colour: Colour) -> tuple[float, float]:
    return float(colour[0]), float(colour[1])
