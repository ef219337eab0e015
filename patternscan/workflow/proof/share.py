"""An archive of photos with their truth that is fit to be given away: pixels round the wheel, gear data, no names.

Photos are cut down to the wheel. Where a piece lay stands with what was painted: the middle of the whole photo counts
when the camera's place is worked out, so that the figures of a proof stay what they were.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from tempfile import TemporaryFile
from typing import IO
from zipfile import ZIP_STORED, ZipFile, ZipInfo

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.errors import CannotWrite
from patternscan.judging.proof.truth import Truth
from patternscan.reporting.documents.parts import encode
from patternscan.reporting.documents.truth import TRUTH_ENDING, truth_document
from patternscan.reporting.drawing.encoding import png_bytes
from patternscan.reporting.text.sharing import ABOUT
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.image.photo_cut import PhotoCut, cut_round
from patternscan.setting.machine.sheet_file import gear_sheet
from patternscan.workflow.judge import in_silence
from patternscan.workflow.proof.witnesses import WitnessPhoto

ROUND_WHEEL = 0.25
"""So much of the longer side of the box round the outlines is kept on each side of it: what quality and occlusion look
at beside a flank lies nearer."""


@dataclass(frozen=True, slots=True)
class Numbers:
    """What stands in place of names: a number for each machine, and one for each person who painted."""

    machines: dict[str, int]
    people: dict[str, int]

    @classmethod
    def of(cls, photos: Sequence[WitnessPhoto]) -> Numbers:
        """Counted in the order in which they come."""
        people = dict.fromkeys(truth.by for one in photos for truths in one.truths for truth in truths if truth.by)
        machines = dict.fromkeys(one.machine for one in photos)
        return cls(*({name: number for number, name in enumerate(names, 1)} for names in (machines, people)))


@contextmanager
def shared_archive(
    photos: Sequence[WitnessPhoto], max_megapixels: float, done: Callable[[float], None] = in_silence
) -> Iterator[IO[bytes]]:
    """The archive (ZIP) as a file without a name, to be read from its beginning; gone in the end.

    Raises UnreadablePhoto, CannotWrite.
    """
    with TemporaryFile() as file:
        try:
            with ZipFile(file, "w", ZIP_STORED) as archive:
                archive.writestr(ZipInfo("README.txt"), ABOUT)
                for part, name, content in _contents(photos, max_megapixels):
                    archive.writestr(ZipInfo(name), content)
                    done(part)
            file.seek(0)
        except OSError as error:
            found = f"The archive cannot be written: {error.strerror or error}."
            raise CannotWrite(found, "Make room on the disk.") from error
        yield file


def _contents(photos: Sequence[WitnessPhoto], max_megapixels: float) -> Iterator[tuple[float, str, bytes]]:
    """Every file of the archive, with how much of the work is done; one photo is held at a time."""
    numbers = Numbers.of(photos)
    for number, one in enumerate(photos, 1):
        for name, content in shared_files(one, number, numbers, max_megapixels):
            yield number / len(photos), name, content


def shared_files(
    one: WitnessPhoto, number: int, numbers: Numbers, max_megapixels: float
) -> Iterator[tuple[str, bytes]]:
    """The files of one photo by their names in the archive: picture, gear data, what each person painted."""
    machine = f"machine {numbers.machines[one.machine]}"
    stem = f"photo_{number:03}"
    place = f"{machine.replace(' ', '_')}/{stem}"
    photo = one.load(max_megapixels)
    held = [[replace(each, outline=each.outline.enlarged(1 / photo.times)) for each in truths] for truths in one.truths]
    piece, cut = _wheel_alone(photo, [truths[0].outline for truths in held])
    given_away = Photo(f"{stem}.png", piece).fingerprint
    yield f"{place}/{stem}.png", png_bytes(Image.fromarray(piece))
    yield f"{place}/machine.toml", gear_sheet(machine, one.gear).encode()
    for flank, truths in enumerate(held, 1):
        for rank, truth in enumerate(truths, 1):
            nameless = replace(_nameless(truth, f"{stem}.png", str(flank), numbers), picture=given_away)
            nameless = replace(nameless, outline=nameless.outline.moved((-cut.corner_px[0], -cut.corner_px[1])))
            yield f"{place}/{stem}.{flank}.{rank}{TRUTH_ENDING}", encode(truth_document([nameless], machine, cut))


def _wheel_alone(photo: Photo, outlines: Sequence[Outline]) -> tuple[NDArray[np.uint8], PhotoCut]:
    borders = np.vstack([outline.border for outline in outlines])
    return cut_round(photo.pixels, borders, ROUND_WHEEL * float(np.ptp(borders, axis=0).max()))


def _nameless(truth: Truth, photo: str, tooth: str, numbers: Numbers) -> Truth:
    by = f"person {numbers.people[truth.by]}" if truth.by else ""
    return replace(truth, photo=photo, outline=replace(truth.outline, tooth=tooth), by=by, made_at="")
