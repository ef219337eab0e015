"""Judgements that were kept: read back from their file or folder, with the flat flanks and contact maps beside it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.comparison import Target
from patternscan.judging.judged_state import FlankState, Identity, JudgedState, ToldCaution
from patternscan.judging.judgement import PHOTO_DECLINED, Judgement
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.provenance import Source, photo_sources, result_sources
from patternscan.reporting.documents.result import (
    JUDGEMENT,
    VERSION,
    Document,
    contact_map_image,
    flat_image,
    judgement_document,
)
from patternscan.reporting.pictures.annotation import cut_bare

LARGEST_GEAR_NUMBER = 1e6
"""No size of a gear in mm or degrees and no number of teeth is larger."""
FURTHEST = 2.0
"""No fraction of a flank, shift or end of its doubt lies further from 0 than this."""
JUDGEMENT_NAME = "judgement.json"
MAP_SIZE, FLAT_SIZE = (256, 128), (512, 256)
"""Width and height of a kept contact map and of a kept flat flank, in pixels."""
LARGEST_CLOSE_UP_PX = 12_000
"""No kept piece of a photo has a longer side."""
FITS_WITHIN = 0.02
"""A kept map belongs to its result when it shows the same coverage within this."""


class ForeignPicture(ValueError):
    """A picture beside a result that is not its own; the words say which."""


@dataclass(frozen=True, slots=True, eq=False)
class KeptTooth:
    """One tooth's flank laid flat: ``flat`` uint8 (256, 512, 3) sRGB, ``contact`` uint8 (128, 256).

    255 is contact, 0 none, 128 not judged. Row 0 is the tip, column 0 end A. ``close_up`` uint8 (rows, cols, 3) is
    the piece of the photo at its own size; None when it was not kept.
    """

    tooth: str
    flat: NDArray[np.uint8]
    contact: NDArray[np.uint8]
    close_up: NDArray[np.uint8] | None = None


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


def kept_inspection(judgement: Judgement) -> KeptResult:
    """The same as if the judgement had been written to a folder and read back."""

    def teeth(readings: Sequence[Reading]) -> tuple[KeptTooth, ...]:
        return tuple(
            KeptTooth(
                one.outline.tooth,
                np.asarray(flat_image(one)),
                np.asarray(contact_map_image(one)),
                np.asarray(cut_bare(one.photo, [one.outline])),
            )
            for one in readings
        )

    return KeptResult(
        _state(judgement_document(judgement)),
        teeth(judgement.left),
        teeth(judgement.right),
        sources=photo_sources(reading.photo for reading in (*judgement.left, *judgement.right)),
    )


def read_kept(path: Path) -> KeptResult:
    """Read a judgement with its pictures, from its file or from the folder that ``judge --out`` wrote.

    Raises what ``read_judgement`` raises. Pictures that are missing or do not fit are no failure.
    """
    content = _judgement(judgement_path(path))
    state = _sound(content, path)
    folder, teeth, sources = judgement_path(path).parent, {}, result_sources(judgement_path(path), content)
    try:
        for flank in Flank:
            flanks = [one for reading in content[flank.value] for one in reading["flanks"]]
            teeth[flank] = tuple(_read_tooth(folder, f"{flank}_{number}", one) for number, one in enumerate(flanks, 1))
    except (OSError, ValueError, KeyError, TypeError, Image.DecompressionBombError) as error:
        return KeptResult(state, (), (), f"Beside {judgement_path(path).name} {_why_no_picture(error)}", sources)
    return KeptResult(state, teeth[Flank.LEFT], teeth[Flank.RIGHT], sources=sources)


def _why_no_picture(error: Exception) -> str:
    if isinstance(error, FileNotFoundError):
        return f"{Path(error.filename).name} is not there"
    return str(error) if isinstance(error, ForeignPicture) else "a picture of a flank cannot be read"


def judgement_path(path: Path) -> Path:
    """The file of a judgement: the path itself, or the one inside it when it is a folder. Raises WrongUse."""
    if not path.is_dir():
        return path
    if not (path / JUDGEMENT_NAME).is_file():
        raise WrongUse(
            f"The folder {path} holds no {JUDGEMENT_NAME}.",
            "Give a folder written by 'patternscan judge --out', or the photos by their options.",
        )
    return path / JUDGEMENT_NAME


def read_judgement(path: Path) -> JudgedState:
    """Read what ``judge --json`` wrote. Raises WrongUse for no JSON file, InconsistentInputs for another document."""
    return _sound(_judgement(judgement_path(path)), path)


def _judgement(path: Path) -> Document:
    content = _json(path)
    if content.get("format") != JUDGEMENT or content.get("version") != VERSION:
        raise InconsistentInputs(
            f"{path.name} is not a judgement but {content.get('format') or 'something else'}.",
            f"Give two files written by 'patternscan judge --json' or found as {JUDGEMENT_NAME} in its --out folder.",
        )
    return content


def _sound(content: Document, path: Path) -> JudgedState:
    try:
        return _state(content)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise InconsistentInputs(
            f"{path.name} is a damaged judgement ({type(error).__name__}: {error}).", "Judge the photos again."
        ) from error


def _json(path: Path) -> Document:
    """The content of a JSON file in UTF-8 or, as some consoles write it, UTF-16."""
    try:
        content = json.loads(path.read_bytes())
    except OSError as error:
        raise WrongUse(f"{path} cannot be read: {error.strerror or error}.", "Check its name and place.") from error
    except (ValueError, RecursionError) as error:
        raise WrongUse(
            f"{path.name} is damaged or no result of this tool.", "Give a file written by 'patternscan judge'."
        ) from error
    return content if isinstance(content, dict) else {}


def _state(content: Document) -> JudgedState:
    flanks = [flank for side in Flank for one in content[side.value] for flank in one["flanks"]]
    return JudgedState(
        shared=_read_interval(content["shared_shift"]["along"]),
        opposed=_read_interval(content["opposed_shift"]["along"]),
        left=_read_flank(content["pooled"]["left"]),
        right=_read_flank(content["pooled"]["right"]),
        marking=Marking(flanks[0]["marking"]) if flanks else None,
        compounds=frozenset(Compound(flank["compound"]) for flank in flanks),
        film=_read_words(content.get("film")),
        target=_read_target(content["target"]),
        identity=Identity(
            machine=None if content.get("machine_by_folder") else _read_words(content.get("machine")),
            gear={
                str(name): _read_gear(value) for name, value in (content.get("gear") or {}).items() if value is not None
            },
            left_photos=_read_photos(content["left"]),
            right_photos=_read_photos(content["right"]),
            seen_hand=_read_words(content.get("seen_hand")),
        ),
        grave_cautions=_read_cautions(one for one in content["cautions"] if one.get("grave")),
        declined=_read_cautions(one for one in content["cautions"] if one["code"] == PHOTO_DECLINED),
    )


def _read_cautions(cautions: Iterable[Document]) -> tuple[ToldCaution, ...]:
    return tuple(ToldCaution(str(one["code"]), str(one["message"]), str(one["remedy"])) for one in cautions)


def _read_target(target: Document) -> Target:
    left, right = (_read_number(target[f"{flank}_along"]) for flank in Flank)
    left_doubt, right_doubt = (abs(_read_number(target.get(f"{flank}_doubt", 0.0))) for flank in Flank)
    return Target(left, right, left_doubt, right_doubt, _read_words(target.get("reference")))


def _read_photos(readings: Sequence[Document]) -> frozenset[str]:
    return frozenset(str(one["photo"]["sha256"]) for one in readings if one.get("photo", {}).get("sha256"))


def _read_words(words: Any) -> str | None:
    """Words on one line; None for none, or blanks alone."""
    return " ".join(str(words).split()) or None if words else None


def _read_gear(value: Any) -> float | str:
    """A size of the gear or a word. Raises ValueError for anything else."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) <= LARGEST_GEAR_NUMBER:
        raise ValueError("gear data must be words or numbers")
    return value


