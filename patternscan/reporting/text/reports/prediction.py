"""The computed pattern in words: what the flanks show, how the wheel stands, what was assumed and cannot be known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from patternscan.frame import Flank, percent
from patternscan.gearing.contact import FlankContact, PairContact
from patternscan.gearing.pair import Placement, WormPair
from patternscan.judging.prediction import Prediction, flank_of
from patternscan.judging.states.judged_state import FlankState
from patternscan.reporting.text.model_limits import LIMITS
from patternscan.reporting.text.reports.parts import report_text, section_lines
from patternscan.reporting.text.wording import as_markdown, flank_name, toward_end, with_range
from patternscan.units import MM_PER_INCH, count_words

SMALLEST_STEP_MM = 0.0005
"""Lengths under half a micrometre are called no change: no gauge in a workshop shows them."""
CLOSING = "This is a computation, not a reading. A fresh print on the machine and the maker's manual decide."


def prediction_report(prediction: Prediction) -> str:
    """The report in Markdown."""
    lines = ["# Computed pattern of the worm pair", ""]
    if prediction.machine:
        lines += [f"Machine: {as_markdown(prediction.machine)}", ""]
    lines += [f"**In short:** {summary(prediction)}"]
    lines += section_lines(
        "As the wheel stands", [*_pattern_lines(prediction, prediction.stands), _well_set(prediction)]
    )
    if prediction.moved is not None:
        title = f"After moving the wheel {way_words(prediction.move_mm)}"
        lines += section_lines(title, [*_pattern_lines(prediction, prediction.moved)])
    lines += section_lines("Beside what was read from photos", [*_measured_lines(prediction)])
    lines += section_lines("How worm and wheel stand", [*_placement_lines(prediction)])
    lines += section_lines("The gear data", [*_gear_lines(prediction)])
    lines += section_lines("What a computed pattern cannot know", LIMITS)
    return report_text([*lines, "", CLOSING])


def summary(prediction: Prediction) -> str:
    """The shared shift in a sentence, and what a proposed move does to it."""
    now, *after = (state.shared_shift(prediction.film_um) for state in prediction.states)
    words = f"Taken together, {_together(now, 'the patterns of both flanks')}."
    if after:
        words += f" With the wheel moved {way_words(prediction.move_mm)}, {_together(after[0], 'they')}."
    return words


def _together(shift: float | None, patterns: str) -> str:
    return (
        "the flanks say nothing, for at least one has no contact"
        if shift is None
        else f"{patterns} lie {off_middle(shift)}"
    )


def off_middle(shift: float) -> str:
    """A shift from the middle of the face; positive is toward B.

    >>> off_middle(-0.09), off_middle(0.001)
    ('9 % of the face width off the middle toward end A', 'in the middle of the face')
    """
    if percent(shift) == "0 %":
        return "in the middle of the face"
    return f"{percent(shift)} of the face width off the middle toward end {'B' if shift > 0 else 'A'}"


def step_words(length_mm: float) -> str:
    """A small length without its sign, with the inch beside it, in thousandths of a millimetre where that is needed.

    >>> step_words(-0.1), step_words(0.025)
    ('0.10 mm (0.004 in)', '0.025 mm (0.0010 in)')
    """
    size = abs(length_mm)
    digits = 2 if abs(round(size, 2) - size) < SMALLEST_STEP_MM else 3
    return f"{size:.{digits}f} mm ({size / MM_PER_INCH:.{digits + 1}f} in)"


def way_words(toward_a_mm: float) -> str:
    """A shift of the wheel with the end it goes to.

    >>> way_words(-0.1)
    '0.10 mm (0.004 in) toward end B'
    """
    return f"{step_words(toward_a_mm)} toward end {'A' if toward_a_mm > 0 else 'B'}"


def wheel_words(toward_a_mm: float) -> str:
    """Where the wheel stands against the place where it was cut.

    >>> wheel_words(0.1), wheel_words(0.0)
    ('0.10 mm (0.004 in) toward end A of where it was cut', 'where it was cut')
    """
    place = "where it was cut"
    return place if abs(toward_a_mm) < SMALLEST_STEP_MM else f"{way_words(toward_a_mm)} of {place}"


def assumed_words(assumed: Mapping[str, str | float]) -> list[str]:
    """Gear data that were not given, in words.

    >>> assumed_words({"profile": "zi", "hob_oversize": 0.04})
    ['thread form ZI', 'hob 4 % larger than the worm']
    """
    return [_assumed(name, value) for name, value in assumed.items()]


def _assumed(name: str, value: str | float) -> str:
    if name == "profile":
        return f"thread form {str(value).upper()}"
    if name == "hob_oversize":
        return f"hob {percent(float(value))} larger than the worm"
    return f"{name.removesuffix('_deg').replace('_', ' ')} {float(value):g} degrees"


def _pattern_lines(prediction: Prediction, state: PairContact) -> Iterator[str]:
    film = prediction.film_um
    for flank in Flank:
        yield f"{flank_name(flank)}: {_print_words(flank_of(state, flank), film)}."
    shared, opposed = state.shared_shift(film), state.opposed_shift(film)
    if shared is not None and opposed is not None:
        yield f"Both flanks together lie {off_middle(shared)}. Moving the wheel changes this."
        yield _apart_words(opposed)
    change = prediction.backlash_change_mm(state)
    if change is not None and state.placement != prediction.well_set.placement:
        yield f"Backlash at the pitch circle of the wheel: {_backlash_words(change)} in the well-set pair."


def _apart_words(opposed: float) -> str:
    if percent(opposed) == "0 %":
        return "Against each other the two flanks do not differ."
    return f"Against each other the left flank lies {toward_end(opposed)}, the right opposite. No shim changes this."


def _well_set(prediction: Prediction) -> str:
    """The pattern of the same pair with nothing out of place."""
    left, right = (_place_words(flank_of(prediction.well_set, flank), prediction.film_um) for flank in Flank)
    return f"With nothing out of place the middle lies {left} on the left flank and {right} on the right flank."


def _print_words(contact: FlankContact, film_um: float) -> str:
    centroid = contact.centroid(film_um)
    if centroid is None:
        return "no contact"
    return (
        f"middle of the pattern {percent(centroid.along)} from end A and {percent(centroid.up)} up from the root, "
        f"{percent(contact.coverage(film_um))} of the flank touched"
    )


def _place_words(contact: FlankContact, film_um: float) -> str:
    centroid = contact.centroid(film_um)
    return "nowhere (no contact)" if centroid is None else f"{percent(centroid.along)} from end A"


def _backlash_words(change_mm: float) -> str:
    if abs(change_mm) < SMALLEST_STEP_MM:
        return "the same as"
    return f"{step_words(round(change_mm, 3))} {'more' if change_mm > 0 else 'less'} than"


def _measured_lines(prediction: Prediction) -> Iterator[str]:
    for flank in Flank:
        read = prediction.read_from_photos(flank)
        if read is not None:
            yield f"{flank_name(flank)}: {_beside(read, flank_of(prediction.stands, flank), prediction.film_um)}."


def _beside(read: FlankState, contact: FlankContact, film_um: float) -> str:
    centroid = contact.centroid(film_um)
    words = f"read {with_range(read.along)} from end A, computed "
    if centroid is None:
        return f"{words}no contact"
    outcome = "within" if read.along.holds(centroid.along) else "outside"
    return f"{words}{percent(centroid.along)}, which is {outcome} the range of the reading"


def _placement_lines(prediction: Prediction) -> Iterator[str]:
    yield f"The wheel stands {wheel_words(prediction.stands.placement.wheel_toward_a_mm)}."
    if prediction.moved is not None:
        yield f"After the move it stands {wheel_words(prediction.moved.placement.wheel_toward_a_mm)}."
    yield from _error_lines(prediction.stands.placement)


def _error_lines(placement: Placement) -> Iterator[str]:
    centre, angle = placement.centre_error_mm, placement.shaft_angle_error_deg
    if abs(centre) >= SMALLEST_STEP_MM:
        apart = "far apart" if centre > 0 else "close together"
        yield f"The axes of worm and wheel are {step_words(centre)} too {apart}."
    else:
        yield "The axes of worm and wheel are at the right distance."
    if angle:
        way = "clockwise" if angle > 0 else "anticlockwise"
        yield f"Seen from the wheel, the worm is turned {abs(angle):g} degrees {way} out of square."
    else:
        yield "The shafts are square to each other."


def _gear_lines(prediction: Prediction) -> Iterator[str]:
    pair, film = prediction.pair, prediction.film_um
    yield _worm_words(pair)
    yield (
        f"Wheel: {pair.teeth} teeth, {pair.rim.value} rim, face width {pair.face_width_mm:g} mm, cut with a hob "
        f"{pair.hob_oversize * 100:g} % larger than the worm."
    )
    yield f"Film of compound: {film:g} micrometres ({film / 1000 / MM_PER_INCH:.5f} in)."
    if prediction.assumed:
        yield f"Not given, so assumed: {', '.join(assumed_words(prediction.assumed))}. Give them where they are known."
    if pair.hob_trim_deg:
        yield (
            f"The hob is taken as trimmed by {pair.hob_trim_deg:+.2f} degrees of swivel, as a cutter does with "
            f"{pair.starts} starts to bring his first pattern to the middle."
        )


def _worm_words(pair: WormPair) -> str:
    return (
        f"Worm: module {pair.module_mm:g} mm, {count_words(pair.starts, 'start')}, {pair.hand.value} hand, pitch "
        f"diameter {pair.worm_diameter_mm:g} mm, pressure angle {pair.pressure_angle_deg:g} degrees, thread "
        f"form {pair.profile.value.upper()}."
    )
