"""Judgements that were kept: read back from their file or folder, with the flat flanks and contact maps beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from io import BytesIO
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.frame import Flank, Made
from patternscan.judging.judgement import Judgement
from patternscan.judging.states.judged_state import JudgedState
from patternscan.measuring.reading import Reading
from patternscan.plain_text import one_line
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.documents.provenance import Source, photo_sources, result_sources
from patternscan.reporting.documents.reading import FlankPart, ReadingDocument
from patternscan.reporting.kept.files import Digests, named_files, own_content
from patternscan.reporting.kept.judgement import judged_state, judgement_path, read_document
from patternscan.reporting.pictures.annotation import cut_bare
from patternscan.reporting.pictures.bare_flank import KeptTooth, contact_map_image, flat_image

MAP_SIZE, FLAT_SIZE = (256, 128), (512, 256)
"""Width and height of a kept contact map and of a kept flat flank, in pixels."""
ENDINGS = "flat.jpg", "contact.png", "close_up.jpg"
LARGEST_CLOSE_UP_PX = 12_000
"""No kept piece of a photo has a longer side."""
FITS_WITHIN = 0.02
"""A kept map belongs to its result when it shows the same coverage within this."""


class ForeignPicture(ValueError):
    """A picture beside a result that is not its own; the words say which."""


@dataclass(frozen=True, slots=True, eq=False)
class KeptResult:
    """A judged state with the teeth of each flank; ``no_pictures`` says why there are none, None when all are there.

    ``sources`` are the result's file and the photos it rests on.
    """

    state: JudgedState
    left: tuple[KeptTooth, ...]
    right: tuple[KeptTooth, ...]
    no_pictures: str | None = None
    sources: tuple[Source, ...] = ()

    def teeth(self, flank: Flank) -> tuple[KeptTooth, ...]:
        """The teeth of one flank."""
        return self.left if flank is Flank.LEFT else self.right


def as_kept(judgement: Judgement) -> KeptResult:
    """The same as if the judgement had been written to a folder and read back, but of no time: photos tell of none."""
    readings = (*judgement.left, *judgement.right)
    taken = tuple(one.photo.taken for one in readings if one.photo.taken is not None)
    return KeptResult(
        replace(judged_state(judgement_document(judgement, Made.now())), made_at=None, taken=taken),
        tuple(map(_tooth, judgement.left)),
        tuple(map(_tooth, judgement.right)),
        sources=photo_sources(reading.photo for reading in readings),
    )


def read_kept(path: Path) -> KeptResult:
    """Read a judgement with its pictures, from its file or from the folder that ``judge --out`` wrote.

    Raises what ``read_judgement`` raises, and InconsistentInputs for pictures that are not those the judgement names.
    Pictures that are missing are no failure, nor those that do not fit a judgement that names none.
    """
    document, state = read_document(path)
    path = judgement_path(path)
    sources = result_sources(path, document)
    try:
        named = named_files(path)
        left, right = (_read_teeth(path.parent, flank, document.readings(flank), named) for flank in Flank)
    except (OSError, ValueError, Image.DecompressionBombError) as error:
        return KeptResult(state, (), (), f"Beside {path.name} {_why_no_picture(error)}", sources)
    return KeptResult(state, left, right, sources=sources)


def _tooth(reading: Reading) -> KeptTooth:
    pictures = flat_image(reading), contact_map_image(reading), cut_bare(reading.photo, [reading.outline])
    return KeptTooth(reading.outline.tooth, *map(np.asarray, pictures))


def _why_no_picture(error: Exception) -> str:
    if isinstance(error, FileNotFoundError):
        return f"{Path(error.filename).name} is not there"
    return str(error) if isinstance(error, ForeignPicture) else "a picture of a flank cannot be read"


def _read_teeth(
    folder: Path, flank: Flank, readings: Sequence[ReadingDocument], named: Digests
) -> tuple[KeptTooth, ...]:
    flanks = [one for reading in readings for one in reading.flanks]
    return tuple(_read_tooth(folder / f"{flank}_{number}", one, named) for number, one in enumerate(flanks, 1))


def _read_tooth(stem: Path, flank: FlankPart, named: Digests) -> KeptTooth:
    """One tooth from its two pictures. Raises OSError for no picture, ForeignPicture for one that is another's."""
    flat_path, contact_path, close_up_path = (stem.with_name(f"{stem.name}.{end}") for end in ENDINGS)
    flat = _read_picture(flat_path, "RGB", FLAT_SIZE, named)
    contact = _read_picture(contact_path, "L", MAP_SIZE, named)
    judged = contact != 128
    covered = float((contact[judged] > 128).mean()) if judged.any() else 0.0
    if abs(covered - flank.coverage.value) > FITS_WITHIN:
        raise ForeignPicture(f"{contact_path.name} is the map of another result")
    return KeptTooth(one_line(flank.tooth), flat, contact, _read_close_up(close_up_path, named))


def _read_close_up(path: Path, named: Digests) -> NDArray[np.uint8] | None:
    """The piece of a photo; None when it is not there, cannot be read or is larger than any photo."""
    try:
        with Image.open(BytesIO(own_content(path, named)), formats=("JPEG",)) as image:
            return np.asarray(image.convert("RGB")) if max(image.size) <= LARGEST_CLOSE_UP_PX else None
    except (OSError, ValueError, Image.DecompressionBombError):
        return None


def _read_picture(path: Path, mode: str, size: tuple[int, int], named: Digests) -> NDArray[np.uint8]:
    with Image.open(BytesIO(own_content(path, named)), formats=("JPEG", "PNG")) as image:
        if image.size != size:
            raise ForeignPicture(f"{path.name} has another size than this tool writes")
        return np.asarray(image.convert(mode))
