"""What a pattern asks back and what was answered, in words."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.plain_text import one_line
from patternscan.setting.log.entries import Entry
from patternscan.setting.log.events import Replied
from patternscan.setting.log.replies import AskedBack
from patternscan.setting.log.words import Reply

REPLY_WORDS: Mapping[Reply, str] = {
    Reply.RUBBED_OFF: "the worm rubbed the paint off right up to the bare end",
    Reply.NEVER_PAINTED: "the flank was not painted up to its bare end, or was wiped there",
    Reply.BOTH_CONTACT: "both places are contact",
    Reply.ONE_NO_CONTACT: "one of the two places is no contact",
    Reply.NOTHING_CHANGED: "nothing was changed between the photos",
    Reply.SOMETHING_CHANGED: "something was changed between the photos",
    Reply.TAPE_TOUCHED: "the tape shows the side that touched the tooth",
    Reply.TAPE_THROUGH: "the compound is seen through the tape",
    Reply.PAPER_THROUGH: "the compound is seen through the paper",
    Reply.PAPER_TOUCHED: "the paper shows the side that touched the tooth",
    Reply.THIS_MACHINE: "the reference is of this machine",
    Reply.OTHER_MACHINE: "the reference is of another machine",
    Reply.REFERENCE_GOOD: "the reference is right",
    Reply.REFERENCE_BAD: "the reference is not right",
}
"""How it is, by the word that answers."""
STANDS, FALLS = "By that the pattern stands.", "By that the pattern counts no more."
NOT_ANSWERED = "Nobody has answered that yet."


def said_words(reply: Replied) -> str:
    """How it is, who says so, and what that makes of the pattern."""
    return f"{REPLY_WORDS[reply.reply]}, says {one_line(reply.name)}. {STANDS if reply.stands else FALLS}"


def reply_sentence(reply: Replied) -> str:
    """The same with the entry that it is about."""
    return f"Answer about entry {reply.entry}: {said_words(reply)}"


def asked_words(asked: AskedBack, answers: Mapping[str, Entry]) -> str:
    """What was asked and what was answered; ``answers`` by the code of the question."""
    answer = answers.get(asked.code)
    if answer is None or not isinstance(answer.event, Replied):
        return f"{asked.told} {NOT_ANSWERED}"
    return f"{asked.told} Answer (entry {answer.number}): {said_words(answer.event)}"
