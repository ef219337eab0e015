"""What the rules of a setting job say of readings, packs and turns graded across their limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from patternscan.judging.advice import Move
from patternscan.setting.log.events import (
    Backlash,
    EccentricChange,
    EndPlay,
    ShimChange,
    ShimsFound,
)
from patternscan.setting.log.words import Shaft, ShimPlace
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.stock import parse_stock
from patternscan.setting.mechanics.shim_pack import find_pack
from patternscan.setting.rules.doubtful_entry import doubts_about
from patternscan.setting.rules.effects import effects_of
from patternscan.setting.rules.next_actions import next_actions
from patternscan.setting.state.job_state import job_state
from tests.setting.job_entries import BLANK, CENTRED, FOUND, READ, SHEET, blued, log, side_move

STOCK = parse_stock(["0.05 mm x 4", "0.12 mm x 4", "0.30 mm x 4"])


def setting_figures() -> dict[str, float]:
    """How often each action, point and pack comes up."""
    counted = Counter((*_backlash(), *_shifts(), *_packs(), *_shims(), *_turns(), *_slips()))
    return {name: float(count) for name, count in counted.items()}


def _backlash() -> Iterator[str]:
    """Backlash ever more uneven round the wheel."""
    for off in np.linspace(0, 0.2, 41):
        readings = (0.6 - float(off), 0.6, 0.6 + float(off), 0.6)
        state = job_state(log(*READ, CENTRED, Backlash(readings, 424.0)), SHEET)
        yield from (f"after backlash: {action.code}" for action in next_actions(state, SHEET))


def _shifts() -> Iterator[str]:
    """Patterns ever further off and ever more crossed, with steps ever smaller, from a sheet with shims on hand."""
    sheet = replace(SHEET, shims=replace(SHEET.shims, stock=STOCK))
    for size in np.linspace(0, 0.12, 25):
        for other in ({"opposed": blued(float(size), Move.STAY).shared}, {"step_mm": float(size)}):
            pattern = blued(0.18, Move.TOWARD_B, **other)
            near = blued(float(size), Move.TOWARD_B)
            for events in ((pattern,), (pattern, *side_move(0.05), near)):
                for action in next_actions(job_state(log(*READ, *events), sheet), sheet):
                    yield from (f"{action.code}: {point.code}" for point in action.points)


def _packs() -> Iterator[str]:
    for wanted_mm in np.linspace(0.0, 0.6, 201):
        found = find_pack(float(wanted_mm), STOCK).found
        yield "no pack" if found is None else "a pack"


def _shims() -> Iterator[str]:
    """The carriers' shims together ever less as thick as they were."""
    for more_mm in np.linspace(0, 0.03, 31):
        change = ShimChange(ShimPlace.CARRIER_A, float(more_mm), float(more_mm))
        yield from (f"after shims: {one.code}" for one in next_actions(job_state(log(*READ, change), SHEET), SHEET))


def _turns() -> Iterator[str]:
    """Carriers of ever smaller throw, turned alike and unlike."""
    for throw_mm in np.geomspace(0.001, 3, 60):
        sheet = _with_throw(float(throw_mm))
        for change in (EccentricChange(1, 1), EccentricChange(1, 0)):
            for line in effects_of(log(*FOUND, change), sheet):
                yield from (f"turned: {point.code}" for point in line)


def _with_throw(throw_mm: float) -> Sheet:
    if SHEET.eccentrics is None:
        raise ValueError("the sheet of the tests tells the throw of its carriers")
    return replace(SHEET, eccentrics=replace(SHEET.eccentrics, throw_mm=throw_mm, widest_hole=1))


def _slips() -> Iterator[str]:
    """Plays, packs and changes ever larger."""
    for mm in np.geomspace(0.05, 30, 200):
        size = float(mm)
        for event in (
            EndPlay(Shaft.WORM, size),
            ShimsFound(ShimPlace.WORM, size, size),
            ShimChange(ShimPlace.WORM, size, size),
            Backlash((0.6, size), 424.0),
        ):
            yield from (f"asked back: {one.code}" for one in doubts_about(event, log(), BLANK))
