"""The outlines of a photo: from its file, or looked for."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from patternscan.errors import InconsistentInputs
from patternscan.frame import Lift
from patternscan.gearing.pair import Rim
from patternscan.handles import Handle, named
from patternscan.seeing import lifts, outline_search
from patternscan.seeing.geometry.outline import Outline, PictureSide
from patternscan.seeing.geometry.outline_file import NOTHING_TOLD, Sides, read_outline_file
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.seeing.image.fingerprint import Fingerprint
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.image.same_picture import lies_alike
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.tags.seen_tag import SeenTags
from patternscan.seeing.tags.told_tip import tip_on_card, tip_told
from patternscan.setting.machine.sheet import Gear
from patternscan.workflow.inputs.photo_input import PhotoInput, held_pixel

UNKNOWN_GEAR = Gear()


def load_outlines(path: str | Path) -> tuple[Outline, ...]:
    """All outlines of an outline file (JSON). Raises NoTrustworthyOutline for a faulty one."""
    return read_outline_file(Path(path)).outlines


def outlines_of(
    photo: Photo, given: PhotoInput, told: ToldMedium = NOTHING_TOLD, gear: Gear = UNKNOWN_GEAR
) -> tuple[Outline, ...]:
    """The outlines of the wanted flank: from the file, or looked for in the photo; in the pixels of the photo's file.

    ``told``: what was photographed; ``gear``: what the machine sheet tells of it. Raises NoTrustworthyOutline,
    InconsistentInputs for the outline file of another photo or flank, and WrongUse where the side of tape or paper is
    not said.
    """
    if given.outline is None:
        return tuple(outline.enlarged(photo.times) for outline in _looked_for(photo, given, told.lift, gear))
    content = read_outline_file(given.outline, told)
    if content.photo and Path(content.photo).stem.casefold() != Path(photo.name).stem.casefold():
        raise InconsistentInputs(
            f"The outline file {given.outline.name} was made for {content.photo}, but the photo is {photo.name}.",
            'Give the outline of this photo; if the photo was only renamed, change "photo" in the outline file.',
        )
    anew = f"mark this one anew {named(Handle.OUTLINE)}"
    refuse_other_picture(given.outline.name, content.photo_px, content.picture, photo, anew)
    wanted = tuple(outline for outline in content.outlines if outline.flank is given.flank)
    if not wanted:
        raise InconsistentInputs(
            f"{given.outline.name} holds no {given.flank} flank, only {content.outlines[0].flank}.",
            "Either the wrong flank was named, or end A and end B are swapped, or the photo is mirrored: look for the "
            "painted letter A.",
        )
    return wanted


def with_tip_told(given: PhotoInput, tags: SeenTags, told: ToldMedium) -> PhotoInput:
    """The photo with where its tip points, as far as that matters and was not said: as its printed tags show it."""
    if given.outline is not None or given.tip is not None:
        return given
    return replace(given, tip=tip_told(tags, given.flank) if told.lift is None else tip_on_card(tags))


def hint_of(photo: Photo, given: PhotoInput, gear: Gear = UNKNOWN_GEAR) -> Hint:
    """What is known of a photo before its outline is looked for. Raises WrongUse for a tooth outside the photo."""
    rim = None if gear.rim is None else Rim(gear.rim)
    return Hint(given.tip, held_pixel(photo, given), rim)


def refuse_other_picture(
    name: str, marked_px: Sides | None, picture: Fingerprint | None, photo: Photo, anew: str
) -> None:
    """Raise InconsistentInputs where another photo was marked, or a copy of it, cropped, turned or in another size.

    ``name`` is of what was made of the ``picture`` of ``marked_px``, as far as these are known, ``anew`` how to make it
    of this one. Not even where only the size seems to differ are the points moved: phones crop in the photo's own
    shape too.
    """
    photo_px = photo.size_px
    if marked_px == photo_px and picture is not None and not lies_alike(picture, photo.fingerprint):
        raise InconsistentInputs(
            f"{name} was marked on another picture than {photo.name}: what they show lies at other places.",
            f"If the photo was taken again, {anew}.",
        )
    if marked_px is None or marked_px == photo_px:
        return
    change = "turned" if marked_px == photo_px[::-1] else "cropped, or saved in another size"
    raise InconsistentInputs(
        f"{name} was marked on a copy of {marked_px[0]} x {marked_px[1]} pixels, but {photo.name} has "
        f"{photo_px[0]} x {photo_px[1]}: one of them was {change}.",
        f"Give the copy that was marked, or {anew}.",
    )


def _looked_for(photo: Photo, given: PhotoInput, lift: Lift | None, gear: Gear) -> tuple[Outline, ...]:
    """The marked flanks, or the frame drawn round a print of one, in the pixels that are held."""
    if lift is not None:
        return (lifts.frame_search.find_frame(photo, given.flank, given.tip or PictureSide.UP, lift),)
    return outline_search.search.find_outlines(photo, given.flank, hint_of(photo, given, gear))
