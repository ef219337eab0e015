"""What goes out with a job's folder and record, said before anybody hands them on."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.units import count_words

RECORD_HOLDS = "The record holds pictures cut from the photos, but no place, serial number or comment."
BARE = "without place, serial numbers and comments"
WHOLE = "with all that the camera wrote, which may be place and serial number"


def held_sentences(bare: Sequence[str], whole: Sequence[str]) -> list[str]:
    """A line for the copies without and one for those with what the cameras wrote; these are named."""
    less, more = (count_words(len(copies), "copy", "copies") for copies in (bare, whole))
    lines = [f"{less} of photos {BARE}."] if bare else []
    return [*lines, f"{more} of photos {WHOLE}: {', '.join(whole)}."] if whole else lines


def folder_sentences(bare: Sequence[str], whole: Sequence[str]) -> list[str]:
    """What a job's folder holds of photos, for whoever hands it on."""
    if not bare and not whole:
        return ["The job's folder holds no copy of a photo."]
    return [f"The job's folder holds {line}" for line in held_sentences(bare, whole)]
