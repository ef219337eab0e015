"""An entry that is being asked for, kept answer by answer, so that one broken off is gone on with."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import msgspec

from patternscan.setting.log.answers import read_answer
from patternscan.setting.log.events import Event
from patternscan.setting.log.kinds import KIND_OF, entry_event
from patternscan.setting.log.questions import Question
from patternscan.setting.machine.sheet import Sheet
from patternscan.text_file import text_bytes
from patternscan.workflow.disk.delivery import deliver

BEGUN_NAME = ".entry.json"


class BegunEntry(msgspec.Struct, frozen=True):
    """An entry begun: its word, and by the name of a question what was typed; nothing for one left open."""

    word: str
    typed: dict[str, tuple[str, ...]] = {}
    done: tuple[str, ...] = ()

    def next_question(self) -> Question | None:
        """The question to ask now; None when all are answered, left open or needless."""
        left = (one for one in KIND_OF[self.word].questions if one.name not in self.done)
        return next((one for one in left if not any(self.typed.get(name) for name in one.unless)), None)

    def answered(self, question: Question, text: str) -> BegunEntry:
        """With one more answer; an empty one ends a question that may be left open, or one of many answers."""
        words = text.strip()
        typed = {**self.typed, question.name: (*self.typed.get(question.name, ()), words)} if words else self.typed
        ends = not words or not question.many
        return BegunEntry(self.word, typed, (*self.done, question.name) if ends else self.done)

    def event(self, sheet: Sheet) -> Event:
        """The event of the answers. Raises WrongUse."""
        unit = sheet_unit(sheet)
        values = {}
        for question in KIND_OF[self.word].questions:
            read = tuple(read_answer(text, question.answer, unit) for text in self.typed.get(question.name, ()))
            if read:
                values[question.name] = read if question.many else read[0]
        return entry_event(self.word, values, sheet)


def sheet_unit(sheet: Sheet) -> str:
    """The unit of lengths that are typed without one."""
    return "in" if sheet.in_inch else "mm"


def read_begun(job: Path) -> BegunEntry | None:
    """The entry that was begun in a job, None when there is none that can be gone on with."""
    try:
        begun = msgspec.json.decode(text_bytes(job / BEGUN_NAME), type=BegunEntry)
    except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
        return None
    return begun if begun.word in KIND_OF else None


def keep_begun(job: Path, begun: BegunEntry) -> None:
    """Keep the entry as far as it is typed. Raises CannotWrite."""
    deliver({job / BEGUN_NAME: msgspec.json.encode(begun)}, True)


def drop_begun(job: Path) -> None:
    """Forget the entry that was begun."""
    with suppress(OSError):
        (job / BEGUN_NAME).unlink()
