"""Words in pictures and below them: titles, numbers in short, and what to look for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patternscan.frame import Flank, Marking, percent
from patternscan.gearing.contact import FlankContact
from patternscan.judging.comparison import PooledFlank
from patternscan.judging.judgement import Judgement
from patternscan.judging.prediction import Prediction
from patternscan.judging.states.change import Change, FlankChange
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.answers.ends import A_CHECK, BY_TAG, WRITTEN_A_CHECK
from patternscan.reporting.text.reports.change import NOT_SHOWN, PLACE_WORDS
from patternscan.reporting.text.reports.prediction import way_words, wheel_words
from patternscan.reporting.text.wording import flank_name, place_words, shift_with_range, with_range

LIGHTENED = "The photo is dark: it is shown lighter here than it is."
DARK_CODES = frozenset({"too-dark", "far-too-dark"})


def is_dark(reading: Reading) -> bool:
    """Whether the flank is so dark in the photo that pictures show it lighter."""
    return any(one.code in DARK_CODES for one in reading.cautions)


def tooth_name(reading: Reading) -> str:
    """A flank with the name of its tooth."""
    return f"{flank_name(reading.outline.flank)}, tooth {reading.outline.tooth}"


def reading_lines(readings: Sequence[Reading]) -> list[str]:
    """The numbers of each flank in words, two lines a flank."""
    lines = []
    for reading in readings:
        lines.append(f"{tooth_name(reading)}: touched {with_range(reading.measurement.coverage)}")
        words = place_words(reading.measurement)
        lines.append(words[0].upper() + words[1:])
    return lines


def check_title(reading: Reading) -> str:
    """Which tooth of which photo."""
    return f"{tooth_name(reading)}: {reading.photo.name}"


def check_lines(reading: Reading) -> list[str]:
    """What a person has to compare, how much was not judged, and that a dark photo is shown lighter."""
    found, unjudged = reading.contact_map, percent(1 - reading.measurement.judged_fraction)
    bare = "the bare metal" if reading.outline.lift is None else "the bare card"
    around = bare if found.marking is Marking.RUB_OFF else f"the {found.compound} compound"
    contact = f"The broken line must run round {around}."
    if not (found.contact & found.judged).any():
        contact = "No contact was seen: the bare flank here must show none either."
    hidden = f"{unjudged} of the flank could not be judged."
    if unjudged == "0 %":
        hidden = "All of the flank could be judged."
    asked = A_CHECK if reading.outline.lift is None else WRITTEN_A_CHECK
    ends = (BY_TAG,) if reading.ends_by_tag else asked
    return [*ends, contact, "The lines round the flank must lie on its edges.", hidden, *lightened_lines([reading])]


def lightened_lines(readings: Sequence[Reading]) -> list[str]:
    """That photos are shown lighter than they are, when some are; nothing otherwise."""
    return [LIGHTENED] if any(map(is_dark, readings)) else []


def flank_title(flank: Flank, readings: int, pooled: PooledFlank | None) -> str:
    """Where the middle of the pattern of all teeth of a flank lies."""
    if not readings:
        return flank_name(flank)
    if pooled is None:
        return f"{flank_name(flank)}: no contact seen"
    several = f" ({pooled.teeth} teeth)" if pooled.teeth > 1 else ""
    return f"{flank_name(flank)}{several}: middle {with_range(pooled.along)} from end A"


def judgement_flank_title(judgement: Judgement, flank: Flank) -> str:
    """The same of a flank that was judged."""
    comparison = judgement.comparison
    if flank is Flank.LEFT:
        return flank_title(flank, len(judgement.left), comparison.left)
    return flank_title(flank, len(judgement.right), comparison.right)


def change_flank_title(flank: Flank, numbers: FlankChange | None) -> str:
    """Whether the pattern of a flank came nearer to its place."""
    if numbers is None:
        return flank_name(flank)
    return f"{flank_name(flank)}: {PLACE_WORDS.get(numbers.verdict, 'places cannot be compared')}"


def film_line(change: Change) -> str:
    """Whether the size of the patterns may be compared."""
    if not change.coverage_comparable:
        return "Not marked alike: compare the place, not the size."
    if any(caution.code == "film-unknown" for caution in change.cautions):
        return "Film not noted: compare the place, not the size."
    return "Marked alike, as noted: compare place and size."


def state_title(name: str, first_tooth: str, teeth: int, along: Interval | None) -> str:
    """Which tooth of a state is shown, and where the middle of its pattern lies."""
    shown = f" (tooth {first_tooth}, the first of {teeth})" if teeth > 1 else ""
    middle = "" if along is None else f": middle {with_range(along)} from end A"
    return f"{name}{shown}{middle}"


def moved_title(numbers: FlankChange | None) -> str:
    """How far the pattern went."""
    if numbers is None:
        return "What changed"
    moved = f"the middle went {shift_with_range(numbers.along.change)}" if numbers.along.seen else NOT_SHOWN
    return f"What changed: {moved}"


def change_picture_lines(names: Iterable[str]) -> list[str]:
    """What each picture of what changed shows, by its file name."""
    return [f"{name}: before, after, and where contact was gained and lost." for name in names]


def no_picture_lines(reasons: Iterable[str | None]) -> list[str]:
    """Why there are no pictures of what changed, by what each state lacks; nothing when there are."""
    said = (reason for reason in reasons if reason is not None)
    return [
        f"{reason}, so there is no picture of what changed. Give both judgements as folders, with their pictures."
        for reason in said
    ]


def prediction_lines(prediction: Prediction) -> list[str]:
    """What was computed, and for which place of the wheel."""
    lines = [prediction.machine] if prediction.machine else []
    lines.append(f"Film {prediction.film_um:g} micrometres, no load. Computed, not read from photos.")
    lines.append(f"The wheel stands {wheel_words(prediction.stands.placement.wheel_toward_a_mm)}.")
    if prediction.moved is not None:
        lines.append(f"Proposed move: {way_words(prediction.move_mm)}.")
    return lines


def contact_words(contact: FlankContact, film_um: float) -> str:
    """The middle and the size of a computed pattern."""
    centroid = contact.centroid(film_um)
    if centroid is None:
        return "no contact"
    return f"middle {percent(centroid.along)} from end A, {percent(contact.coverage(film_um))} touched"
