"""How right the readings are on photographs of which a person has said what is true."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, PatternscanError, WrongUse
from patternscan.frame import Made
from patternscan.gearing.pair import WormPair
from patternscan.judging.proof.checked_flank import CheckedFlank, check_reading, not_read
from patternscan.judging.proof.hand_spread import HandSpread, compare_hands
from patternscan.judging.proof.outline_overlap import outline_overlap
from patternscan.judging.proof.proof import Proof
from patternscan.judging.proof.truth import Truth
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.truth import TRUTH_ENDING, TruthFile, find_truth_files, read_truth_file
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.search import find_outlines
from patternscan.setting.machine.sheet import Sheet
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.workflow.inputs import LARGEST_MEGAPIXELS, known_pair
from patternscan.workflow.judge import in_silence
from patternscan.workflow.machine_folder import PHOTO_NAME
from patternscan.workflow.read import read_flank

MOST_SHOWN = 6
"""Pictures of the worst flanks; more nobody looks through."""


@dataclass(frozen=True, slots=True)
class ProofRequest:
    """A folder of photos with their truth files; ``search``: whether the tool also looks for the outlines itself."""

    folder: Path
    search: bool = True
    max_megapixels: float = LARGEST_MEGAPIXELS
    by: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class WitnessPhoto:
    """One photo with the truth of one person or more, the machine it is of and its gear, if known.

    ``truths``: for each flank what each person says, the one whose word counts first.
    """

    photo: Path
    machine: str
    pair: WormPair | None
    truths: tuple[tuple[Truth, ...], ...]
    files: tuple[Path, ...]


@dataclass(frozen=True, slots=True, eq=False)
class ShownFlank:
    """A reading beside the truth, to be looked at."""

    reading: Reading
    truth: Truth
    overlap: float


@dataclass(frozen=True, slots=True, eq=False)
class ProofResult:
    """The proof; ``worst`` are the flanks whose contact overlaps least with the true one, the worst first."""

    proof: Proof
    worst: tuple[ShownFlank, ...]
    photos: tuple[WitnessPhoto, ...]
    made: Made


def prove_folder(request: ProofRequest, done: Callable[[float], None] = in_silence) -> ProofResult:
    """Read every photo that has its truth beside it and set the readings beside that.

    Raises WrongUse for a folder without truth files or with a damaged one, UnreadablePhoto for a photo that is gone.
    """
    photos = find_witnesses(request.folder)
    flanks: list[CheckedFlank] = []
    worst: list[ShownFlank] = []
    for number, one in enumerate(photos, 1):
        photo = load_photo(one.photo, request.max_megapixels)
        for truth, *_ in one.truths:
            checked, shown = _checked(photo, truth, one)
            flanks.append(_searched(photo, truth, checked) if request.search else checked)
            worst = sorted([*worst, *shown], key=lambda each: each.overlap)[:MOST_SHOWN]
        done(number / len(photos))
    return ProofResult(Proof(tuple(flanks), tuple(_hands(photos))), tuple(worst), photos, Made.now(request.by))


def find_witnesses(folder: Path) -> tuple[WitnessPhoto, ...]:
    """The photos in a folder that have truth files beside them. Raises WrongUse."""
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
    for truth in sorted((truth for file in files for truth in file.truths), key=lambda truth: truth.made_at):
        by_flank.setdefault((truth.outline.flank, truth.outline.tooth), []).append(truth)
    truths = tuple(map(tuple, by_flank.values()))
    machine = told or sheet.machine or _machine_by_name(photo)
    return WitnessPhoto(photo, machine, known_pair(sheet.gear)[0], truths, tuple(file.path for file in files))


def _sheet_beside(photo: Path, machine: str) -> Sheet:
    """The only machine sheet beside a photo, else an empty one; so too when it is of another machine than is told."""
    sheets = list(photo.parent.glob("*.toml"))
    sheet = read_sheet(sheets[0]) if len(sheets) == 1 else Sheet()
    return sheet if machine in ("", sheet.machine) else Sheet()


def _machine_by_name(photo: Path) -> str:
    """The machine as the photo's name tells it, else its folder."""
    told = PHOTO_NAME.fullmatch(photo.stem)
    return (told["name"] if told else None) or photo.parent.resolve().name


def _checked(photo: Photo, truth: Truth, one: WitnessPhoto) -> tuple[CheckedFlank, list[ShownFlank]]:
    try:
        reading = read_flank(photo, truth.outline, truth.marking, None, one.pair)
    except PatternscanError as stop:
        contradicted = False if isinstance(stop, InconsistentInputs) else None
        return not_read(truth, one.machine, stop.found, contradicted), []
    checked = check_reading(reading, truth, one.machine)
    return checked, [ShownFlank(reading, truth, checked.overlap or 0.0)]


def _searched(photo: Photo, truth: Truth, checked: CheckedFlank) -> CheckedFlank:
    """The same, with how well the tool finds the outline by itself."""
    outline = truth.outline
    try:
        found: tuple[Outline, ...] = find_outlines(photo, outline.flank, outline.tip_side)
    except NoTrustworthyOutline:
        found = ()
    return replace(checked, outline_overlap=max((outline_overlap(one, outline) for one in found), default=0.0))


def _hands(photos: Sequence[WitnessPhoto]) -> Iterator[HandSpread]:
    """Every two people who painted the same flank."""
    for photo in photos:
        for truths in photo.truths:
            for first, second in combinations({truth.by: truth for truth in truths}.values(), 2):
                yield compare_hands(first, second, photo.machine)
