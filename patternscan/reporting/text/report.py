"""Short reports in Markdown, in the words of the workshop: the direction first, then why, then what to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from patternscan.cautions import Caution
from patternscan.frame import Flank, percent
from patternscan.judging.advice import Advice, Move, ShimAdvice, ShimChange
from patternscan.judging.comparison import Comparison, PooledFlank, Target
from patternscan.judging.judgement import Judgement
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.acceptance_report import acceptance_section
from patternscan.reporting.text.cautions import caution_messages
from patternscan.reporting.text.estimate_report import estimate_lines, step_words
from patternscan.reporting.text.findings import finding_message
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.wording import (
    MOVE_WORDS,
    as_markdown,
    place_words,
    shift_with_range,
    unjudged_words,
    with_range,
)
from patternscan.seeing.geometry.pose import Pose
from patternscan.units import length_words

WAS_READ, DOUBTS = "What was read", "Doubts, and what to do"
SAFETY = (
    "Before anyone touches the gear: switch off, isolate, lock, and try that it stays dead.",
    "The motor's lock does not hold the load. Land the load or the counterweight, or hang the car, "
    "before the gear or the brake is free.",
    "Turn the worm by hand only, one person giving the word. No hands, rags or sleeves in the mesh.",
    "When done, clean all compound off, put the guards back and fill in the oil.",
)
"""Common practice with hoisting machines; the local code and the maker's manual go further."""
LIMIT = (
    "The maker's manual and the local code decide. This advises on the place of the pattern, not on return to service."
)
NOT_CURED = (
    "Patterns at opposite ends on the two flanks: look at shaft angle, eccentrics, centre distance and whether worm "
    "and wheel are a matched pair.",
    "A pattern high at the tip or low at the root, or only a line: look at centre distance and parts.",
    "Teeth that differ round the wheel: look at run-out of the wheel on its seat.",
)
BY_TRIAL = (
    "How much is found by trial: change one thin shim, tighten, blue again, judge again and compare. "
    "The next step follows from how far the pattern went."
)


def reading_report(readings: Sequence[Reading]) -> str:
    """The report on the flanks of one photo."""
    if not readings:
        raise ValueError("a report needs at least one reading")
    lines = [f"# Reading of {as_markdown(readings[0].photo.name)}", ""]
    lines += [f"- {_reading_line(reading)}" for reading in readings]
    lines += [f"- {words}" for words in dict.fromkeys(map(_mapping_words, readings))]
    lines += [f"- {words}" for words in _unjudged(readings)]
    lines += section_lines(DOUBTS, caution_lines(_headed(readings)))
    lines += ["", "One flank alone does not tell which way the wheel must go: judge both flanks together.", "", LIMIT]
    return report_text(lines)


def _headed(readings: Sequence[Reading]) -> list[Caution]:
    """The cautions without the photo, which the heading names, and without the flank where only one was read."""
    cautions = [replace(caution, photo=None) for reading in readings for caution in reading.cautions]
    several = len({reading.outline.flank for reading in readings}) > 1
    return cautions if several else [replace(caution, flank=None) for caution in cautions]


def judgement_report(judgement: Judgement) -> str:
    """The report on both flanks of one machine."""
    advice = judgement.advice
    lines = [f"# {MOVE_WORDS[advice.move]}", ""]
    if judgement.machine:
        lines += [f"Machine: {as_markdown(judgement.machine)}", ""]
    lines += [f"**Why:** {as_markdown(reason_sentence(advice.because))}"]
    for title, entries in judgement_sections(judgement).items():
        lines += section_lines(title, entries)
    return report_text([*lines, "", LIMIT])


def judgement_sections(judgement: Judgement) -> dict[str, Sequence[str]]:
    """What there is to say on both flanks under each heading, in their order; nothing to say under some of them."""
    return {
        "Shims": _shims(judgement.advice),
        WAS_READ: [*_numbers(judgement.comparison), *unjudged_lines([*judgement.left, *judgement.right])],
        "How far off the wheel is": estimate_lines(judgement),
        **acceptance_section(judgement.acceptance),
        "What else the pattern shows": [finding_message(one) for one in judgement.advice.findings],
        DOUBTS: caution_lines(judgement.cautions),
        "What a shim cannot cure": NOT_CURED,
        "Safety": SAFETY,
    }


def unjudged_lines(readings: Sequence[Reading]) -> list[str]:
    """What could not be judged, and by what places on the flanks were told."""
    return [*_unjudged(readings), *_told_by(readings)]


def report_text(lines: Sequence[str]) -> str:
    """The lines of a report as one text."""
    return "\n".join(lines) + "\n"


def section_lines(title: str, entries: Sequence[str]) -> list[str]:
    """A heading with a list under it, nothing when there is nothing to list."""
    return ["", f"## {title}", "", *(f"- {entry}" for entry in entries)] if entries else []


def caution_lines(cautions: Sequence[Caution]) -> list[str]:
    """Doubts with what to do about them, those that forbid a direction first."""
    told = caution_messages(sorted(cautions, key=lambda caution: not caution.grave))
    return [f"{as_markdown(message)} **Do:** {as_markdown(remedy)}" for message, remedy in told.items()]


