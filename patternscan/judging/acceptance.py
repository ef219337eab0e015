"""Contact classes of a published table, for those who have chosen it."""

from __future__ import annotations

from enum import StrEnum


class ContactClass(StrEnum):
    """Classes of tooth contact for worm wheels."""

    A = "A"
    B = "B"
    C = "C"


WORM_WHEEL_LIMITS = {ContactClass.A: (0.50, 0.40), ContactClass.B: (0.35, 0.30), ContactClass.C: (0.20, 0.20)}
"""Least length and height of contact, fractions of effective length and height: JGMA 1002-01 (2003), worm wheels,
as quoted in the KHK gear guide, table 8.4."""


def contact_class(length: float, height: float) -> ContactClass | None:
    """The best class whose length and height are both reached, None below class C.

    Coverage hangs on the thickness of the film, so a class says something only when the film was recorded and the
    person has chosen this table; the maker's own limits outrank it.
    """
    for name, (least_length, least_height) in WORM_WHEEL_LIMITS.items():
        if length >= least_length - 1e-9 and height >= least_height - 1e-9:
            return name
    return None
