"""What a person looks up before an answer is believed: whether the painted A is where it was taken to be."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from patternscan.frame import Lift, Medium, Seen
from patternscan.judging.advice import Move
from patternscan.reporting.text.wording import as_markdown, listed

if TYPE_CHECKING:
    from patternscan.frame import Flank
    from patternscan.judging.judgement import Judgement
    from patternscan.measuring.reading import Reading

WRONG_WAY = "If not, the answer is the wrong way round."
NOT_HELD = "If not, the answer does not hold."
"""Where no direction is given: a photo that shows the other flank than was said mixes the two up."""
A_CHECK = ("Is the painted A where the round A stands in the photo?", WRONG_WAY)
"""Where the photo is seen with the letters drawn on it."""
WRITTEN_A_CHECK = ("Is the A that was written on it where the round A stands?", WRONG_WAY)
"""The same of a print on tape or paper."""
BY_TAG = "A printed tag in the photo shows which end is A."
STATES_CHECK = "Is the painted A where the round A stands in the photos of both results? If not, judge those anew."
"""Before two states are compared."""
SIDES = (
    "to the right of {}",
    "to the lower right of {}",
    "below {}",
    "to the lower left of {}",
    "to the left of {}",
    "to the upper left of {}",
    "above {}",
    "to the upper right of {}",
)
"""Where an end lies in the upright picture, clockwise in eighths of a turn. A tooth's top and bottom are its tip and
root, and are not spoken of."""
PRINTS = {
    Lift(Medium.TAPE, Seen.THROUGH): "a tape lift seen through the tape",
    Lift(Medium.TAPE, Seen.TOUCHED): "a tape lift seen on the side that touched the tooth",
    Lift(Medium.PAPER, Seen.TOUCHED): "a paper print seen on the side that touched the tooth",
    Lift(Medium.PAPER, Seen.THROUGH): "a paper print seen through the paper",
}
AS_SAID = "the print that was said, seen from the side that was said"
"""Of many prints, some of them of another kind than others."""
MOST_NAMED = 4
"""Of more photos the sides are not told one by one."""


def end_check(judgement: Judgement) -> list[str]:
    """What to look up before the answer is believed; nothing where there is no answer that could be turned."""
    if judgement.advice.move is Move.CANNOT_SAY:
        return []
    return [end_words((*judgement.left, *judgement.right), _or_else(judgement))]


def linked_check(judgement: Judgement, photos: Sequence[tuple[Flank, str]]) -> list[str]:
    """The same where photos stand on the page: the first flank of each that no tag shows, and its anchor."""
    if judgement.advice.move is Move.CANNOT_SAY or not photos:
        return end_check(judgement)
    names = {f"the {flank} photo": anchor for flank, anchor in photos}
    if len(photos) == 1 or len(names) < len(photos):
        names = {"the photo" if len(photos) == 1 else "each photo": photos[0][1]}
    links = listed([f"[{name}](#{anchor})" for name, anchor in names.items()])
    readings = (*judgement.left, *judgement.right)
    asked = [f"Is the {_letter(readings)} where the round A stands in {links}?", *_print_check(_untagged(readings))]
    return [" ".join([*asked, _or_else(judgement)])]


def end_words(readings: Sequence[Reading], or_else: str = WRONG_WAY) -> str:
    """On which side of each photo end A was taken to be, and what a print was taken for, as questions, or that tags
    show it in every photo.
    """
    asked = _untagged(readings)
    if readings and not asked:
        return BY_TAG
    if not asked or len({one.photo.name for one in asked}) > MOST_NAMED:
        return " ".join([_check(readings)[0], *_print_check(asked), or_else])
    return " ".join([f"Is the {_letter(asked)} {_sides(asked)}?", *_print_check(asked), or_else])


def _untagged(readings: Sequence[Reading]) -> list[Reading]:
    """The readings of photos in which no printed tag shows the end, nor refuses a wrong side of a print."""
    return [one for one in readings if not one.ends_by_tag]


def _print_check(readings: Sequence[Reading]) -> list[str]:
    """What each print was taken for, as a question; nothing where there is none."""
    photos = {one.photo.name: one.outline.lift for one in readings}
    prints = {name: PRINTS[lift] for name, lift in photos.items() if lift is not None}
    if not prints:
        return []
    if len(set(photos.values())) == 1:
        return [f"Is {'it' if len(prints) == 1 else 'each'} {next(iter(prints.values()))}?"]
    if len(prints) > MOST_NAMED:
        return [f"Is each {AS_SAID}?"]
    return [f"Is {listed([f'{name} {words}' for name, words in prints.items()])}?"]


def touched_words(by: str) -> str:
    """Said in place of the question where a person touched the A in every photo."""
    return f"{as_markdown(by)} touched the painted A in each photo."


def _or_else(judgement: Judgement) -> str:
    return WRONG_WAY if judgement.advice.move in (Move.TOWARD_A, Move.TOWARD_B) else NOT_HELD


def _check(readings: Sequence[Reading]) -> tuple[str, str]:
    return WRITTEN_A_CHECK if readings and all(one.outline.lift is not None for one in readings) else A_CHECK


def _letter(readings: Sequence[Reading]) -> str:
    return "written A" if all(one.outline.lift is not None for one in readings) else "painted A"


def _sides(readings: Sequence[Reading]) -> str:
    """The photos by the side on which end A lies in them; of neighbouring teeth in a photo the first speaks for all."""
    photos: dict[str, list[str]] = {}
    said: set[tuple[str, int]] = set()
    for reading in readings:
        name, eighth = reading.photo.name, reading.outline.end_a_eighth
        if (name, eighth) not in said:
            photos.setdefault(SIDES[eighth], []).append(name)
        said |= {(name, (eighth + beside) % len(SIDES)) for beside in (-1, 0, 1)}
    told = [
        f"{side.format('it' if number else 'the tooth')} in {listed(names)}"
        for number, (side, names) in enumerate(photos.items())
    ]
    several = any(len(names) > 1 for names in photos.values())
    return ", and ".join(told) if several else listed(told)
