"""Marking: how print and paint rubbed off are told apart, and which part of a flank is the compound."""

from __future__ import annotations

from typing import Annotated

from patternscan.calibration.origin import MARKED_ANEW, WEIGHED, Chosen

RUBBED: Annotated[float, Chosen("logit a logit", MARKED_ANEW)] = 0.66
HIDDEN: Annotated[float, Chosen("logit a flank area", MARKED_ANEW)] = 14.57
FILM: Annotated[float, Chosen("logit a flank area", MARKED_ANEW)] = 12.04
WHOLE: Annotated[float, Chosen("logit a film", MARKED_ANEW)] = -9.99
PAINT: Annotated[float, Chosen("logit", MARKED_ANEW)] = -5.91
"""Logistic regression on the signs of readings under both markings: what the net says of paint, how much film there is
by net and by colours, how much of it hangs together, and the constant."""
RAISED: Annotated[float, Chosen("logit", MARKED_ANEW)] = 0.7
"""Added to the odds of the other marking, because a wrong answer costs more than another photo."""
LIKE_METAL: Annotated[float, Chosen("logarithm of colour ratios", MARKED_ANEW)] = 0.4
"""A print that lies nearer than bare metal does, by so much, to the colours of tip land and root is none: a brush runs
over them, the worm prints on the flank alone."""
UNCLEAR_IOU: Annotated[float, Chosen("expected IoU", MARKED_ANEW)] = 0.65
"""Where colours and net dispute the contact, one of a higher expected IoU was right, and one of a lower wrong as often
as right, or the flank was bare."""
NET_WEIGHT: Annotated[float, Chosen("part of the odds", WEIGHED)] = 0.7
"""Weight of the net's odds, the rest is that of the colours: of 45 ordinary flanks of dev, rims and port 9 in 10 lie
within 1.0 points along the face (0.6: 1.45); with more, some of 18 hard ones lie farther off (11 points, not 8)."""
