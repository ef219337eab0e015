"""Logs of invented jobs for the tests."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

from patternscan.frame import Compound, End, Marking
from patternscan.judging.advice import Move, ShimRule
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import (
    Accepted,
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EccentricsFound,
    EndPlay,
    Event,
    LostMotion,
    Measured,
    Note,
    Oil,
    PackPieces,
    PartNumber,
    Pattern,
    Replaced,
    Replied,
    Secured,
    ShimChange,
    ShimsFound,
    SignOff,
    Struck,
    TeethPhotographed,
    Torque,
)
from patternscan.setting.log.pattern_parts import FlankPrint
from patternscan.setting.log.replies import QUESTIONS, REPLIES, AskedBack
from patternscan.setting.log.words import (
    Bolts,
    Geometry,
    Height,
    Joint,
    Occasion,
    OilWork,
    Part,
    Reply,
    Shaft,
    ShimPlace,
)
from patternscan.setting.machine.sheet import Dial, Eccentrics, Gear, Limit, Limits, Sheet, SideShims
from patternscan.setting.machine.stock import Shims

BEGIN = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
SHEET = Sheet(
    machine="North shaft",
    gear=Gear(module_mm=8.0, starts=2, teeth=53, worm_diameter_mm=80.0, face_width_mm=62.0, hand="right"),
    shims=SideShims(carrier=End.A, rule=ShimRule(End.A, End.B), thickest_mm=3.0),
    eccentrics=Eccentrics(holes=24, throw_mm=3.0, span_mm=300.0, more_backlash=1),
    dial=Dial(radius_mm=424.0, positions=4),
    limits=Limits(Limit(0.08, 0.13), Limit(0.05, 0.20), Limit(0.20, 0.40), outboard_alignment_mm=0.05),
)
"""Pitch radius 8 x 53 / 2 = 212 mm, half of the dial's radius: readings halve."""
BLANK = Sheet()


def log(*events: Event) -> tuple[Entry, ...]:
    """The events as entries of a log, one every ten minutes."""
    return tuple(
        Entry(number, BEGIN + timedelta(minutes=10 * number), "R. Moss", event)
        for number, event in enumerate(events, 1)
    )


def blued(shared: float | None, move: Move, **other: object) -> Pattern:
    """A trial's pattern of three teeth a flank, doubtful by 2 % of the face width; its photos are not named."""
    place = Interval.around(0.5, 0.02)
    flank = FlankPrint(3, place, place, place, place, place)
    values: dict[str, object] = {
        "occasion": Occasion.TRIAL,
        "move": move,
        "step_mm": None,
        "shared": None if shared is None else Interval.around(shared, 0.02),
        "opposed": None if shared is None else Interval.around(0.0, 0.02),
        "left": flank,
        "right": flank,
        "target": Target(),
        "marking": Marking.TRANSFER,
        "compounds": (Compound.BLUE,),
        "film": "thin",
        "grave": (),
        "photos": (),
        "folder": None,
        "tool": "patternscan 0",
    }
    return Pattern(**{**values, **other})  # type: ignore[arg-type]


AS_FOUND_PATTERN = blued(0.2, Move.TOWARD_B, occasion=Occasion.AS_FOUND)
CENTRED = blued(0.01, Move.STAY)
HEAVY_AT_B = blued(0.18, Move.TOWARD_B)
HEAVY_AT_A = blued(-0.18, Move.TOWARD_A)
WORM_PLAY, WHEEL_PLAY = EndPlay(Shaft.WORM, 0.10), EndPlay(Shaft.WHEEL, 0.12)
BACKLASH = Backlash((0.60, 0.62, 0.58, 0.60), 424.0)
IN_LINE = Alignment(0.02)
FOUND = (
    ShimsFound(ShimPlace.CARRIER_A, 0.60, 0.60),
    ShimsFound(ShimPlace.CARRIER_B, 0.40, 0.40),
    ShimsFound(ShimPlace.WORM, 0.30, 0.30),
    ShimsFound(ShimPlace.OUTBOARD, 0.20, 0.20),
    EccentricsFound(5, 5),
    AS_FOUND_PATTERN,
    PackPieces(ShimPlace.OUTBOARD, Bolts.ALL, (Shims(0.2, 1),)),
    Secured("R. Moss"),
)
READ = (*FOUND, Replaced(Part.WHEEL), WORM_PLAY, WHEEL_PLAY, IN_LINE)


