"""Quality: where the camera stood, how still it was held, the light, and what covers the flank."""

from __future__ import annotations

from typing import Annotated

from patternscan.calibration.origin import COVERED, DARKENED, JUDGED, PHOTOGRAPHS, SPOILED, VEILED, Chosen

# Where the camera stood and how still it was held.

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
OUTSIDE_DOUBTFUL: Annotated[float, Chosen("flank areas", JUDGED)] = 0.02
OUTSIDE_HOPELESS: Annotated[float, Chosen("flank areas", JUDGED)] = 0.15
"""Part of the flank outside the photo."""
BORDER_PX: Annotated[float, Chosen("px", JUDGED)] = 2.0
"""An outline edge that runs this close to the border of the photo is not the flank's own edge."""

# Light. Levels are those of 8-bit sRGB.

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

# Veiling glare, as a part of white in linear light.

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

# What covers the flank.

RUNS_ON: Annotated[float, Chosen("Bhattacharyya distance", COVERED)] = 0.5
RUNS_ON_ACROSS: Annotated[float, Chosen("Bhattacharyya distance", COVERED)] = 0.35
"""Colour runs on across an edge when the colours on its two sides lie no further apart; the second between the ends,
where it must hold at tip and root and the colours be those of both between. The nearer two of the edges that meet in a
corner lay 0.67 and more apart, for the most part 1.3 and more; under covers, 0.02 to 0.4."""
RUNS_ON_CHANGE: Annotated[float, Chosen("CIE 1976 colour difference", COVERED)] = 6.0
RUNS_ON_PART: Annotated[float, Chosen("play of colour all over", COVERED)] = 0.3
"""And when their means change by no more."""
LEAST_LIGHT: Annotated[float, Chosen("spreads of colour, as of CIE L*a*b*", DARKENED)] = 2.5
"""Nothing is known to run on where the mean L* is less: in the dark all things look alike. Of 4352 pictures of whole
flanks in little light, or half out of a torch's, 64 were taken for covered with 1.67, 8 with 2, none with 2.5; of black
things (L* 5) before bright flanks 97 of 100 are found with 2.5, 76 with 3.33."""
COVER_ALIKE: Annotated[float, Chosen("greatest changes of what runs on", COVERED)] = 1.17
COVER_SPREADS: Annotated[float, Chosen("spreads of the cover's colour", COVERED)] = 1.5
"""Places belong to what covers the edge when their colour differs from its own by less than this and its spread."""
LEAST_COVERED: Annotated[float, Chosen("flank areas", JUDGED)] = 0.03
GRAVE_COVERED: Annotated[float, Chosen("flank areas", JUDGED)] = 0.25
"""From which on a cover is spoken of, and from which on it forbids a direction."""
