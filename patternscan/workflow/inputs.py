"""What is to be read: photos with their flanks and outlines, and the settings that hold for all of them."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs, PatternscanError, WrongUse
from patternscan.frame import Compound, Flank, Lift, Marking, Medium
from patternscan.gearing.pair import WormPair
from patternscan.measuring.widening import Widening
from patternscan.plain_text import printable
from patternscan.seeing import outline_search
from patternscan.seeing.geometry.outline import Outline, PictureSide, flank_shown
from patternscan.seeing.geometry.outline_file import NOTHING_TOLD, read_outline_file
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.lifts.frame_search import find_frame
from patternscan.seeing.tags.seen_tag import SeenTags
from patternscan.seeing.tags.told_tip import tip_told
from patternscan.setting import machine
from patternscan.setting.machine.sheet import Gear, Sheet
from patternscan.workflow import proof

LARGEST_MEGAPIXELS, HELD_MEGAPIXELS = 250.0, 32.0
"""Photos larger than the first are refused unless more is allowed; those larger than the second are held smaller, so
that several of them have room together."""
HALVED_PX = (768, 128)
"""A photo is held half as large when its flanks, as outlined, are then still so wide and high: as large as they are in
the photographs that figures are taken from (the median of dev has 670 by 124), no smaller than the net's picture."""
FIND_OUT = "auto"
"""Said in place of a compound: find out which, whatever the machine sheet says."""


@dataclass(frozen=True, slots=True)
class PhotoInput:
    """One photo as it was given: its flank, its outline file (None: look for it), where its tip points when upright
    (None: not said, so tags or the search find it out), and a pixel of its file on the tooth that is meant, when that
    is said.
    """

    photo: Path
    flank: Flank
    outline: Path | None = None
    tip: PictureSide | None = None
    tooth_at: tuple[float, float] | None = None

    @property
    def name(self) -> str:
        """The photo's bare name as it can be printed."""
        return printable(os.fsencode(self.photo.name).decode("utf-8", "replace"))

    @property
    def files(self) -> tuple[Path, ...]:
        """The files that are read and never written over."""
        return (self.photo,) if self.outline is None else (self.photo, self.outline)


@dataclass(frozen=True, slots=True)
class SettingsRequest:
    """What a person said of how photos are to be read; None is not said.

    ``compound`` is a colour or FIND_OUT, ``proof`` the file of a kept proof, ``told`` what was photographed.
    """

    marking: Marking | None = None
    compound: str | None = None
    sheet: Path | None = None
    max_megapixels: float = LARGEST_MEGAPIXELS
    snap: bool = False
    proof: Path | None = None
    told: ToldMedium = NOTHING_TOLD


@dataclass(frozen=True, slots=True)
class ReadingSettings:
    """What holds for every photo of one machine. ``pair`` is None when the sheet does not tell the gear.

    ``compound`` None means find out which; ``snap``: whether outlines that a person gave are pulled onto the edges in
    the photo; ``cautions`` are those that the sheet itself and a kept proof give rise to; ``widening`` is what that
    proof adds to intervals, None where none was given; ``told``: what was photographed.
    """

    sheet: Sheet
    pair: WormPair | None
    marking: Marking
    compound: Compound | None = None
    max_megapixels: float = LARGEST_MEGAPIXELS
    cautions: tuple[Caution, ...] = ()
    snap: bool = False
    widening: Widening | None = None
    told: ToldMedium = NOTHING_TOLD


def load_settings(request: SettingsRequest) -> ReadingSettings:
    """The machine sheet with its gear, and the marking and compound from request or sheet.

    Raises WrongUse for a faulty sheet or kept proof or an unsaid marking, InconsistentInputs where request and sheet
    differ.
    """
    kept = None if request.proof is None else proof.kept.own_proof(request.proof)
    sheet = machine.sheet_file.read_sheet(request.sheet) if request.sheet is not None else Sheet()
    pair, cautions = known_pair(sheet.gear)
    return ReadingSettings(
        sheet,
        pair,
        chosen_marking(request.marking, sheet.marking),
        chosen_compound(request.compound, sheet.compound),
        request.max_megapixels,
        cautions if kept is None else (*cautions, *kept.cautions),
        request.snap,
        None if kept is None else kept.widening,
        request.told.over(_usual_medium(sheet)),
    )


def _usual_medium(sheet: Sheet) -> ToldMedium:
    """What is photographed as a rule; a side is one of tape or paper."""
    return ToldMedium(sheet.medium, None if sheet.medium is Medium.FLANK else sheet.seen)


def known_pair(gear: Gear) -> tuple[WormPair | None, tuple[Caution, ...]]:
    """The worm pair of the sheet; none in silence when data are missing, with a caution when it does not hold."""
    if gear.missing:
        return None, ()
    try:
        return gear.worm_pair(), ()
    except WrongUse as fault:
        return None, (caution("gear-data-impossible", found=fault.found, remedy=fault.remedy),)


def with_film(settings: ReadingSettings, film: str | None) -> ReadingSettings:
    """The settings with the film of compound as a person noted it, which outranks the sheet's; None changes nothing."""
    if film is None:
        return settings
    return replace(settings, sheet=replace(settings.sheet, film=film.strip() or None))


