"""From what a person typed to readings: photos, outlines and sheets are opened here."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from patternscan.cautions import Caution
from patternscan.cli.options import chosen_compound, chosen_marking
from patternscan.errors import InconsistentInputs, NoCompound, PatternscanError, WrongUse
from patternscan.frame import Compound, Flank, Marking

if TYPE_CHECKING:
    from patternscan.gearing.pair import WormPair
    from patternscan.measuring.reading import Reading
    from patternscan.seeing.geometry.outline import Outline
    from patternscan.seeing.image.photo import Photo
    from patternscan.setting.machine.sheet import Gear, Sheet


@dataclass(frozen=True, slots=True)
class Setup:
    """What holds for every photo of one command. ``pair`` is None when the sheet does not tell the gear.

    ``snap``: whether outlines that a person gave are pulled onto the edges in the photo.
    """

    sheet: Sheet
    pair: WormPair | None
    marking: Marking
    compound: Compound | None
    max_megapixels: float
    cautions: tuple[Caution, ...] = ()
    snap: bool = False


@dataclass(frozen=True, slots=True)
class Shot:
    """One photo as it was given: which flank it shows, its outline file, where its tip points."""

    photo: Path
    flank: Flank
    outline: Path | None
    tip: str


def load_setup(
    marking: str | None, compound: str | None, sheet_path: Path | None, max_megapixels: float, snap: bool = False
) -> Setup:
    """The machine sheet with its gear, and the marking and compound from options or sheet."""
    from patternscan.setting.machine.sheet import Sheet
    from patternscan.setting.machine.sheet_file import read_sheet

    sheet = read_sheet(sheet_path) if sheet_path is not None else Sheet()
    pair, cautions = known_pair(sheet.gear)
    chosen = (chosen_marking(marking, sheet.marking), chosen_compound(compound, sheet.compound))
    return Setup(sheet, pair, *chosen, max_megapixels, cautions, snap)


def known_pair(gear: Gear) -> tuple[WormPair | None, tuple[Caution, ...]]:
    """The worm pair of the sheet; none in silence when data are missing or the rim is straight.

    With a caution when the data cannot be right.
    """
    if gear.missing or not gear.throated:
        return None, ()
    try:
        return gear.worm_pair(), ()
    except WrongUse as fault:
        told = f"{fault.found} Places were read from the outline alone."
        return None, (Caution("gear-data-impossible", told, fault.remedy),)


def read_shot(shot: Shot, setup: Setup) -> list[Reading]:
    """Read every outlined flank of one photo. A flank without compound is left out when another one has some."""
    from patternscan.seeing.image.photo import load_photo
    from patternscan.workflow.read import read_flank

    photo = load_photo(shot.photo, setup.max_megapixels)
    readings: list[Reading] = []
    declined: list[PatternscanError] = []
    for outline in outlines_of(photo, shot, setup.pair):
        drawn, told = _snapped(photo, outline, setup.pair) if setup.snap else (outline, ())
        try:
            reading = read_flank(photo, drawn, setup.marking, setup.compound, setup.pair)
            readings.append(replace(reading, cautions=(*setup.cautions, *told, *reading.cautions)))
        except NoCompound as error:
            declined.append(error)
    if not readings:
        raise declined[0]
    return readings


def _snapped(photo: Photo, outline: Outline, pair: WormPair | None) -> tuple[Outline, tuple[Caution, ...]]:
    """The outline pulled onto the photo's edges when a person gave it, with what became of it."""
    from patternscan.seeing.outline_search.snapping import snap_outline

    if not outline.source.by_hand:
        return outline, ()
    pulled, told = snap_outline(photo, outline, pair)
    return pulled, (told,)


def outlines_of(photo: Photo, shot: Shot, pair: WormPair | None = None) -> tuple[Outline, ...]:
    """The outlines of the wanted flank: from the file, or looked for in the photo with what is known of the gear."""
    if shot.outline is None:
        from patternscan.seeing.geometry.outline import PictureSide
        from patternscan.seeing.outline_search.search import find_outlines

        return find_outlines(photo, shot.flank, PictureSide(shot.tip), pair)
    from patternscan.seeing.geometry.outline_file import read_outline_file

    content = read_outline_file(shot.outline)
    if content.photo and Path(content.photo).stem.casefold() != Path(photo.name).stem.casefold():
        raise InconsistentInputs(
            f"The outline file {shot.outline.name} was made for {content.photo}, but the photo is {photo.name}.",
            'Give the outline of this photo; if the photo was only renamed, change "photo" in the outline file.',
        )
    wanted = tuple(outline for outline in content.outlines if outline.flank is shot.flank)
    if not wanted:
        raise InconsistentInputs(
            f"{shot.outline.name} holds no {shot.flank} flank, only {content.outlines[0].flank}.",
            "Either the wrong flank was named, or end A and end B are swapped, or the photo is mirrored: look for the "
            "painted letter A.",
        )
    return wanted
