"""The hand that a tooth shows, held against the one that the machine sheet tells: a mirrored photo shows the other.

A mirrored photo looks right in itself, but its flanks or its ends are exchanged. Which end is A the hand does not tell:
a wheel that is turned end for end keeps its hand.
"""

from __future__ import annotations

from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs
from patternscan.gearing.pair import Hand
from patternscan.seeing.geometry.outline import Outline, OutlineSource
from patternscan.seeing.geometry.pose import CLEAR_LEAN, Pose

OTHER_HAND = "other-hand-seen"
UNSURE_LEAN = 0.4
"""Of unknown gears, a lean to the other side that makes the hand doubtful: twice its error. On 82 rendered photos with
clicked outlines teeth leaned by 0.28 to 1.8, always to the true side."""


def other_hand(told: Hand) -> InconsistentInputs:
    """The stop for a tooth that is surely one of the other hand than the sheet tells."""
    return InconsistentInputs(
        f"The machine sheet says {told} hand, but the tooth in the photo is one of a {told.other}-hand wheel.",
        "Check the hand on the sheet. If it is right, the photo is mirrored: take it again as the camera saw it, and "
        "look for the painted letter A.",
    )


def other_hand_caution(told: Hand) -> Caution:
    """The caution for a tooth that may be one of the other hand than the sheet tells."""
    return caution(OTHER_HAND, told=told.value, seen=told.other.value)


def check_lean(outline: Outline, pose: Pose | None, told: Hand | None) -> tuple[Caution, ...]:
    """What the lean of a tooth whose gear data are not known says against the hand on the sheet.

    Nothing for an outline that was found. Raises InconsistentInputs when the tooth plainly leans the other way.
    """
    if told is None or pose is None or pose.lean is None or outline.source is OutlineSource.FOUND:
        return ()
    against = -pose.lean if told is Hand.RIGHT else pose.lean
    if against > CLEAR_LEAN and not pose.fit.rough:
        raise other_hand(told)
    return (other_hand_caution(told),) if against > UNSURE_LEAN else ()
