"""The flanks of one photo in words: where the pattern lies, how much of a flank could not be judged, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.frame import Lift, Made, percent
from patternscan.judging.proof.conformal_margin import LEAST_MACHINES
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.cautions import caution_lines
from patternscan.reporting.text.reports.about import about_line, marked_words
from patternscan.reporting.text.reports.parts import DOUBTS, report_text, section_lines
from patternscan.reporting.text.safety import LIMIT
from patternscan.reporting.text.wording import PRINT_ON, as_markdown, flank_name, place_words, with_range
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.pose import Pose
from patternscan.units import count_words, length_words

NOTEWORTHY_UNJUDGED = 0.05
"""Part of a flank that may go unjudged without a word."""
WHY_UNJUDGED = {
    "glare": "shine",
    "much-glare": "shine",
    "too-bright": "too much light",
    "too-dark": "too little light",
    "far-too-dark": "too little light",
    "cut-off": "the edge of the photo",
    "much-cut-off": "the edge of the photo",
    "covered": "what is in front of it",
    "much-covered": "what is in front of it",
}
"""What takes part of a flank out of sight, by the code of the caution that tells how to retake the photo."""


IN_PHOTO = (
    ("at the upper left", "at the top", "at the upper right"),
    ("at the left", "in the middle", "at the right"),
    ("at the lower left", "at the bottom", "at the lower right"),
)
"""Thirds of a photo, from the top down and from left to right."""


def reading_report(readings: Sequence[Reading], made: Made | None = None) -> str:
    """The report on the flanks of one photo; ``made`` tells when and by whom."""
    if not readings:
        raise ValueError("a report needs at least one reading")
    lines = [f"# Reading of {as_markdown(readings[0].photo.name)}", ""]
    if made is not None:
        lines += [as_markdown(about_line(made, None, marked_words(readings))), ""]
    lines += [f"- {_reading_line(reading)}" for reading in readings]
    lines += [f"- {words}" for words in _found_where(readings)]
    lines += [f"- {words}" for words in dict.fromkeys(map(_mapping_words, readings))]
    lines += [f"- {words}" for words in (*_unjudged(readings), *_not_widened(readings))]
    lines += section_lines(DOUBTS, caution_lines(headed(readings)))
    lines += ["", "One flank alone does not tell which way the wheel must go: judge both flanks together.", "", LIMIT]
    return report_text(lines)


def _found_where(readings: Sequence[Reading]) -> list[str]:
    """Which teeth of the photo those are whose outlines nobody marked."""
    found = [one for one in readings if one.outline.source is OutlineSource.FOUND]
    return [
        f"Tooth {as_markdown(one.outline.tooth)} is the one {_where(one)} of the photo; the tool found it."
        for one in found
    ]


def _where(reading: Reading) -> str:
    """The part of the photo in which the middle of a flank lies."""
    thirds = np.floor(3 * reading.outline.border.mean(axis=0) / reading.photo.held_px)
    column, row = (min(max(int(third), 0), 2) for third in thirds)
    return IN_PHOTO[row][column]


def headed(readings: Sequence[Reading]) -> list[Caution]:
    """The cautions without the photo, which the heading names, and without the flank where only one was read."""
    cautions = [replace(caution, photo=None) for reading in readings for caution in reading.cautions]
    several = len({reading.outline.flank for reading in readings}) > 1
    return cautions if several else [replace(caution, flank=None) for caution in cautions]


def unjudged_lines(readings: Sequence[Reading]) -> list[str]:
    """What could not be judged, by what places on the flanks were told, and what a proof had to add."""
    return [*_unjudged(readings), *_told_by(readings), *_not_widened(readings)]


def _reading_line(reading: Reading) -> str:
    found, measured, outline = reading.contact_map, reading.measurement, reading.outline
    return (
        f"{flank_name(outline.flank)}, tooth {as_markdown(outline.tooth)} "
        f"({found.compound}, {found.marking}{_print_words(outline.lift)}): "
        f"{place_words(measured)}; touched {with_range(measured.coverage)} of the flank, over "
        f"{with_range(measured.length)} of the face width and {with_range(measured.height)} of the height; "
        f"{percent(measured.judged_fraction)} of the flank could be judged."
    )


def _print_words(lift: Lift | None) -> str:
    return "" if lift is None else f", {PRINT_ON[lift.medium]}"


def _mapping_words(reading: Reading) -> str:
    pose, lift = _known_pose(reading), reading.outline.lift
    if lift is not None:
        turned = "turned back from its mirror image" if lift.mirrored else "as it is seen"
        return f"Places on the flank were worked out from the frame drawn round the {PRINT_ON[lift.medium]}, {turned}."
    if pose is None or pose.pair is None:
        return "Places on the flank were worked out from the outline, without gear data."
    return (
        f"Places on the flank were worked out with the gear data: {length_words(pose.pair.face_width_mm)} wide and "
        f"{length_words(pose.height)} high in its middle, seen {pose.off_square_deg:.0f} degrees off square."
    )


def _unjudged(readings: Sequence[Reading]) -> list[str]:
    """One sentence for each flank of which more than a little could not be judged, the photo named among several."""
    several = len({reading.photo.name for reading in readings}) > 1
    lines = []
    for reading in readings:
        words, outline = _unjudged_words(reading), reading.outline
        if words is not None:
            name = f"{flank_name(outline.flank)}, tooth {outline.tooth}"
            lines.append(f"{as_markdown(f'{name}, {reading.photo.name}' if several else name)}: {words}")
    return lines


def _unjudged_words(reading: Reading) -> str | None:
    """What could not be judged on a flank, where and why, and how to retake the photo; None when it is little."""
    unjudged = 1 - reading.measurement.judged_fraction
    if unjudged <= NOTEWORTHY_UNJUDGED:
        return None
    why = dict.fromkeys(WHY_UNJUDGED[one.code] for one in reading.cautions if one.code in WHY_UNJUDGED)
    cause = f", because of {' and '.join(why)}" if why else ""
    retake = (
        "what to change stands under the doubts" if why else "move the lamp to the side and keep all in front clear"
    )
    return (
        f"{percent(unjudged)} of the flank could not be judged{_lying(~reading.contact_map.judged)}{cause}. "
        f"That makes the numbers less sure. To see all, take the photo again: {retake}."
    )


def _lying(hidden: NDArray[np.bool_]) -> str:
    """Where the set cells of a rectified flank (rows, cols) lie for the most part; nothing when all over."""
    rows, columns = np.nonzero(hidden)
    if not len(rows):
        return ""
    along, up = (columns.mean() + 0.5) / hidden.shape[1], 1 - (rows.mean() + 0.5) / hidden.shape[0]
    place = [words for words, there in (("end A", along < 0.35), ("end B", along > 0.65)) if there]
    place += [words for words, there in (("the root", up < 0.35), ("the tip", up > 0.65)) if there]
    return f", mostly near {' and '.join(place)}" if place else ""


def _told_by(readings: Sequence[Reading]) -> list[str]:
    """In one sentence, how many of the flanks were read with the gear data; nothing without readings."""
    known, count = sum(_known_pose(reading) is not None for reading in readings), len(readings)
    if not readings:
        return []
    if known in (0, count):
        return [f"Places on the flanks were worked out {'with the gear data' if known else 'from the outlines alone'}."]
    return [
        f"Places were worked out with the gear data on {known} of {count} flanks, on the others from the outline alone."
    ]


def _not_widened(readings: Sequence[Reading]) -> list[str]:
    """Said where a proof on own photos was given and had nothing to add; what it adds stands under the doubts."""
    idle = {one.widening.machines for one in readings if one.widening and not any(one.widening.steps)}
    return [
        f"Your own photos of {count_words(machines, 'machine')} gave no reason to make the ranges wider."
        for machines in sorted(idle)
        if machines >= LEAST_MACHINES
    ]


def _known_pose(reading: Reading) -> Pose | None:
    """The pose when it comes from gear data."""
    pose = reading.flank_map.pose
    return pose if pose is not None and pose.pair is not None else None
