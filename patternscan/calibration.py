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
SPOILED = Origin("photographs of dev, as they are and spoiled by degrees", 17)
COVERED = Origin("47 rendered flanks, as they are and with covers painted before them", 17)
SETS_13 = Origin("own simulation of 13 gear sets", 13)
PAIRS_140 = Origin("140 random pairs rolled with true and with guessed thread form and trim", 140)
DRAWN = Origin("own simulation of 453 misaligned pairs; drawn wheels read with noise", 453)
LOOPS = Origin("jobs on 70 simulated wheels, random in all", 70, "python tests/study/closed_loop.py")

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

# Judging: steps in mm.

PART_OF_MOVE: Annotated[float, Chosen("part", LOOPS)] = 0.6
"""Part of the estimated offset that is proposed as a first step, and never more than the least that fits: a half takes
2.4 shim changes on average, this 2.2, and passes the middle in 13 jobs of 49 as against 17."""
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

# Quality: where the camera stood and how still it was held.

BLUR_DOUBTFUL: Annotated[float, Chosen("flank heights", SPOILED)] = 0.07
BLUR_HOPELESS: Annotated[float, Chosen("flank heights", SPOILED)] = 0.12
"""Blur (standard deviation). Rendered photos read 0.02 to 0.057 when in focus; blurred by 0.08 of the height they read
0.07 to 0.10, by 0.3 they read 0.12 to 0.23."""
SMALL_WIDTH_PX: Annotated[float, Chosen("px", JUDGED)] = 200.0
SMALL_HEIGHT_PX: Annotated[float, Chosen("px", JUDGED)] = 40.0
HOPELESS_HEIGHT_PX: Annotated[float, Chosen("px", JUDGED)] = 12.0
"""Below these sizes the flank is small in the photo, and too small."""
FLAT_DOUBTFUL: Annotated[float, Chosen("height over width", PHOTOGRAPHS)] = 0.16
FLAT_HOPELESS: Annotated[float, Chosen("height over width", PHOTOGRAPHS)] = 0.07
"""Mean height of the flank over its width as seen; 0.18 to 0.31 when the camera stands within 55 degrees of square."""
UNEVEN_DOUBTFUL: Annotated[float, Chosen("ratio", PHOTOGRAPHS)] = 0.4
"""Smallest over largest height of the flank along its width as seen; above 0.5 when seen from near the middle."""
OUTSIDE_DOUBTFUL: Annotated[float, Chosen("flank areas", JUDGED)] = 0.02
OUTSIDE_HOPELESS: Annotated[float, Chosen("flank areas", JUDGED)] = 0.15
"""Part of the flank outside the photo."""
BORDER_PX: Annotated[float, Chosen("px", JUDGED)] = 2.0
"""An outline edge that runs this close to the border of the photo is not the flank's own edge."""

# Quality: light. Levels are those of 8-bit sRGB.

BLOWN: Annotated[int, Chosen("level", JUDGED)] = 250
BLOWN_DOUBTFUL: Annotated[float, Chosen("part of what is seen", SPOILED)] = 0.12
"""A cell is blown out when its brightest colour channel reaches this level."""
WHITE: Annotated[int, Chosen("level", JUDGED)] = 245
WHITE_DOUBTFUL: Annotated[float, Chosen("part of what is seen", SPOILED)] = 0.015
"""A cell shines white when its darkest colour channel reaches this level."""
SHINING: Annotated[int, Chosen("level", VEILED)] = 100
SHINE_DOUBTFUL: Annotated[float, Chosen("flank areas", VEILED)] = 0.04
SHINE_HOPELESS: Annotated[float, Chosen("flank areas", VEILED)] = 0.25
"""What cannot be read, although its brightest channel reaches this level, is hidden by glare, not by the dark."""
DARK_DOUBTFUL: Annotated[int, Chosen("level", SPOILED)] = 55
DARK_HOPELESS: Annotated[int, Chosen("level", SPOILED)] = 16
"""Median of the brightest colour channel on the flank; well lit flanks lie between 70 and 210."""
BLACK: Annotated[int, Chosen("level", SPOILED)] = 40
BLACK_HOPELESS: Annotated[float, Chosen("part of what is seen", SPOILED)] = 0.9
"""A cell whose brightest channel stays below this level is black."""
BURNT_STRONGEST: Annotated[int, Chosen("level", JUDGED)] = 250
BURNT_WEAKEST: Annotated[int, Chosen("level", JUDGED)] = 220
LEGIBLE_STRONGEST: Annotated[int, Chosen("level", JUDGED)] = 10
"""A cell is burnt out to white when its strongest and weakest colours reach these levels, and black below the last."""

# Quality: veiling glare, as a part of white in linear light.

