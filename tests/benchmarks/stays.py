"""The way of one photo through the house: `python tests/benchmarks/stays.py` prints it, room by room.

A room is a package inside a floor, or a floor that has none. Frames that follow each other in one room are one stay;
to come back into a room that was left is a return. What is worked out once for all photos, the shape of usual gears
and the net, is there beforehand.
"""

from __future__ import annotations

import sys
from itertools import groupby
from pathlib import Path
from types import FrameType

from patternscan.frame import Marking
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import load_photo
from patternscan.workflow.read import read_flank

ROOT = Path(__file__).parents[2]
SAMPLE = ROOT / "sample_images" / "goods_lift_before_left"


def rooms_entered(sample: Path) -> list[str]:
    """The rooms in which one flank is read, in their order, each as often as it is entered."""
    photo_file, outline_file = sample.with_suffix(".jpg"), sample.with_suffix(".outline.json")
    outline = read_outline_file(outline_file).outlines[0]
    frames: list[str] = []

    def note(frame: FrameType, event: str, _: object) -> None:
        if event == "call":
            frames.append(frame.f_code.co_filename)

    read_flank(load_photo(photo_file), outline, Marking.TRANSFER)
    sys.setprofile(note)
    try:
        read_flank(load_photo(photo_file), outline, Marking.TRANSFER)
    finally:
        sys.setprofile(None)
    rooms = (room_of(Path(name)) for name in frames)
    return [room for room, _ in groupby(room for room in rooms if room is not None)]


def room_of(file: Path) -> str | None:
    """The room that a file lies in, None outside the package's floors."""
    package = ROOT / "patternscan"
    if not file.is_relative_to(package) or file.parent == package:
        return None
    return ".".join(file.parent.relative_to(package).parts)


if __name__ == "__main__":
    stays = rooms_entered(SAMPLE)
    print(*stays, sep="\n")
    print(f"{len(stays)} stays in {len(set(stays))} rooms, {len(stays) - len(set(stays))} returns")
