"""Photos of which a person has said what is true, each with its machine."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.gearing.pair import WormPair
from patternscan.judging.proof.truth import Truth
from patternscan.reporting.documents.truth import TRUTH_ENDING, TruthFile, find_truth_files, read_truth_file
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.image.photo_cut import PhotoCut, laid_back
from patternscan.setting.machine.sheet import Gear, Sheet
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.workflow.inputs.machine_folder import PHOTO_NAME
from patternscan.workflow.inputs.outlines import refuse_other_picture
from patternscan.workflow.inputs.photo_input import HELD_MEGAPIXELS
from patternscan.workflow.inputs.settings import known_pair

PAINT_ANEW = "paint this one anew with 'patternscan truth PHOTO'"


@dataclass(frozen=True, slots=True, eq=False)
class WitnessPhoto:
    """One photo with the truth of one person or more, the machine it is of and its gear, and the pair if that is known.

    ``truths``: for each flank what each person says, the one whose word counts first, outlined in the whole photo where
    ``cut`` tells that this is a piece of it.
    """

    photo: Path
    machine: str
    gear: Gear
    pair: WormPair | None
    truths: tuple[tuple[Truth, ...], ...]
    files: tuple[Path, ...]
    cut: PhotoCut | None = None

    def load(self, max_megapixels: float) -> Photo:
        """The whole photo. Raises UnreadablePhoto, InconsistentInputs for a piece that does not lie in it, and for
        another picture than was painted on.
        """
        photo = load_photo(self.photo, max_megapixels, HELD_MEGAPIXELS if self.cut is None else max_megapixels)
        for picture in {truth.picture for truths in self.truths for truth in truths if truth.picture}:
            size_px = picture.width_px, picture.height_px
            refuse_other_picture(f"The truth of {photo.name}", size_px, picture, photo, PAINT_ANEW)
        return photo if self.cut is None else laid_back(photo, self.cut)


def find_witnesses(folder: Path) -> tuple[WitnessPhoto, ...]:
    """The photos in a folder that have truth files beside them. Raises WrongUse."""
    if not folder.is_dir():
        raise WrongUse(f"There is no folder {folder}.", "Give the folder that holds your photos and their truth files.")
    by_photo: dict[Path, list[TruthFile]] = {}
    for path in find_truth_files(folder):
        file = read_truth_file(path)
        by_photo.setdefault(file.photo, []).append(file)
    if not by_photo:
        raise WrongUse(
            f"{folder} holds no truth file (its name ends in {TRUTH_ENDING}).",
            "Paint what is true of your photos first: patternscan truth PHOTO --help",
        )
    return tuple(_witness(photo, files) for photo, files in by_photo.items())


def _witness(photo: Path, files: Sequence[TruthFile]) -> WitnessPhoto:
    told = next((file.machine for file in files if file.machine), "")
    sheet = _sheet_beside(photo, told)
    by_flank: dict[tuple[str, str], list[Truth]] = {}
    for truth in sorted((truth for file in files for truth in _in_whole(file)), key=lambda truth: truth.made_at):
        by_flank.setdefault((truth.outline.flank, truth.outline.tooth), []).append(truth)
    truths = tuple(map(tuple, by_flank.values()))
    machine = told or sheet.machine or _machine_by_name(photo)
    pair, _ = known_pair(sheet.gear)
    return WitnessPhoto(photo, machine, sheet.gear, pair, truths, tuple(file.path for file in files), _cut(files))


def _in_whole(file: TruthFile) -> Iterator[Truth]:
    """What a file holds, outlined in the whole photo."""
    for truth in file.truths:
        yield truth if file.cut is None else replace(truth, outline=truth.outline.moved(file.cut.corner_px))


def _cut(files: Sequence[TruthFile]) -> PhotoCut | None:
    """Where the photo was cut out. Raises InconsistentInputs for files that tell it differently."""
    cuts = {file.cut for file in files}
    if len(cuts) > 1:
        raise InconsistentInputs(
            f"The truth files of {files[0].photo.name} do not agree on where it was cut out of a larger photo.",
            "Unpack the archive again: the files in it must stay as they are.",
        )
    return cuts.pop()


def _sheet_beside(photo: Path, machine: str) -> Sheet:
    """The only machine sheet beside a photo, else an empty one; so too when it is of another machine than is told."""
    sheets = list(photo.parent.glob("*.toml"))
    sheet = read_sheet(sheets[0]) if len(sheets) == 1 else Sheet()
    return sheet if machine in ("", sheet.machine) else Sheet()


def _machine_by_name(photo: Path) -> str:
    """The machine as the photo's name tells it, else its folder."""
    told = PHOTO_NAME.fullmatch(photo.stem)
    return (told["name"] if told else None) or photo.parent.resolve().name