DROWNED: Annotated[float, Chosen("the flank's own light", VEILED)] = 1.0
"""A place under more glare than this is not judged: its weaker colours, of which bronze has a seventh to a half of the
strongest, are then drowned. Under glare drawn over photographs, 5 to 8 of 100 places were taken wrongly where it was
thinner, 5 without any, and 20 to 40 where it was thicker."""
GLARE_LEFT_ON: Annotated[float, Chosen("part of the glare", VEILED)] = 0.15
"""Not taken off: its strength is not known better, and taking too much away feigns deep colours."""
LEAST_GLARE_PEAK: Annotated[float, Chosen("white", VEILED)] = 0.2
"""Weaker glare is not told from pale metal."""
GLARE_BORDER: Annotated[float, Chosen("white", VEILED)] = 0.03
"""Where glare is taken to end."""
SOFT_BORDER: Annotated[float, Chosen("cells of 256 along the face", VEILED)] = 18.0
"""Over which glare would fade out at its border's slope; films of compound take 4 to 15."""
CRISP_QUARTER: Annotated[int, Chosen("hundredths of the border", VEILED)] = 25
"""The border is as crisp as its crispest quarter."""
PALE_METAL: Annotated[int, Chosen("hundredths of the flank", VEILED)] = 25
"""So many places are taken to be as pale as bare metal or film without glare."""
GREYEST: Annotated[float, Chosen("weakest over strongest colour", VEILED)] = 0.5
"""Of the greyest alloy."""
GREY_GLARE: Annotated[float, Chosen("weakest over strongest colour", VEILED)] = 0.6
"""Of a blue place under glare; paler than that only glare makes it, light blue compound does not."""

# Quality: what covers the flank.

RUNS_ON: Annotated[float, Chosen("Bhattacharyya distance", COVERED)] = 0.5
RUNS_ON_ACROSS: Annotated[float, Chosen("Bhattacharyya distance", COVERED)] = 0.35
"""Colour runs on across an edge when the colours on its two sides lie no further apart; the second between the ends,
where it must hold at tip and root and the colours be those of both between. The nearer two of the edges that meet in a
corner lay 0.67 and more apart, for the most part 1.3 and more; under covers, 0.02 to 0.4."""
RUNS_ON_CHANGE: Annotated[float, Chosen("CIE 1976 colour difference", COVERED)] = 6.0
RUNS_ON_PART: Annotated[float, Chosen("play of colour all over", COVERED)] = 0.3
"""And when their means change by no more."""
LEAST_COLOUR_PLAY: Annotated[float, Chosen("CIE 1976 colour difference", COVERED)] = 8.0
"""In a photo whose colours play less than this all over, too dark for it, nothing is known to run on."""
COLOUR_GRAIN: Annotated[float, Chosen("CIE 1976 colour difference, squared", COVERED)] = 0.5
"""Variance of colour that no picture is without."""
COVER_ALIKE: Annotated[float, Chosen("CIE 1976 colour difference", COVERED)] = 7.0
COVER_SPREADS: Annotated[float, Chosen("spreads of the cover's colour", COVERED)] = 1.5
"""Places belong to what covers the edge when their colour differs from its own by less than this and its spread."""
LEAST_COVERED: Annotated[float, Chosen("flank areas", JUDGED)] = 0.03
GRAVE_COVERED: Annotated[float, Chosen("flank areas", JUDGED)] = 0.25
"""From which on a cover is spoken of, and from which on it forbids a direction."""

# Setting: the job around the photos.

PACK_TOLERANCE_MM: Annotated[float, Chosen("mm", TRADE)] = 0.01
"""A pack counts as the wanted one within this: what a workshop micrometer can tell apart."""
UNEVEN_BACKLASH: Annotated[float, Chosen("part of the mean backlash", TRADE)] = 0.25
"""From which the spread of backlash round the wheel is worth a hint."""
ABSURD_TIMES: Annotated[float, Chosen("ratio", TRADE)] = 3.0
"""A reading beyond so many times the maker's most, or the median of its fellows, is asked back; and so is a change of
shims that is so many times the one advised."""
ABSURD_PLAY_MM: Annotated[float, Chosen("mm", TRADE)] = 1.0
ABSURD_CHANGE_MM: Annotated[float, Chosen("mm", TRADE)] = 1.0
ABSURD_PACK_MM: Annotated[float, Chosen("mm", TRADE)] = 5.0
"""Where sheet and advice tell no more: end plays, errors of line, changes of shims and packs beyond these are asked
back. Whoever writes inches for millimetres is beyond them."""
SMALLEST_MOVE_MM: Annotated[float, Chosen("mm", JUDGED)] = 0.005
SMALLEST_TURN_DEG: Annotated[float, Chosen("degrees", JUDGED)] = 0.0005
"""Below these nothing is said of what a turn of the carriers did to the centres and to the shaft."""
