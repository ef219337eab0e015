"""Wheels whose offset is known, read with noise and estimated from the gear data alone; used by tests and benchmark.

The drawn wheels are rolled here with the thread form and oversize that each was given; the rendered ones were printed
by an independent program (rendered_wheels.json). In both the estimate is told neither.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.gearing.contact import FlankContact, roll_pair, trim_hob
from patternscan.gearing.pair import Hand, Placement, Profile, WormPair
from patternscan.judging.comparison import Comparison, PooledFlank, Target, compare_flanks
from patternscan.judging.estimate import Estimate, estimate_placement
from patternscan.measuring.interval import NINE_IN_TEN, Interval

ALONG_NOISE, COVERAGE_NOISE = 0.015, 0.03
"""Standard deviations of a reading."""
MODULES_MM = (2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0)
CLEAR_SHIFT = 0.05
"""Beyond this shared shift the sign must be right."""


@dataclass(frozen=True, slots=True)
class Wheel:
    """A wheel that was moved by a known amount, and what was read from it."""

    pair: WormPair
    toward_a_mm: float
    comparison: Comparison
    hidden: str
    """What the estimate is not told, for whoever reads a failed test."""

    @property
    def clearly_off(self) -> bool:
        """Whether the shared shift that was read is beyond CLEAR_SHIFT."""
        shared = self.comparison.shared
        return shared is not None and abs(shared.value) > CLEAR_SHIFT


@dataclass(frozen=True, slots=True)
class Recovery:
    """A wheel beside its estimate."""

    wheel: Wheel
    estimate: Estimate

    @property
    def holds(self) -> bool:
        """Whether the interval holds the true offset."""
        return self.estimate.wheel_toward_a_mm.holds(self.wheel.toward_a_mm)

    @property
    def wrong_sign(self) -> bool:
        """Whether a wheel that is clearly off is said to be off to the other side."""
        return self.wheel.clearly_off and self.estimate.wheel_toward_a_mm.value * self.wheel.toward_a_mm <= 0

    def __str__(self) -> str:
        found = self.estimate.wheel_toward_a_mm
        numbers = f"true {self.wheel.toward_a_mm:+.3f} found {found.value:+.3f} ({found.low:+.3f} to {found.high:+.3f})"
        marks = f"{' saturated' * self.estimate.saturated}{' MISSED' * (not self.holds)}{' SIGN' * self.wrong_sign}"
        return f"{numbers}{marks}; {self.wheel.hidden}"


def recover(wheels: Iterator[Wheel]) -> list[Recovery]:
    """Estimate every wheel, about three seconds each."""
    found = ((wheel, estimate_placement(wheel.comparison, wheel.pair)) for wheel in wheels)
    return [Recovery(wheel, estimate) for wheel, estimate in found if estimate is not None]


def drawn_wheels(number: int, seed: int) -> Iterator[Wheel]:
    """Random gears, errors, oversizes and films, printed by this project's own contact."""
    rng = np.random.default_rng(seed)
    for _ in range(number):
        yield _draw(rng)


def rendered_wheels(seed: int) -> Iterator[Wheel]:
    """The wheels of the independent program, with noise of reading on its prints."""
    rng = np.random.default_rng(seed)
    text = Path(__file__).with_name("rendered_wheels.json").read_text(encoding="utf-8")
    for known in json.loads(text)["wheels"]:
        pair = trim_hob(WormPair(**known["gear"] | {"hand": Hand(known["gear"]["hand"])}, hob_oversize=0.04))
        left, right = (_read(flank, known[flank.value], rng) for flank in Flank)
        yield Wheel(pair, known["wheel_toward_a_mm"], compare_flanks(left, right, Target()), "")


def read_flank_at(flank: Flank, along: float, coverage: float, doubt: float = 1.0) -> PooledFlank:
    """One reading; its intervals are honest for the noise above, ``doubt`` times wider when asked."""
    reach = NINE_IN_TEN * doubt
    return PooledFlank(
        flank=flank,
        teeth=1,
        along=Interval.around(along, ALONG_NOISE * reach),
        up=Interval.around(0.5, 0.05),
        coverage=Interval.around(coverage, COVERAGE_NOISE * reach),
        length=Interval.around(0.5, 0.1),
        height=Interval.around(0.8, 0.1),
        spread=None,
    )


def _read(flank: Flank, known: dict[str, Any], rng: np.random.Generator) -> PooledFlank:
    along = known["along"] + rng.normal(0, ALONG_NOISE)
    return read_flank_at(flank, along, max(known["coverage"] + rng.normal(0, COVERAGE_NOISE), 0.01))


def _draw(rng: np.random.Generator) -> Wheel:
    """One wheel on which both flanks print."""
    while True:
        true = _draw_pair(rng)
        placement = Placement(rng.uniform(-0.4, 0.4), rng.normal(0, 0.04), rng.normal(0, 0.03))
        film_um = rng.uniform(6, 12)
        contact = roll_pair(true, placement)
        left, right = (_printed(flank, film_um) for flank in (contact.left, contact.right))
        if left and right:
            break
    told = trim_hob(replace(true, profile=Profile.ZI, hob_oversize=0.04, hob_trim_deg=0.0))
    comparison = compare_flanks(_read(Flank.LEFT, left, rng), _read(Flank.RIGHT, right, rng), Target())
    hidden = f"film {film_um:.1f}, {placement}, {true}"
    return Wheel(told, placement.wheel_toward_a_mm, comparison, hidden)


def _draw_pair(rng: np.random.Generator) -> WormPair:
    """A possible pair; nine in ten hobs are 2 to 8 % oversize, as the estimate takes them to be."""
    while True:
        module_mm = float(rng.choice(MODULES_MM))
        diameter_mm = module_mm * rng.uniform(8, 13)
        try:
            return trim_hob(
                WormPair(
                    module_mm=module_mm,
                    starts=int(rng.integers(1, 5)),
                    teeth=int(rng.integers(29, 61)),
                    worm_diameter_mm=diameter_mm,
                    face_width_mm=rng.uniform(0.54, 0.66) * (diameter_mm + 2 * module_mm),
                    hand=Hand(rng.choice([hand.value for hand in Hand])),
                    profile=Profile(rng.choice([profile.value for profile in Profile])),
                    hob_oversize=0.04 * math.exp(rng.normal(0, math.log(2) / NINE_IN_TEN)),
                )
            )
        except WrongUse:
            continue


def _printed(contact: FlankContact, film_um: float) -> dict[str, float] | None:
    middle = contact.centroid(film_um)
    return None if middle is None else {"along": middle.along, "coverage": contact.coverage(film_um)}
