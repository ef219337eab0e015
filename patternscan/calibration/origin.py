"""Where a calibrated number comes from, and the sets of scenes that numbers were chosen on."""

from __future__ import annotations

from dataclasses import dataclass


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
MACHINES = Origin(
    "the machines of dev, rims and port, each left out in turn, with and without gear data",
    39,
    "python tests/study/intervals.py",
)
MARKED_ANEW = Origin(
    "the photographs of dev, rims and port, and their flanks marked anew either way, each machine left out in turn",
    43,
    "python tests/study/marking.py",
)
TEETH = Origin(
    "the machines of dev, clicked again and again, and pairs of any two of dev, rims and port",
    17,
    "python tests/benchmarks/two_wheels.py dev rims port",
)
FOUND_PAIRS = Origin("found outlines of both flanks, with right sheets and with 48 of one wrong number", 16)
WEIGHED = Origin(
    "the ordinary photographs of dev, rims and port",
    24,
    "python tests/benchmarks/photographs.py dev",
)
LIFTS = Origin(
    "lifts drawn of the machines of dev, rims and port, under both markings, each machine left out in turn",
    39,
    "python tests/study/lift_intervals.py",
)
REPAINTED = Origin("1300 paintings of the flanks of dev", 17, "python tests/benchmarks/repaint.py")
SPOILED = Origin("photographs of dev, as they are and spoiled by degrees", 17)
COVERED = Origin("47 rendered flanks, as they are and with covers painted before them", 17)
DARKENED = Origin(
    "the flanks of dev, rims and port in ever less light, by torchlight, and with black things before them", 42
)
SETS_13 = Origin("own simulation of 13 gear sets", 13)
PAIRS_140 = Origin("140 random pairs rolled with true and with guessed thread form and trim", 140)
DRAWN = Origin("own simulation of 453 misaligned pairs; drawn wheels read with noise", 453)
LOOPS = Origin("jobs on 70 simulated wheels, random in all", 70, "python tests/study/closed_loop.py")
