"""Words of the way in: on the terminal, where the code is asked for, on the first page, and when something is amiss."""

from __future__ import annotations

from collections.abc import Iterator

TITLE = "patternscan"
ENTER = "Type the code"
ENTER_HOW = "The code stands in the window where patternscan was started. This device is asked only once."
CODE = "Code"
COME_IN = "Come in"
WRONG_CODE = "That is not the code."
FIRST_PAGE = "First page"
BACK = "Back"
NEW_READING = "New reading"
UNDER_WAY = "Readings under way"
DONE_LATELY = "Answers"
MACHINES = "Machines"
DESK = "Engineer's desk"
NOTHING_YET = "Nothing here yet."
STOPPED = "That did not work"
NO_PAGE = ("There is no such page.", "Go back to the first page.")
TOO_LARGE = ("The file is larger than 40 MB.", "Give a photo as the phone takes it; a film is too large.")
OLD_FORM = ("This page is too old to be sent.", "Go back, load it again and send it once more.")
WRONG_METHOD = ("This address takes no such request.", "Go back to the first page.")
FOREIGN_NAME = ("This computer is not called so.", "Type the address with its numbers, as patternscan showed it.")
OUR_FAULT = ("patternscan itself failed.", "What was kept is still there. Try again, and report it if it comes back.")
BUSY = ("Too many photos are waiting to be read.", "Wait a minute, then go on: nothing was lost.")
NOT_WRITTEN = (
    "It could not be kept: the disk of the computer that serves these pages is full, or may not be written to.",
    "What was kept before is still there. Make room on that disk, then send it again.",
)
NOBODY_WORKS = (
    "The cluster that reads the photos does not answer.",
    "It goes on when its scheduler and a worker run again: nothing was lost.",
)


def wait_words(seconds: float) -> str:
    """What a device reads that tried too many codes."""
    return f"Too many wrong codes. Wait {max(1, round(seconds))} seconds, then try again."


def start_lines(address: str, code: str | None) -> Iterator[str]:
    """What the terminal shows under the address; ``code`` None where only this computer may come in."""
    yield f"Pages: {address}"
    if code is None:
        yield "Only this computer can open them. For a phone start again with --host 0.0.0.0."
    else:
        yield f"Code for other devices: {code}"
        yield "Whoever is in this network can read along: use it in a network that you trust."
    yield "Stop with Ctrl-C: what was kept stays."
