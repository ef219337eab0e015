"""Captions of the figures of pages, and in words what the figures show, for those who cannot see them."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.frame import Flank
from patternscan.judging.advice import Move
from patternscan.judging.comparison import PooledFlank
from patternscan.judging.judgement import Declined, Judgement
from patternscan.judging.states.change import Change
from patternscan.measuring.reading import Reading
from patternscan.reporting.text.cautions import caution_message
from patternscan.reporting.text.figures.captions import (
    judgement_flank_title,
    lightened_lines,
    reading_lines,
    tooth_name,
)
from patternscan.reporting.text.figures.number_tables import NO_READING
from patternscan.reporting.text.reports.change import flank_change_lines
from patternscan.reporting.text.wording import MOVE_WORDS, flank_name, with_range

UPRIGHT = "tip above, end A on the left."
FLAT_SIGNS = (
    "On a flank laid flat: inside the broken line the worm touched; the cross on its bar is the middle of the pattern "
    "with its doubt; the upright line between arrowheads is where it belongs; slanted strokes cannot be judged."
)
PHOTO_SIGNS = (
    "On a photo: the whole line is the edge of the flank that the reading used; inside the broken line the worm "
    "touched; slanted strokes cannot be judged; the cross on its bar is the middle of the pattern with its doubt."
)
CHANGE_SIGNS = (
    "In what changed: dark with light strokes is newly touched, light with dark strokes no longer touched, grey "
    "touched both times; crossed strokes cannot be judged."
)
CHANGE_KEY = "Blue: newly touched. Yellow: no longer touched. Grey: touched both times."
"""What the signs of pictures mean, in words beside them; the last is what a first screen has room for."""


def arrow_words(move: Move) -> str:
    """What the wheel's arrow says."""
    words = MOVE_WORDS[move]
    return f"The wheel from above: {words[:1].lower()}{words[1:]}."


def pooled_words(flank: Flank, pooled: PooledFlank | None) -> str:
    """Place and size of the pattern of a flank."""
    if pooled is None:
        return f"{flank_name(flank)}: {NO_READING}."
    return (
        f"{flank_name(flank)}: middle of the pattern {with_range(pooled.along)} from end A, touched "
        f"{with_range(pooled.coverage)} of the flank."
    )


def judgement_flank_caption(judgement: Judgement, flank: Flank) -> str:
    """Above the flank of a judgement laid flat."""
    readings = judgement.left if flank is Flank.LEFT else judgement.right
    return " ".join([f"{judgement_flank_title(judgement, flank)}.", *lightened_lines(readings)])


def photo_caption(name: str, readings: Sequence[Reading]) -> str:
    """Below a photo."""
    return " ".join([f"{name}, with what was read drawn on it.", *lightened_lines(readings)])


def photo_words(name: str, readings: Sequence[Reading]) -> tuple[str, str]:
    """What the photo with the drawing shows, and what its bare piece shows."""
    words = ". ".join(reading_lines(readings))
    return f"The photo {name} with what was read drawn on it. {words}.", f"The same piece of {name}, bare. {words}."


def unread_words(one: Declined) -> str:
    """Beside a photo that could not be read: what was found in it, the photo named once."""
    return caution_message(one.caution)


def flat_caption(name: str) -> str:
    """Below a flank laid flat.

    >>> flat_caption("Left flank, tooth 1")
    'Left flank, tooth 1, laid flat without any drawing: tip above, end A on the left.'
    """
    return f"{name}, laid flat without any drawing: {UPRIGHT}"


def flat_words(reading: Reading) -> str:
    """What that figure shows."""
    return f"{flat_caption(tooth_name(reading))} {reading_lines([reading])[1]}."


def change_words(change: Change, flank: Flank) -> str:
    """What that figure shows."""
    lines = " ".join(flank_change_lines(change, flank))
    return f"{flank_name(flank)} laid flat before and after, and where contact was gained and lost. {lines}"
