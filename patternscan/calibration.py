"""The calibrated numbers: limits, spreads and weights that were chosen and do not follow from a definition.

Each stands beside its unit and its origin. What follows from definitions, physics and standards, and the sizes of grids
and pictures, stand where they are used. ``pytest -m study tests/study`` changes each number by a third, and some figure
must move.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated


@dataclass(frozen=True, slots=True)
class Origin:
    """What a number was chosen on, how many independent scenes that is (two photographs of one scene are one; 0: none,
    the trade's experience or our judgement), and the command that gives its figures again, with NAME for the number.
    """

    chosen_on: str
    scenes: int
    command: str = "python tests/study/scan.py NAME"


@dataclass(frozen=True, slots=True)
class Chosen:
    """Beside a number: the unit it is in, and where it comes from."""

    unit: str
    origin: Origin


TRADE = Origin("common practice of the trade", 0)
JUDGED = Origin("own judgement, seen to matter on the study's cases", 0)
PHOTOGRAPHS = Origin("the 34 rendered photographs of dev", 17)
RELIT = Origin("the 34 rendered photographs of dev, each also under four other lamps", 17)
VEILED = Origin("photographs of dev of which veiling glare hides a fifth to a third", 17)
REPAINTED = Origin("1300 paintings of the flanks of dev", 17, "python tests/benchmarks/repaint.py")
SETS_13 = Origin("own simulation of 13 gear sets", 13)
PAIRS_140 = Origin("140 random pairs rolled with true and with guessed thread form and trim", 140)
DRAWN = Origin("own simulation of 453 misaligned pairs; drawn wheels read with noise", 453)

# Measuring: numbers from contact maps.

BORDER_UNCERTAINTY: Annotated[float, Chosen("face widths, flank heights, flank areas", RELIT)] = 0.011
"""Standard deviation of centroid and coverage because a pattern fades out and smears unevenly at its two borders;
9 in 10 intervals are to hold the truth."""
UNJUDGED_SHARE: Annotated[float, Chosen("part", VEILED)] = 0.8
"""How much of what cannot be judged may carry contact, all of it on one side of the centroid."""
UNJUDGED_LIKE_SEEN: Annotated[float, Chosen("part", VEILED)] = 0.5
"""What cannot be judged is taken to carry this much of the contact that a part as large of the rest carries: it lies
mostly at the flank's border, where contact is rarer."""
FADING_ALONG: Annotated[float, Chosen("face widths", PHOTOGRAPHS)] = 0.07
FADING_UP: Annotated[float, Chosen("flank heights", PHOTOGRAPHS)] = 0.04
"""Standard deviations of length and height because a pattern runs out in thin tails that print faintly."""
SPECK: Annotated[float, Chosen("part of a column or row", PHOTOGRAPHS)] = 0.02
"""A column or row counts to length or height when contact fills at least this part of it."""
MISPLACED_AT_IOU: Annotated[tuple[float, ...], Chosen("expected IoU", REPAINTED)] = (0.65, 0.75, 0.85)
MISPLACED: Annotated[tuple[float, ...], Chosen("face widths, flank heights", REPAINTED)] = (0.25, 0.06, 0.0)
"""How far from the truth a centroid lies in 1 of 10 cases, by the overlap that is expected of the contact; measured
with an earlier net, with that of now 9 in 10 intervals and more hold the truth."""
AGREEMENT_RAMP: Annotated[tuple[float, float], Chosen("IoU", REPAINTED)] = (0.5, 0.7)
"""Between these overlaps two ways that differ turn evenly into two that agree. As with a jump at 0.6, the intervals of
98 in 100 of 355 painted flanks and of 104 in 105 readings of rendered photographs hold the truth."""
LEAST_IOU: Annotated[tuple[float, float], Chosen("expected IoU", REPAINTED)] = (0.65, 0.8)
MOST_IOU: Annotated[tuple[float, float], Chosen("expected IoU", REPAINTED)] = (0.72, 0.85)
"""What is expected of contact counts as no less and no more than this, where two ways differ and where they agree."""

# Judging: opinions from numbers. Shifts are positive toward end B.

SMALLEST_SHIFT: Annotated[float, Chosen("face widths", DRAWN)] = 0.04
"""Below this shared shift no move is advised. Acting beyond 5 % with a reading noise of 5 % per flank is right in
99.5 % of the cases; 2 % is never worth a move."""
CENTRED_WITHIN: Annotated[float, Chosen("face widths", TRADE)] = 0.06
"""The wheel may stay when the whole interval of the shared shift lies within this of the target."""
CROSSED_BEYOND: Annotated[float, Chosen("face widths", TRADE)] = 0.06
"""Opposed shift from which the two flanks count as pulled to opposite ends."""
NEAR_END: Annotated[float, Chosen("face widths", TRADE)] = 0.15
"""A centroid this near to an end, or nearer, comes from a pattern cut off by the end."""
LINE_HEIGHT: Annotated[float, Chosen("flank heights", TRADE)] = 0.25
"""A pattern lower than this that hugs tip or root is a line, not a patch."""
NEAR_TIP_OR_ROOT: Annotated[float, Chosen("flank heights", TRADE)] = 0.2
"""A centroid within this from tip or root hugs it."""
UNEVEN_TEETH: Annotated[float, Chosen("face widths", TRADE)] = 0.10
"""Difference between the centroids of teeth on one flank from which the wheel itself is suspect."""
TOO_MUCH_MARKED: Annotated[float, Chosen("flank areas", SETS_13)] = 0.75
"""Beyond this coverage the pattern hardly moves with the wheel."""
SAME_WITHIN: Annotated[float, Chosen("part", JUDGED)] = 0.005
"""Gear data that differ by less than this part count as the same, measured twice."""

# Judging: steps in mm.

PART_OF_MOVE: Annotated[float, Chosen("part", SETS_13)] = 0.5
"""Part of the estimated offset that is proposed as a first step: the response flattens outward, so a whole step taken
from one reading overshoots (the true step was 0.24 to 0.57 of the one drawn from one side)."""
PART_OF_SECANT: Annotated[float, Chosen("part", SETS_13)] = 0.5
"""Part of the step through two trials that is taken while all trials lie on one side, for the same reason."""
TIGHT_ENOUGH: Annotated[float, Chosen("ratio", JUDGED)] = 3.0
"""Largest over least offset that fits the reading, up to which an amount is worth saying."""
SMALLEST_STEP_MM: Annotated[float, Chosen("mm", TRADE)] = 0.025
"""Below the thinnest shim (0.001 in) no amount is proposed."""
LARGEST_STEP_MM: Annotated[float, Chosen("mm", TRADE)] = 0.25
"""No more is proposed on one reading."""
FIRST_STEP_MM: Annotated[float, Chosen("mm", TRADE)] = 0.05
"""The first step where the gear data bear out none, 0.002 in. Two circles r and r + d apart by e touch at the angle
e / d, so a hob 2 % oversize magnifies a wheel shift about fifty times: 0.05 mm may move the pattern by 2.5 mm."""
TRIALS_WITHOUT_GAIN: Annotated[int, Chosen("trials", TRADE)] = 3
"""So many trials in a row that brought nothing end the shimming."""
SAME_PACK_MM: Annotated[float, Chosen("mm", TRADE)] = 0.005
"""Packs that differ by no more are the same pack: half of what a workshop micrometer can tell apart."""

# Judging: what the estimate from gear data takes for usual, and how far it trusts the computed print.

USUAL_OVERSIZE: Annotated[float, Chosen("worm diameters", TRADE)] = 0.04
OVERSIZE_FACTOR: Annotated[float, Chosen("ratio", TRADE)] = 2.0
"""Nine in ten hobs for hoisting wheels are taken to be 2 to 8 % larger than their worm."""
SMALLEST_OVERSIZE: Annotated[float, Chosen("worm diameters", JUDGED)] = 0.005
"""With a hob as large as the worm the whole flank touches and no place of the pattern tells an offset."""
USUAL_FILM_UM: Annotated[float, Chosen("um", TRADE)] = 8.5
FILM_FACTOR: Annotated[float, Chosen("ratio", TRADE)] = 1.6
"""Nine in ten films of compound are taken to be 5 to 14 um thick."""
USUAL_OFFSET_MM: Annotated[float, Chosen("mm", TRADE)] = 0.5
"""Standard deviation of a wheel's offset after a rebuild: tenths of a millimetre."""
USUAL_TURN_DEG: Annotated[float, Chosen("degrees", TRADE)] = 0.08
"""Standard deviation of a turn of the worm's axis, or of what a centre error does like it."""
PLACE_MISFIT: Annotated[tuple[float, ...], Chosen("face widths, for 1, 2, 3, 4 starts", PAIRS_140)] = (
    0.01,
    0.015,
    0.04,
    0.04,
)
"""Standard deviation between computed and true centroid: what thread form and trim, which nobody knows, may change."""
COVERAGE_MISFIT: Annotated[float, Chosen("flank areas", PAIRS_140)] = 0.02
COVERAGE_MISFIT_PART: Annotated[tuple[float, ...], Chosen("part of the coverage, for 1, 2, 3, 4 starts", PAIRS_140)] = (
    0.1,
    0.15,
    0.4,
    0.4,
)
"""The same for coverage: a fixed part, because a film is never even, and one in proportion."""
SOFT_EDGE: Annotated[float, Chosen("part of the film", JUDGED)] = 0.08
"""Softness of a computed print's edge, which makes its numbers smooth."""
