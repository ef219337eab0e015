"""What is said before photos are given away, and in the archive itself."""

from __future__ import annotations

from patternscan.units import count_words

ABOUT = """\
Photos of marked worm-wheel teeth, with what people painted as true of them.

Photos were cut down to the wheel. Machines, photos and people have numbers in place of names; dates, places and all
that a camera writes beside a picture were left out. A photo whose gear is known has it in machine.toml.
A truth file holds the outline of a flank and, as a grey picture in base64, 256 columns from end A to end B by 128 rows
from tip to root: 255 contact, 0 none, 128 cannot be judged. Edges are in pixels of the picture beside it; "cut" tells
where that lay in the whole photo, whose middle tells of the camera.

To see how right patternscan is on them, unpack the archive and run: patternscan proof FOLDER
"""
LOOK = "Open the archive and look at every picture before you hand it on: a number stamped on the wheel is still there."


def what_goes(photos: int, machines: int) -> str:
    """The first question."""
    return (
        f"{count_words(photos, 'photo')} of {count_words(machines, 'machine')} would go into the archive: the wheel "
        "and a little round it, the gear data, what was painted. No names, dates or places. Go on?"
    )


SURE = "What was given away once cannot be called back. Do the machines' owners and who painted agree? Write it?"
"""The second one."""
ALONE = (
    "--share writes the archive and nothing else.",
    "Leave out --keep, --out and --json, or give --share by itself.",
)
NOT_SHARED = ("Nothing was given away: it was not agreed to twice.", "Run the command again when all agree.")
