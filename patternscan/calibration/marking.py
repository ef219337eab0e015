"""Marking: how print and paint rubbed off are told apart, and which part of a flank is the compound."""

from __future__ import annotations

from typing import Annotated

from patternscan.calibration.origin import MARKED_ANEW, Chosen

RUBBED: Annotated[float, Chosen("logit a logit", MARKED_ANEW)] = 2.67
FITS: Annotated[float, Chosen("logit a part of the metal", MARKED_ANEW)] = 8.37
FILM: Annotated[float, Chosen("logit a flank area", MARKED_ANEW)] = 10.6
WHOLE: Annotated[float, Chosen("logit a film", MARKED_ANEW)] = -8.53
COMPACT: Annotated[float, Chosen("logit a hull", MARKED_ANEW)] = -12.95
PAINT: Annotated[float, Chosen("logit", MARKED_ANEW)] = 17.72
"""Logistic regression on the signs of readings under both markings: what the net says of paint, how the film lies by
the contact that it finds when told of either, how much film there is, how much of it hangs together, how compact it
is, and the constant."""
RAISED: Annotated[float, Chosen("logit", MARKED_ANEW)] = 1.5
"""Added to the odds of the other marking, because a wrong answer costs more than another photo."""
LIKE_METAL: Annotated[float, Chosen("logarithm of colour ratios", MARKED_ANEW)] = 0.4
"""A print that lies nearer than bare metal does, by so much, to the colours of tip land and root is none: a brush runs
over them, the worm prints on the flank alone."""
UNCLEAR_IOU: Annotated[float, Chosen("expected IoU", MARKED_ANEW)] = 0.65
"""Where colours and net dispute the contact, one of a higher expected IoU was right, and one of a lower wrong as often
as right, or the flank was bare."""
