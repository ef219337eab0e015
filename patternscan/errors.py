"""Every way to stop: one class each, with what was found, what to do, and the exit code."""

from __future__ import annotations

from patternscan.plain_text import printable


class PatternscanError(Exception):
    """A stop that a person can do something about.

    ``found`` is one plain sentence saying what was found, ``remedy`` one saying what to do; both are one line.
    ``blame`` is what a photo is at fault for, as a rule the code of a caution about it; empty where nothing is known.
    """

    exit_code = 1

    def __init__(self, found: str, remedy: str, blame: str = "") -> None:
        self.found = printable(found)
        self.remedy = printable(remedy)
        self.blame = blame
        super().__init__(f"{self.found} {self.remedy}")


class WrongUse(PatternscanError):
    """The command was used in a way it does not understand, or the machine sheet is faulty."""

    exit_code = 2


class LooksLikeASlip(WrongUse):
    """An entry may be right but looks like a slip of the pen, so that it is asked back once."""


class NotYetLogged(WrongUse):
    """Another entry has to stand in the log first; ``kind`` is the word of its kind."""

    def __init__(self, found: str, remedy: str, kind: str = "") -> None:
        super().__init__(found, remedy)
        self.kind = kind


class UnreadablePhoto(PatternscanError):
    """The photo file cannot be read."""

    exit_code = 3


class NoTrustworthyOutline(PatternscanError):
    """The flank was not found in the photo, or the outline given is not usable."""

    exit_code = 4


class NoCompound(PatternscanError):
    """No marking compound was found on the flank, so there is nothing to judge."""

    exit_code = 5


class InconsistentInputs(PatternscanError):
    """Inputs contradict each other: flank and outline, marking and picture, before and after."""

    exit_code = 6


class BrokenInstallation(PatternscanError):
    """A part of the installed program itself is missing or damaged."""


class CannotWrite(PatternscanError):
    """An output file cannot be written, or one is already there."""

    exit_code = 7


class WorkersLost(PatternscanError):
    """Nobody is there any more to do what is left of many photos."""

    exit_code = 2