def side_move(toward_b_mm: float) -> tuple[ShimChange, ShimChange]:
    """Shims taken from the carrier at B and put under the one at A, which moves this wheel toward B."""
    return (
        ShimChange(ShimPlace.CARRIER_A, toward_b_mm, toward_b_mm),
        ShimChange(ShimPlace.CARRIER_B, -toward_b_mm, -toward_b_mm),
    )


ASKING = tuple(AskedBack(code, f"Is it so ({code})?") for code in REPLIES)
"""Everything that a pattern can ask back."""
_mm = st.sampled_from([-0.2, -0.1, -0.05, 0.0, 0.05, 0.1, 0.2, 0.3])
_hole = st.integers(-3, 3)
_shared = st.sampled_from([-0.3, -0.18, -0.05, 0.0, 0.01, 0.05, 0.18, 0.3])
events: st.SearchStrategy[Event] = st.one_of(
    st.builds(ShimsFound, st.sampled_from(ShimPlace), _mm, _mm),
    st.builds(lambda place, mm: ShimChange(place, mm, mm), st.sampled_from(ShimPlace), _mm),
    st.builds(ShimChange, st.sampled_from(ShimPlace), _mm, _mm),
    st.builds(EccentricsFound, st.integers(1, 24), st.integers(1, 24)),
    st.builds(EccentricsFound, st.just(4), st.just(4)),
    st.builds(EccentricChange, _hole, _hole),
    st.builds(EndPlay, st.sampled_from(Shaft), st.sampled_from([0.0, 0.1, 0.12, 0.5])),
    st.builds(Backlash, st.lists(st.sampled_from([0.0, 0.6, 2.0]), max_size=5).map(tuple), st.sampled_from([0.0, 424])),
    st.builds(LostMotion, st.lists(st.sampled_from([0.0, 2.0, 10.0]), max_size=5).map(tuple)),
    st.builds(
        Alignment, st.sampled_from([0.0, 0.02, 0.5]), st.sampled_from([None, *Height]), st.sampled_from([None, *End])
    ),
    st.builds(Measured, st.sampled_from(Geometry), st.sampled_from([0.0, 0.03, 126.0])),
    st.builds(Accepted, st.sampled_from(Geometry), st.just("R. Moss")),
    st.builds(Secured, st.just("R. Moss")),
    st.builds(PackPieces, st.sampled_from(ShimPlace), st.sampled_from(Bolts), st.just((Shims(0.1, 2),))),
    st.builds(PartNumber, st.sampled_from(Part), st.just("W-46")),
    st.builds(Oil, st.sampled_from(OilWork)),
    st.builds(Torque, st.sampled_from(Joint), st.just(45.0)),
    st.builds(TeethPhotographed, st.just((1, 16, 31))),
    st.builds(Replaced, st.sampled_from(Part)),
    st.builds(blued, _shared, st.sampled_from(Move), occasion=st.sampled_from(Occasion)),
    st.builds(blued, st.none(), st.just(Move.CANNOT_SAY), left=st.none()),
    st.just(CENTRED),
    st.just(Closed()),
    st.just(Note("Oil drained.")),
    st.just(SignOff("R. Moss")),
    st.builds(blued, _shared, st.sampled_from(Move), occasion=st.sampled_from(Occasion), asked=st.just(ASKING)),
    st.builds(
        lambda entry, reply: Replied(entry, QUESTIONS[reply], reply, "R. Moss"),
        st.integers(1, 12),
        st.sampled_from(Reply),
    ),
    st.builds(Struck, st.integers(1, 12), st.just("wrong tooth")),
)
"""Any event at all."""
sheets = st.sampled_from([SHEET, BLANK])
