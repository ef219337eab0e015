"""How photos are to be read: what a person said of it, and what is on the machine sheet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.cautions import Caution, caution
from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Compound, Marking, Medium
from patternscan.gearing.pair import WormPair
from patternscan.measuring.widening import Widening
from patternscan.seeing.geometry.outline_file import NOTHING_TOLD
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.setting import machine
from patternscan.setting.machine.sheet import Gear, Sheet
from patternscan.workflow import inputs

LARGEST_MEGAPIXELS = 250.0
"""Larger photos are refused unless more is allowed."""
FIND_OUT = "auto"
"""Said in place of a compound: find out which, whatever the machine sheet says."""


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
    kept = None if request.proof is None else inputs.own_proof.own_proof(request.proof)
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
