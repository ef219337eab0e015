"""What goes out with a job's folder and record, said before anybody hands them on."""

from __future__ import annotations

from collections.abc import Sequence

RECORD_HOLDS = "The record holds pictures cut from the photos, but no place, serial number or comment."
BARE = "without place, serial numbers and comments"
WHOLE = "with all that the camera wrote, which may be place and serial number"


def held_sentences(bare: Sequence[str], whole: Sequence[str]) -> list[str]:
    """A line for the copies without and one for those with what the cameras wrote; these are named."""
    lines = [f"{_copies(len(bare))} of photos {BARE}."] if bare else []
    return [*lines, f"{_copies(len(whole))} of photos {WHOLE}: {', '.join(whole)}."] if whole else lines


def folder_sentences(bare: Sequence[str], whole: Sequence[str]) -> list[str]:
    """What a job's folder holds of photos, for whoever hands it on."""
    if not bare and not whole:
        return ["The job's folder holds no copy of a photo."]
    return [f"The job's folder holds {line}" for line in held_sentences(bare, whole)]


def _copies(number: int) -> str:
    return "1 copy" if number == 1 else f"{number} copies"
