"""Why the photos of a folder are not judged as those of one machine, told to a person who asked for no tables."""

from __future__ import annotations

from pathlib import Path

from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.workflow.inputs.machine_folder import PHOTO_NAME
from patternscan.workflow.inputs.photo_list import find_photos

FOR_MANY = "For a table of many photos give --out FOLDER."


def refuse_untold(folder: Path) -> None:
    """Raise WrongUse for photos whose names do not say the flank, of one flank alone, or of several machines; nothing
    for what is no folder. Raises UnreadablePhoto for a folder without photos.
    """
    if not folder.is_dir():
        return
    photos = find_photos(folder)
    names = [one.photo.name for one in photos]
    told = {name: PHOTO_NAME.fullmatch(Path(name).stem) for name in names}
    untold = [name for name, found in told.items() if found is None]
    flanks = {Flank(found["flank"].lower()) for found in told.values() if found is not None}
    if untold:
        more = f" (and of {len(untold) - 1} more)" if len(untold) > 1 else ""
        raise WrongUse(
            f"The name of {untold[0]}{more} does not say which flank the photo shows.",
            "Name the photos such as lift_left.jpg and lift_right.jpg, with left or right last, or give each with "
            f"--left or --right. {FOR_MANY}",
        )
    if len(flanks) == 1:
        (flank,) = flanks
        raise WrongUse(
            f"{folder} holds photos of the {flank} flank alone.", f"Add one of the {flank.other} flank. {FOR_MANY}"
        )
    inside = {one.photo.parent for one in photos}
    if len(inside) == 1 and folder not in inside:
        (inner,) = inside
        raise WrongUse(f"The photos lie in a folder inside: {inner}.", f"Give that folder. {FOR_MANY}")
    raise WrongUse(
        f"The photos in {folder} are not all of one machine and one visit by their names and folders.",
        f"Give the folder of one machine and visit. {FOR_MANY}",
    )
