"""A folder that holds the photos of one machine in one state, told by the names of its photos."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from patternscan.errors import InconsistentInputs, UnreadablePhoto, WrongUse
from patternscan.frame import Flank
from patternscan.handles import Handle, named
from patternscan.judging.states.named_visit import VISITS, named_visits
from patternscan.plain_text import one_line
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.inputs.photo_list import find_photos

PHOTO_NAME = re.compile(
    r"(?:(?P<name>.+?)[-_ ])??(?:(?P<state>before|after)[-_ ])?(?P<flank>left|right)(?:[-_ ]flank)?[-_ ]?\d*"
    r"(?:[-_ ](?P<state_behind>before|after))?(?: ?\(\d+\))?",
    re.I,
)
"""[NAME_][before_|after_]left[N], likewise right; a dash or a blank serves as an underscore, and before or after may
stand behind. A number in brackets is put there by what saves a file a second time."""

SHEET_NAME = re.compile(r"[^.].*\.toml(\.txt)?", re.I)
"""Some editors put .txt behind the name that was typed."""


@dataclass(frozen=True, slots=True)
class MachineFolder:
    """The photos of one machine with their flanks, each with the outline file beside it, if any.

    ``sheets`` are the machine sheets in the folder; ``title`` the machine's name as the photos or the folder say it.
    """

    photos: tuple[PhotoInput, ...]
    title: str
    sheets: tuple[Path, ...]

    @property
    def sheet(self) -> Path | None:
        """The only machine sheet in the folder, None where there is none. Raises WrongUse for several."""
        if len(self.sheets) > 1:
            raise WrongUse(
                f"{self.sheets[0].parent} holds {len(self.sheets)} machine sheets: "
                f"{', '.join(sheet.name for sheet in self.sheets)}.",
                f"Say {named(Handle.SHEET)} which is this machine's, or take the others out of the folder.",
            )
        return next(iter(self.sheets), None)

    def inputs(self, tip: PictureSide | None) -> tuple[PhotoInput, ...]:
        """The photos, with where the tips point in all of them, None when that is not said."""
        return tuple(PhotoInput(one.photo, one.flank, one.outline, tip) for one in self.photos)


def sheets_in(folder: Path) -> tuple[Path, ...]:
    """The machine sheets in a folder, by their names."""
    return tuple(sorted(file for file in folder.iterdir() if SHEET_NAME.fullmatch(file.name)))


def find_machine(folder: Path, passed_over: Path | None = None) -> MachineFolder | None:
    """The one machine whose photos a folder holds, by their names; None when they are not all of one name and state.

    Both flanks must be there, and no photo in a folder inside; ``passed_over`` is the folder for results.
    """
    try:
        photos = find_photos(folder, passed_over) if os.path.isdir(folder) else []
    except UnreadablePhoto:
        return None
    names = [PHOTO_NAME.fullmatch(one.photo.stem) for one in photos if one.photo.parent == folder]
    told = [name for name in names if name is not None]
    if not photos or len(told) < len(photos) or len({_whose(name) for name in told}) > 1:
        return None
    flanks = [Flank(name["flank"].lower()) for name in told]
    if set(flanks) != set(Flank):
        return None
    inputs = (PhotoInput(one.photo, flank, one.outline) for one, flank in zip(photos, flanks, strict=True))
    title = one_line(told[0]["name"] or photos[0].machine)
    return MachineFolder(tuple(inputs), title, sheets_in(folder))


def refuse_other_name(photo: PhotoInput) -> None:
    """Raise InconsistentInputs for a photo whose name says the other flank than was said, unless an outline tells it:
    both changed over turn the answer round.
    """
    told = None if photo.outline is not None else PHOTO_NAME.fullmatch(photo.photo.stem)
    if told is not None and told["flank"].lower() != photo.flank.value:
        raise InconsistentInputs(
            f"{photo.photo.name} was given as a {photo.flank} flank, but its name says {photo.flank.other}.",
            f"If the name is right, give it as a {photo.flank.other} flank: exchanged photos turn the answer round. "
            "If not, rename the photo or mark its outline.",
        )


def refuse_two_visits(photos: Sequence[PhotoInput]) -> None:
    """Raise InconsistentInputs for photos some of which are named as before a move of the wheel, and some as after."""
    told = {one.name: named_visits([one.name]) for one in photos}
    before, after = (", ".join(name for name, visits in told.items() if visit in visits) for visit in VISITS)
    if before and after:
        raise InconsistentInputs(
            f"By their names, photos of before a move of the wheel ({before}) and of after it ({after}) were given as "
            "one pattern.",
            "Judge the photos of each visit by themselves, in folders of their own; then compare the two results.",
        )


def refuse_two_machines(photos: Sequence[PhotoInput]) -> None:
    """Raise InconsistentInputs for photos of one folder whose names tell of several wheels, each with both flanks,
    whatever else is among them.
    """
    flanks: dict[str, set[str]] = {}
    for told in (PHOTO_NAME.fullmatch(one.photo.stem) for one in photos):
        if told is not None:
            flanks.setdefault(_whose(told)[0], set()).add(told["flank"].lower())
    whole = sorted(name for name, seen in flanks.items() if len(seen) == len(Flank))
    if len(whole) > 1:
        raise InconsistentInputs(
            f"By their names the photos are of several machines, each with both flanks: {', '.join(whole)}.",
            "Lay the photos of each machine into a folder of its own, or name the machines in a list of the photos.",
        )


def _whose(name: re.Match[str]) -> tuple[str, str]:
    """Machine and state of a photo's name, however it is written."""
    states = (name["state"] or name["state_behind"] or "").casefold()
    return re.sub("[- ]", "_", (name["name"] or "").casefold()), states
