"""Readings of poor photos, left out where another tooth of the same flank was read well."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.errors import UnreadablePhoto
from patternscan.judging.judgement import Declined
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.cautions import caution_remedy, left_out_sentence

POOR_PHOTO = frozenset({"too-small", "too-oblique", "too-blurred", "contact-unclear", "bare-metal"})
"""Codes of the cautions that speak against one photo and not against how the teeth were marked, which all share."""


def leave_out_poor(readings: Sequence[Reading]) -> tuple[list[Reading], list[Declined]]:
    """The readings of one flank that are judged, and those left out; all are judged where every photo is poor."""
    left_out = {id(one): declined for one in readings if (declined := _as_declined(one)) is not None}
    if len(left_out) == len(readings):
        return list(readings), []
    return [one for one in readings if id(one) not in left_out], list(left_out.values())


def _as_declined(reading: Reading) -> Declined | None:
    """The photo of a reading as one that could not be read; None where it is no poor one."""
    poor = next((one for one in reading.cautions if one.code in POOR_PHOTO), None)
    if poor is None:
        return None
    why = UnreadablePhoto(left_out_sentence(poor), caution_remedy(poor), poor.code)
    return Declined(reading.photo.name, reading.outline.flank, why, reading.photo, (reading.outline,))
