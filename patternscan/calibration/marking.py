"""Marking: how print and paint rubbed off are told apart, and which part of a flank is the compound."""

from __future__ import annotations

from typing import Annotated

from patternscan.calibration.origin import MARKED_ANEW, Chosen

RUBBED: Annotated[float, Chosen("logit a logit", MARKED_ANEW)] = 2.04
SURER: Annotated[float, Chosen("logit an IoU", MARKED_ANEW)] = 5.81
HIDDEN: Annotated[float, Chosen("logit a flank area", MARKED_ANEW)] = 13.7
FILM: Annotated[float, Chosen("logit a flank area", MARKED_ANEW)] = 17.4
WHOLE: Annotated[float, Chosen("logit a film", MARKED_ANEW)] = -3.55
PAINT: Annotated[float, Chosen("logit", MARKED_ANEW)] = -7.5
"""Logistic regression on the signs of readings under both markings: what the net says of paint, how much surer it is
when told of paint, how much film there is by net and by colours, how much of it hangs together, and the constant."""
RAISED: Annotated[float, Chosen("logit", MARKED_ANEW)] = 0.7
"""Added to the odds of the other marking, because a wrong answer costs more than another photo."""
LIKE_METAL: Annotated[float, Chosen("logarithm of colour ratios", MARKED_ANEW)] = 0.25
"""Compound that lies nearer than bare metal does, by so much, to the colours of tip land and root is none. True
compound lay 0.1 to 2 further off on 62 of 65 photographs, nearer by 0.17 on one."""
UNCLEAR_IOU: Annotated[float, Chosen("expected IoU", MARKED_ANEW)] = 0.65
"""Where colours and net name different parts of the flank, contact of a higher expected IoU was right, and with a lower
one it was wrong as often as right, or the flank was bare."""
