"""Judging: opinions from numbers. Shifts are positive toward end B."""

from __future__ import annotations

from typing import Annotated

from patternscan.calibration.origin import DRAWN, FOUND_PAIRS, JUDGED, LOOPS, PAIRS_140, SETS_13, TEETH, TRADE, Chosen

SMALLEST_SHIFT: Annotated[float, Chosen("face widths", DRAWN)] = 0.04
"""Below this shared shift no move is advised. Acting beyond 5 % with a reading noise of 5 % per flank is right in
99.5 % of the cases; 2 % is never worth a move."""
CENTRED_WITHIN: Annotated[float, Chosen("face widths", TRADE)] = 0.06
"""The wheel may stay when the whole interval of the shared shift lies within this of the target."""
CROSSED_BEYOND: Annotated[float, Chosen("face widths", TRADE)] = 0.06
"""Opposed shift from which the two flanks count as pulled to opposite ends."""
FAR_OFF: Annotated[float, Chosen("face widths", DRAWN)] = 0.10
"""Shared shift from which on a crossing cannot be told yet: of 11 machines crossed by 6 % or more that far off, 3 still
were once centred, and of 10 crossed once centred 3 had shown it."""
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

# What is of two wheels. Slenderness is face width over height, as outlines alone fit it.

UNLIKE_TEETH: Annotated[float, Chosen("slenderness", TEETH)] = 0.2
"""Difference (mean of both flanks) beyond which the teeth of two visits are of two wheels: before and after on one
machine of dev, each clicked five times, it was 0.17 at most; clicked without care more than this in 5 of 100, who are
asked for the sheet or a better outline. Of two machines 54 of 100 differ by more."""
UNLIKE_FLANKS: Annotated[float, Chosen("slenderness", TEETH)] = 0.4
"""Difference from which two flanks are of two wheels. Of one flank of dev, clicked again and again, it was 0.24 at
most, clicked without care 0.43 in one of 235; all pairs of a throated and a straight rim differ by more, few others
do."""
LOOSE_RMS: Annotated[float, Chosen("face widths", FOUND_PAIRS)] = 0.0068
"""Misfit of found outlines to the gear data, over all teeth of both flanks, from which the sheet is another wheel's.
With their own sheets 16 pairs of dev, rims and port had 0.0059 at most, and of any two of their 94 flanks 6 in 1000
more than this; of 14 sheets with a wrong width or module that no flank told alone it tells 12."""

# Steps in mm.

PART_OF_MOVE: Annotated[float, Chosen("part", LOOPS)] = 0.6
"""Part of the estimated offset that is proposed as a first step, and never more than the least that fits: a half takes
2.4 shim changes on average, this 2.2, and passes the middle in 13 jobs of 49 as against 17. On 90 wheels that it was
not chosen on a half takes 2.3 (nine in ten within 3) and passes the middle in 19, this 1.9 (within 3) and in 17."""
PART_OF_SECANT: Annotated[float, Chosen("part", SETS_13)] = 0.5
"""Part of the step through two trials that is taken while all trials lie on one side, for the same reason."""
TIGHT_ENOUGH: Annotated[float, Chosen("ratio", JUDGED)] = 3.0
"""Largest over least offset that fits the reading, up to which an amount is worth saying."""
SMALLEST_STEP_MM: Annotated[float, Chosen("mm", TRADE)] = 0.025
"""Below the thinnest shim (0.001 in) no amount is proposed."""
LARGEST_STEP_MM: Annotated[float, Chosen("mm", TRADE)] = 0.25
"""No more is proposed on one reading without gear data."""
FIRST_STEP_BY_FACE: Annotated[float, Chosen("mm of shims for a mm of shift", LOOPS)] = 0.015
"""The first step for a known face width, between the least of FIRST_STEPS_MM and LARGEST_STEP_MM: two circles r and
r + d apart by e touch at the angle e / d, so a hob of which the radius is 1.5 % larger magnifies a wheel's shift about
seventy times. It seldom passes the middle."""
FIRST_STEPS_MM: Annotated[tuple[float, ...], Chosen("mm", LOOPS)] = (0.05, 0.10, 0.15)
FIRST_STEPS_FROM: Annotated[tuple[float, ...], Chosen("face widths", LOOPS)] = (0.15, 0.25)
"""The first step where neither gear data nor face width tell more, and the shifts from which on it is larger."""
LARGEST_BLIND_MM: Annotated[float, Chosen("mm", LOOPS)] = 0.10
"""The first step is no larger where nobody knows which way a shim moves the wheel."""
TIMES_LARGEST_CHANGE: Annotated[float, Chosen("ratio", LOOPS)] = 3.0
LARGEST_CHANGE_MM: Annotated[float, Chosen("mm", LOOPS)] = 0.5
"""No later step is more times the largest change so far, or thicker."""
NO_GAIN_MM: Annotated[float, Chosen("mm", LOOPS)] = 0.3
"""Shims changed by this in all that moved nothing, while no flank ran off, end the shimming: a pattern that runs off
hardly moves for the first 0.2 to 0.3 mm."""
SAME_PACK_MM: Annotated[float, Chosen("mm", TRADE)] = 0.005
"""Packs that differ by no more are the same pack: half of what a workshop micrometer can tell apart."""

# What the estimate from gear data takes for usual, and how far it trusts the computed print.

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