def _read_flank(pooled: Document | None) -> FlankState | None:
    if pooled is None:
        return None
    along, up, coverage = (_read_interval(pooled[name]) for name in ("along", "up", "coverage"))
    if along is None or up is None or coverage is None:
        return None
    return FlankState(along, up, coverage, *(_read_extent(pooled.get(name)) for name in ("length", "height")))


def _read_extent(numbers: Any) -> Interval | None:
    """Length or height with its doubt; None as early versions wrote it, a bare number."""
    return _read_interval(numbers) if isinstance(numbers, dict) else None


def _read_interval(numbers: Document | None) -> Interval | None:
    if numbers is None:
        return None
    return Interval(*(_read_number(numbers[name]) for name in ("value", "low", "high")))


def _read_number(number: Any) -> float:
    """A number no further from 0 than FURTHEST. Raises ValueError for anything else."""
    if isinstance(number, bool) or not isinstance(number, int | float) or not abs(number) <= FURTHEST:
        raise ValueError(f"a place or shift must be a number from {-FURTHEST:g} to {FURTHEST:g}")
    return float(number)


def _read_tooth(folder: Path, stem: str, flank: Document) -> KeptTooth:
    """One tooth from its two pictures. Raises OSError for no picture, ForeignPicture for one that is another's."""
    flat = _read_picture(folder / f"{stem}.flat.jpg", "RGB", FLAT_SIZE)
    contact = _read_picture(folder / f"{stem}.contact.png", "L", MAP_SIZE)
    judged = contact != 128
    covered = float((contact[judged] > 128).mean()) if judged.any() else 0.0
    if abs(covered - _read_number(flank["coverage"]["value"])) > FITS_WITHIN:
        raise ForeignPicture(f"{stem}.contact.png is the map of another result")
    return KeptTooth(str(flank["tooth"]), flat, contact, _read_close_up(folder / f"{stem}.close_up.jpg"))


def _read_close_up(path: Path) -> NDArray[np.uint8] | None:
    """The piece of a photo; None when it is not there, cannot be read or is larger than any photo."""
    try:
        with Image.open(path, formats=("JPEG",)) as image:
            return np.asarray(image.convert("RGB")) if max(image.size) <= LARGEST_CLOSE_UP_PX else None
    except (OSError, ValueError, Image.DecompressionBombError):
        return None


def _read_picture(path: Path, mode: str, size: tuple[int, int]) -> NDArray[np.uint8]:
    with Image.open(path, formats=("JPEG", "PNG")) as image:
        if image.size != size:
            raise ForeignPicture(f"{path.name} has another size than this tool writes")
        return np.asarray(image.convert(mode))