def load_sheet(path: str | Path) -> Sheet:
    """A machine sheet (TOML). Raises WrongUse, naming every fault."""
    return machine.sheet_file.read_sheet(Path(path))


def load_outlines(path: str | Path) -> tuple[Outline, ...]:
    """All outlines of an outline file (JSON). Raises NoTrustworthyOutline for a faulty one."""
    return read_outline_file(Path(path)).outlines


def least_times(given: PhotoInput) -> int:
    """How many times smaller a photo may be held by what its outline file shows; 1 when nothing is known."""
    try:
        outlines = () if given.outline is None else read_outline_file(given.outline).outlines
    except PatternscanError:
        return 1
    least_px = (min((getattr(one, side) for one in outlines), default=0.0) for side in ("width_px", "height_px"))
    return 2 if all(size >= 2 * halved for size, halved in zip(least_px, HALVED_PX, strict=True)) else 1


def outlines_of(photo: Photo, given: PhotoInput, told: ToldMedium = NOTHING_TOLD) -> tuple[Outline, ...]:
    """The outlines of the wanted flank: from the file, or looked for in the photo; in the pixels of the photo's file.

    ``told``: what was photographed. Raises NoTrustworthyOutline, InconsistentInputs for the outline file of another
    photo or flank, and WrongUse where the side of tape or paper is not said.
    """
    if given.outline is None:
        return tuple(outline.enlarged(photo.times) for outline in _looked_for(photo, given, told.lift))
    content = read_outline_file(given.outline, told)
    if content.photo and Path(content.photo).stem.casefold() != Path(photo.name).stem.casefold():
        raise InconsistentInputs(
            f"The outline file {given.outline.name} was made for {content.photo}, but the photo is {photo.name}.",
            'Give the outline of this photo; if the photo was only renamed, change "photo" in the outline file.',
        )
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
    lift = told.lift
    mirrored = lift is not None and lift.mirrored
    return replace(given, tip=tip_told(tags, given.flank.other if mirrored else given.flank))


def _looked_for(photo: Photo, given: PhotoInput, lift: Lift | None) -> tuple[Outline, ...]:
    """The marked flanks, or the frame drawn round a print of one, in the pixels that are held."""
    if lift is not None:
        return (find_frame(photo, given.flank, given.tip or PictureSide.UP, lift),)
    return outline_search.search.find_outlines(photo, given.flank, given.tip, held_pixel(photo, given))


def held_pixel(photo: Photo, given: PhotoInput) -> tuple[float, float] | None:
    """The pixel on the tooth that is meant, in the photo as it is held; None when it is not said.

    Raises WrongUse for one outside the photo.
    """
    if given.tooth_at is None:
        return None
    x, y = given.tooth_at
    if not (0 <= x < photo.width_px and 0 <= y < photo.height_px):
        raise WrongUse(
            f"The place {x:g},{y:g} lies outside {photo.name} ({photo.width_px} x {photo.height_px} pixels).",
            "Give a place on the tooth that is meant, x from the left and y from the top of the upright photo.",
        )
    return (x + 0.5) / photo.times - 0.5, (y + 0.5) / photo.times - 0.5


def chosen_flank(
    named: Flank | None, end_a: PictureSide | None, tip: PictureSide, told: ToldMedium = NOTHING_TOLD
) -> Flank:
    """The flank by its name, or by where end A is seen and the tip points; both are checked against each other.

    ``told``: what was photographed; on the side of tape or paper that touched the tooth end A is seen at the other end.
    """
    if end_a is None:
        if named is not None:
            return named
        raise WrongUse(
            "It is not said which flank the photo shows.",
            "Give --flank left or right, or --end-a with the side where the letter A is seen.",
        )
    lift = told.lift
    shown = flank_shown(tip, end_a, lift is not None and lift.mirrored)
    if named not in (None, shown):
        raise InconsistentInputs(
            f"With the tip {tip} and end A {end_a} the photo shows a {shown} flank, but --flank says {named}.",
            "Look again which end face carries the letter A; if the photo is mirrored, take it again."
            if lift is None
            else "Look again where the letter A was written, and which side of the tape or paper is seen.",
        )
    return shown


def chosen_marking(said: Marking | None, on_sheet: Marking | None) -> Marking:
    """The marking as said or on the machine sheet. There is no default: the wrong one turns the answer round."""
    marking = said or on_sheet
    if marking is None:
        raise WrongUse(
            "It is not said how the teeth were marked.",
            "Give --marking transfer (compound printed onto clean teeth) or --marking rub-off (painted teeth rubbed "
            "bare).",
        )
    if on_sheet is not None and marking is not on_sheet:
        raise InconsistentInputs(
            f"You said {said}, but the machine sheet says {on_sheet}.",
            "Find out how these teeth were marked and correct the one that is wrong.",
        )
    return marking


def chosen_compound(said: str | None, on_sheet: Compound | None) -> Compound | None:
    """The compound as said or on the machine sheet; None means find out which."""
    if said is None:
        return on_sheet
    return None if said == FIND_OUT else Compound(said)
