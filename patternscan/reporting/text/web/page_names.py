"""What things are called on the pages: the fields, buttons and forms that sentences of all floors point to."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.handles import Handle
from patternscan.reporting.text.web.machine_words import HISTORY, KEEP_ALL_THE_SAME
from patternscan.reporting.text.web.reading_words import (
    ADD_TO_JOB,
    CORNERS,
    NEW_MACHINE,
    OCCASIONS,
    PHOTOGRAPHED,
    TURNED,
)
from patternscan.reporting.text.web.sheet_words import SHEET, field_asked
from patternscan.setting.log.kinds import KIND_OF

ON_PAGES: Mapping[Handle, str] = {
    Handle.OUTLINE: f"with '{CORNERS}'",
    Handle.TIP: f"under '{TURNED}'",
    Handle.COMPOUND: f"'{field_asked('photos', 'compound')}' ({SHEET.lower()})",
    Handle.MARKING: f"in a new reading and under '{field_asked('photos', 'marking')}' ({SHEET.lower()})",
    Handle.FILM: f"'{field_asked('photos', 'film')}' ({SHEET.lower()})",
    Handle.LARGER: "on a computer",
    Handle.ANSWER: "on the machine's page, with the button for",
    Handle.ENTRIES: f"under '{HISTORY}'",
    Handle.SURE: f"with '{KEEP_ALL_THE_SAME}'",
    Handle.MAKER: f"'{OCCASIONS['maker']}' beside '{ADD_TO_JOB}'",
    Handle.START: f"with '{NEW_MACHINE}'",
    Handle.SEEN: f"in a new reading, under '{PHOTOGRAPHED}'",
    Handle.SHEET: f"under '{SHEET}'",
}


def name_on_pages(handle: Handle, entry: str) -> str:
    """What it is called on the pages; an entry of the log goes by the title of its form.

    >>> name_on_pages(Handle.LOG, "secured NAME")
    "'Landed, isolated and tried'"
    """
    return f"'{KIND_OF[entry.split()[0]].title}'" if handle is Handle.LOG else ON_PAGES[handle]
