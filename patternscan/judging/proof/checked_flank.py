"""One flank as it was read, beside what a person says is true of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Mask, Truth, overlap
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading


@dataclass(frozen=True, slots=True)
class Deviation:
    """A number that was read less the true one (``error``), and how far the truth lies beyond the nearer end of its
    interval (``beyond``, at most 0 when the interval holds it). Fractions of face width, flank height or flank area.
    """

    error: float
    beyond: float

    @property
    def held(self) -> bool:
        """Whether the interval holds the truth."""
        return self.beyond <= 0


@dataclass(frozen=True, slots=True)
class CheckedFlank:
    """What came of one flank. ``machine`` tells whose it is: flanks of one machine are no independent witnesses.

    ``stop`` says why it was not read, and then only ``outline_overlap`` may be known. ``overlap`` is the intersection
    over union of the contact read and the true one; ``along`` and ``up`` are None where either has no contact.
    ``compound_right`` is None where the truth does not tell the compound. ``outline_overlap`` is that of the outline
    that the tool finds by itself: 0 when it finds none, None when it was not asked.
    """

    photo: str
    flank: Flank
    tooth: str
    machine: str
    marking: Marking
    compound: Compound | None = None
    by: str = ""
    stop: str = ""
    overlap: float | None = None
    along: Deviation | None = None
    up: Deviation | None = None
    coverage: Deviation | None = None
    compound_right: bool | None = None
    marking_right: bool | None = None
    outline_overlap: float | None = None


def not_read(truth: Truth, machine: str, stop: str, marking_right: bool | None = None) -> CheckedFlank:
    """A flank that was not read, and why."""
    outline = truth.outline
    return CheckedFlank(
        truth.photo,
        outline.flank,
        outline.tooth,
        machine,
        truth.marking,
        truth.compound,
        truth.by,
        stop,
        marking_right=marking_right,
    )


def check_reading(reading: Reading, truth: Truth, machine: str) -> CheckedFlank:
    """Set a reading, made with the true outline and marking and no told compound, beside the truth."""
    found, measured, middle = reading.contact_map, reading.measurement, truth.centroid
    contact, judged = (halved(mask) for mask in (found.contact, found.judged))
    return CheckedFlank(
        truth.photo,
        truth.outline.flank,
        truth.outline.tooth,
        machine,
        truth.marking,
        truth.compound,
        truth.by,
        overlap=overlap(contact, truth.contact, judged & truth.judged),
        along=None if middle is None else _deviation(measured.along, middle.along),
        up=None if middle is None else _deviation(measured.up, middle.up),
        coverage=_deviation(measured.coverage, truth.coverage),
        compound_right=None if truth.compound is None else found.compound is truth.compound,
        marking_right=found.other_marking <= 0,
    )


def halved(mask: Mask) -> Mask:
    """A mask (rows, columns) of a rectified flank at the size of a true contact map: the majority of each block."""
    rows, columns = mask.shape[0] // TRUTH_ROWS, mask.shape[1] // TRUTH_COLUMNS
    blocks = mask.reshape(TRUTH_ROWS, rows, TRUTH_COLUMNS, columns).mean(axis=(1, 3))
    return np.asarray(blocks >= 0.5)


def _deviation(read: Interval | None, true: float) -> Deviation | None:
    if read is None:
        return None
    return Deviation(read.value - true, max(read.low - true, true - read.high))
