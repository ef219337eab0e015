"""For each rule of the trade an invented job in which it applies."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from msgspec import structs

from patternscan.judging.advice import Move
from patternscan.judging.comparison import Target, shared_shift
from patternscan.measuring.interval import Interval
from patternscan.setting.log.events import (
    Accepted,
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EccentricsFound,
    EndPlay,
    Event,
    Measured,
    Pattern,
    Replaced,
    Replied,
    ShimChange,
    ShimsFound,
    SignOff,
    Struck,
)
from patternscan.setting.log.pattern_parts import FlankPrint, PhotoLink
from patternscan.setting.log.replies import AskedBack
from patternscan.setting.log.words import (
    Geometry,
    Occasion,
    Part,
    Reply,
    Shaft,
    ShimPlace,
)
from patternscan.setting.machine.sheet import Gear, Limits, Sheet
from patternscan.setting.machine.stock import parse_stock
from patternscan.setting.rules.action import Action
from patternscan.setting.rules.next_actions import next_actions
from patternscan.setting.state.job_state import job_state
from tests.setting.job_entries import (
    BACKLASH,
    BLANK,
    CENTRED,
    FOUND,
    HEAVY_AT_A,
    HEAVY_AT_B,
    IN_LINE,
    READ,
    SHEET,
    WHEEL_PLAY,
    WORM_PLAY,
    blued,
    log,
    side_move,
)

APART = (*FOUND, Replaced(Part.WHEEL))
CROSSED = Interval.around(0.15, 0.03)
SETTLED = (Measured(Geometry.SQUARENESS, 0.03), Accepted(Geometry.CENTRE_DISTANCE, "R. Moss"))
READY = (*READ, CENTRED, BACKLASH)
CHECKED = (*READY, Closed(), CENTRED, BACKLASH)
NEAR_B = blued(0.09, Move.TOWARD_B)
BARE = AskedBack("bare-to-end", "Left flank: it is bare up to end B. Was it painted?")
ASKED = blued(0.18, Move.TOWARD_B, asked=(BARE,))
UNPAINTED = Replied(len(READ) + 1, "bare-to-end", Reply.NEVER_PAINTED, "R. Moss")
OF_MAKER = structs.replace(UNPAINTED, entry=1)
UNANSWERED = (*READY, Closed(), structs.replace(CENTRED, asked=(BARE,)), BACKLASH, SignOff("R. Moss"))
"""Signed off by a pattern that asks something."""
FELL_SINCE: tuple[Event, ...] = (
    *READY,
    Closed(),
    CENTRED,
    *UNANSWERED[-3:],
    structs.replace(UNPAINTED, entry=len(UNANSWERED) - 1),
)
"""The pattern by which it was signed off does not stand, and the one before it counts again."""
ON_FILM = structs.replace(HEAVY_AT_B, photos=(PhotoLink("a.jpg", "a" * 64), PhotoLink("b.jpg", "b" * 64)))
MIDDLE = Target()


def placed(along: float, move: Move, target: Target = MIDDLE, **other: object) -> Pattern:
    """A pattern whose flanks both lie there, held against a target."""
    at = Interval.around(along, 0.02)
    flank = FlankPrint(3, at, at, at, at, at)
    shared = shared_shift(at, at, target)
    return structs.replace(blued(0.0, move, left=flank, right=flank, target=target, **other), shared=shared)


MAKER = placed(0.6, Move.CANNOT_SAY, occasion=Occasion.MAKER)
AT_MAKER = Target(0.6, 0.6, 0.02, 0.02, "01")
HELD = (MAKER, *READ, placed(0.68, Move.TOWARD_B, AT_MAKER), *side_move(0.05), placed(0.64, Move.TOWARD_B, AT_MAKER))
"""Two trials held against the maker's pattern, entry 1."""
UNMOVED = tuple(event for mm in (0.05, 0.1, 0.15) for event in (*side_move(mm), HEAVY_AT_B))


