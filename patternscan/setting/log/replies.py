"""What a person may answer to what a pattern asks back, and whether the pattern stands then.

A yes means the good case in one question and the bad one in another, so no answer is yes or no: each says by itself how
it is, and which question it answers.

Every question has two answers. By the first the pattern is what it was read as: it stands, and the question is closed.
By the second it was read from what the worm did not do (a flank never painted, a smear, a machine changed between the
photos) or the wrong way round (the other side of tape or paper, another machine's reference): it counts no more, and
has to be taken, or judged, again. What was changed between photos of a trial no entry tells, so trials before count no
more either. Who does not know leaves the question open.

One answer is for all that a pattern asks by that question, on whichever flank or photo: it stands only if all is well.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patternscan.setting.log.words import Reply


@dataclass(frozen=True, slots=True)
class AskedBack:
    """What only a person can tell of a pattern: the code of the caution that asks, and its words with what to do.

    The code is empty where an earlier version kept the words alone: nobody can answer that.
    """

    code: str
    told: str


@dataclass(frozen=True, slots=True)
class Replies:
    """The answers to one question: by ``stands`` the pattern counts, by ``falls`` it counts no more."""

    stands: Reply
    falls: Reply


REPLIES: Mapping[str, Replies] = {
    "bare-to-end": Replies(Reply.RUBBED_OFF, Reply.NEVER_PAINTED),
    "two-places": Replies(Reply.BOTH_CONTACT, Reply.ONE_NO_CONTACT),
    "taken-apart": Replies(Reply.NOTHING_CHANGED, Reply.SOMETHING_CHANGED),
    "tape-touched": Replies(Reply.TAPE_TOUCHED, Reply.TAPE_THROUGH),
    "paper-through": Replies(Reply.PAPER_THROUGH, Reply.PAPER_TOUCHED),
    "reference-untold": Replies(Reply.THIS_MACHINE, Reply.OTHER_MACHINE),
    "reference-asked": Replies(Reply.REFERENCE_GOOD, Reply.REFERENCE_BAD),
}
"""By the code of every caution that asks back (``cautions.ASKED_BACK``)."""
QUESTIONS: Mapping[Reply, str] = {
    reply: code for code, replies in REPLIES.items() for reply in (replies.stands, replies.falls)
}
"""The question that an answer belongs to."""