def _reading_line(reading: Reading) -> str:
    found, measured, outline = reading.contact_map, reading.measurement, reading.outline
    return (
        f"{outline.flank.value.capitalize()} flank, tooth {as_markdown(outline.tooth)} "
        f"({found.compound}, {found.marking}): "
        f"{place_words(measured)}; touched {with_range(measured.coverage)} of the flank, over "
        f"{with_range(measured.length)} of the face width and {with_range(measured.height)} of the height; "
        f"{percent(measured.judged_fraction)} of the flank could be judged."
    )


def _mapping_words(reading: Reading) -> str:
    pose = _known_pose(reading)
    if pose is None or pose.pair is None:
        return "Places on the flank were told from the outline alone, without gear data."
    return (
        f"Places on the flank were told with the gear data: {length_words(pose.pair.face_width_mm)} wide and "
        f"{length_words(pose.height)} high in its middle, seen {pose.off_square_deg:.0f} degrees off square."
    )


def _unjudged(readings: Sequence[Reading]) -> list[str]:
    """One sentence for each flank of which more than a little could not be judged."""
    lines = []
    for reading in readings:
        words, outline = unjudged_words(reading), reading.outline
        if words is not None:
            name = f"{outline.flank.value.capitalize()} flank, tooth {outline.tooth}, {reading.photo.name}"
            lines.append(f"{as_markdown(name)}: {words}")
    return lines


def _told_by(readings: Sequence[Reading]) -> list[str]:
    """In one sentence, how many of the flanks were read with the gear data; nothing without readings."""
    known, count = sum(_known_pose(reading) is not None for reading in readings), len(readings)
    if not readings:
        return []
    if known in (0, count):
        return [f"Places on the flanks were told {'with the gear data' if known else 'from the outlines alone'}."]
    return [f"Places were told with the gear data on {known} of {count} flanks, on the others from the outline alone."]


def _known_pose(reading: Reading) -> Pose | None:
    """The pose when it comes from gear data."""
    pose = reading.flank_map.pose
    return pose if pose is not None and pose.pair is not None else None


def _numbers(comparison: Comparison) -> list[str]:
    lines = [
        _flank_line(Flank.LEFT, comparison.left, comparison.target.left),
        _flank_line(Flank.RIGHT, comparison.right, comparison.target.right),
    ]
    return [*lines, *shift_lines(comparison)]


def shift_lines(comparison: Comparison) -> list[str]:
    """What the flanks share and in what they oppose each other, and how to read such numbers."""
    lines = reference_lines(comparison.target)
    if comparison.shared is not None:
        lines.append(f"Both flanks together are off their target by {shift_with_range(comparison.shared)}.")
    if comparison.opposed is not None:
        lines.append(
            f"Against each other the left flank lies {shift_with_range(comparison.opposed)}, the right opposite."
        )
    if comparison.left is not None or comparison.right is not None:
        lines.append("Places are in percent of the face width; in brackets what holds in 9 cases out of 10.")
    return lines


def reference_lines(target: Target) -> list[str]:
    """In one sentence, which pattern was the target and how well it is known; nothing without a reference."""
    if target.reference is None:
        return []
    left, right = Interval.around(target.left, target.left_doubt), Interval.around(target.right, target.right_doubt)
    return [
        f"The target is not the middle but the pattern of the reference {as_markdown(target.reference)}: "
        f"{with_range(left)} from end A on the left flank, {with_range(right)} on the right flank. "
        "Its own doubt is counted in."
    ]


def _flank_line(flank: Flank, pooled: PooledFlank | None, target: float) -> str:
    name = f"{flank.value.capitalize()} flank"
    if pooled is None:
        return f"{name}: no reading."
    teeth = "1 tooth" if pooled.teeth == 1 else f"{pooled.teeth} teeth"
    return (
        f"{name} ({teeth}): middle of the pattern {with_range(pooled.along)} from end A, target {percent(target)}; "
        f"touched {with_range(pooled.coverage)} of the flank."
    )


def _shims(advice: Advice) -> list[str]:
    shims = advice.shims
    if advice.move is Move.STAY:
        return ["Leave the shims as they are."]
    if advice.move is Move.CANNOT_SAY:
        return ["No shim is advised as long as the direction is not known."]
    return [_shim_change(shims), _amount(shims), _wandering(advice.move)]


def _shim_change(shims: ShimAdvice) -> str:
    if shims.carrier is None or shims.change in (ShimChange.UNKNOWN, ShimChange.NONE):
        return (
            "Which shims to change is not known, as nobody has noted yet what a shim does on this machine. "
            "See in the maker's manual which carrier moves the wheel, and write it in the sheet under [shims]."
        )
    verb = "Add shims under" if shims.change is ShimChange.ADD else "Remove shims from under"
    return f"{verb} the carrier at end {shims.carrier}."


def _amount(shims: ShimAdvice) -> str:
    return BY_TRIAL if shims.amount_mm is None else step_words(shims.amount_mm)


def _wandering(move: Move) -> str:
    there, back = ("A", "B") if move is Move.TOWARD_A else ("B", "A")
    return (
        f"As the wheel goes toward end {there}, the pattern must wander toward end {back}. "
        "If it goes the other way, stop and look again which end carries the letter A."
    )