def actions_after(*happened: Event, sheet: Sheet = SHEET) -> tuple[Action, ...]:
    return next_actions(job_state(log(*happened), sheet), sheet)


def codes_after(*happened: Event, sheet: Sheet = SHEET) -> set[str]:
    return {action.code for action in actions_after(*happened, sheet=sheet)}


def first_after(*happened: Event, sheet: Sheet = SHEET) -> str:
    return actions_after(*happened, sheet=sheet)[0].code


def holding(alone: bool | None) -> Sheet:
    return replace(SHEET, shims=replace(SHEET.shims, alone=alone))


def carriers(**known: Any) -> Sheet:
    assert SHEET.eccentrics is not None
    return replace(SHEET, eccentrics=replace(SHEET.eccentrics, **known))


NO_LIMITS = replace(SHEET, limits=Limits())
NO_GEAR = replace(SHEET, gear=Gear())
THICK_ONLY = replace(SHEET, shims=replace(SHEET.shims, stock=parse_stock(["0.10 mm x 4"])))

APPLIES: dict[str, tuple[tuple[Event, ...], Sheet]] = {
    "secure": ((), SHEET),
    "before-strip-down": ((), SHEET),
    "shims-elsewhere": ((FOUND[0],), SHEET),
    "not-noted": (side_move(0.1), SHEET),
    "eccentrics-unlike": ((EccentricsFound(5, 5), EccentricChange(1, 0)), SHEET),
    "eccentrics-found-unlike": ((EccentricsFound(5, 6),), SHEET),
    "bolts-unlike": ((ShimsFound(ShimPlace.CARRIER_B, 0.4, 0.5),), SHEET),
    "unequal-turn": ((*READY, EccentricChange(1, 0)), SHEET),
    "several-holes": ((*READY, EccentricChange(2, 2)), SHEET),
    "impossible-shims": ((*FOUND, ShimChange(ShimPlace.WORM, -0.5, -0.5)), SHEET),
    "worm-end-play-missing": (APART, SHEET),
    "worm-end-play-void": ((*READ, ShimChange(ShimPlace.WORM, 0.05, 0.05)), SHEET),
    "worm-end-play-beyond": ((*FOUND, EndPlay(Shaft.WORM, 0.3)), SHEET),
    "worm-end-play-within": ((*FOUND, WORM_PLAY), SHEET),
    "wheel-end-play-missing": (APART, SHEET),
    "wheel-end-play-void": ((*READ, ShimChange(ShimPlace.CARRIER_A, 0.05, 0.05)), SHEET),
    "wheel-end-play-beyond": ((*FOUND, EndPlay(Shaft.WHEEL, 0.01)), SHEET),
    "wheel-end-play-within": ((*FOUND, WHEEL_PLAY), SHEET),
    "outboard-alignment-missing": (APART, SHEET),
    "outboard-alignment-void": ((*READ, EccentricChange(1, 1)), SHEET),
    "outboard-alignment-beyond": ((*FOUND, Alignment(0.1)), SHEET),
    "outboard-alignment-within": ((*FOUND, IN_LINE), SHEET),
    "pattern-missing": (READ, SHEET),
    "pattern-void": ((*READ, CENTRED, *side_move(0.1)), SHEET),
    "pattern-reference-gone": ((*HELD, Struck(1, "print of another machine")), SHEET),
    "pattern-incomplete": ((*READ, blued(None, Move.CANNOT_SAY, right=None)), SHEET),
    "pattern-old-photos": ((*READ, ON_FILM, *side_move(0.05), ON_FILM), SHEET),
    "pattern-poor": ((*READ, blued(0.18, Move.CANNOT_SAY, grave=("Too dark.",))), SHEET),
    "pattern-asked": ((*READ, ASKED), SHEET),
    "pattern-disowned": ((*READ, ASKED, UNPAINTED), SHEET),
    "maker-elsewhere": ((structs.replace(HEAVY_AT_B, occasion=Occasion.MAKER), *READ, NEAR_B), SHEET),
    "maker-disowned": ((structs.replace(ASKED, occasion=Occasion.MAKER), *READ, OF_MAKER), SHEET),
    "counts-again": ((*READ, NEAR_B, ASKED, structs.replace(UNPAINTED, entry=len(READ) + 2)), SHEET),
    "trials-asked": ((*READ, ASKED, *side_move(0.05), NEAR_B), SHEET),
    "pattern-unclear": ((*READ, blued(0.05, Move.CANNOT_SAY)), SHEET),
    "crossed": ((*READ, blued(0.0, Move.NOT_BY_SHIM, opposed=CROSSED)), SHEET),
    "crossed-early": ((*READ, blued(0.18, Move.TOWARD_B, opposed=CROSSED)), SHEET),
    "crossed-settled": ((*READ, *SETTLED, blued(0.0, Move.NOT_BY_SHIM, opposed=CROSSED)), SHEET),
    "stop-asked": ((*READ, ASKED, *side_move(0.05), blued(0.3, Move.TOWARD_B)), SHEET),
    "stop-wrong-way": ((*READ, HEAVY_AT_B, *side_move(0.05), blued(0.3, Move.TOWARD_B)), SHEET),
    "stop-no-gain": ((*READ, HEAVY_AT_B, *UNMOVED), SHEET),
    "read-apart": ((*READ, HEAVY_AT_B, HEAVY_AT_A), SHEET),
    "stop-too-far": ((*READ, HEAVY_AT_B, *side_move(0.01), HEAVY_AT_A), SHEET),
    "shim-step": ((*READ, HEAVY_AT_B), SHEET),
    "near-enough": ((*READ, HEAVY_AT_B, *side_move(0.1), blued(0.05, Move.TOWARD_B)), THICK_ONLY),
    "shim-effect": ((*READ, HEAVY_AT_B, *side_move(0.05), NEAR_B), SHEET),
    "wrong-way-yet-centred": ((*READ, HEAVY_AT_A, *side_move(0.05), CENTRED), SHEET),
    "pattern-centred": ((*READ, CENTRED), SHEET),
    "backlash-missing": (READ, SHEET),
    "backlash-void": ((*READY, *side_move(0.1)), SHEET),
    "backlash-places": ((*READ, CENTRED, Backlash((0.6, 0.6), 424.0)), SHEET),
    "backlash-no-number": (READY, NO_GEAR),
    "backlash-beyond": ((*READ, CENTRED, Backlash((1.0, 1.0, 1.0, 1.0), 424.0)), SHEET),
    "backlash-within": (READY, SHEET),
    "backlash-none": ((*READ, CENTRED, Backlash((0.0, 0.6, 0.6, 0.6), 424.0)), NO_LIMITS),
    "backlash-uneven": ((*READ, CENTRED, Backlash((0.5, 0.6, 0.7, 0.6), 424.0)), SHEET),
    "outboard-unseen": ((EccentricChange(1, 1),), BLANK),
    "limits-missing": (READY, NO_LIMITS),
    "close-up": (READY, SHEET),
    "sign-off": (CHECKED, SHEET),
    "signed-off": ((*CHECKED, SignOff("R. Moss")), SHEET),
    "not-answered": (UNANSWERED, SHEET),
    "fell-since": (FELL_SINCE, SHEET),
    "still-open": ((*READY, SignOff("R. Moss")), SHEET),
    "land-the-load": ((), SHEET),
}
"""For each rule a job in which it applies."""


def points_of(code: str, *happened: Event, sheet: Sheet = SHEET) -> dict[str, dict[str, Any]]:
    """What the action of that rule says, each point's values by its code."""
    action = next(action for action in actions_after(*happened, sheet=sheet) if action.code == code)
    return {point.code: dict(point.values) for point in action.points}
