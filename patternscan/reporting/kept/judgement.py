"""A judgement that was kept as a file: read back, checked, and brought to the plain numbers that a comparison takes."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import msgspec

from patternscan.cautions import ASKED_BACK
from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Flank, Medium
from patternscan.judging.advice import ASKED_FIRST
from patternscan.judging.comparison import Target
from patternscan.judging.judgement import PHOTO_DECLINED
from patternscan.judging.proof.kept_proof import QUIET_CODES
from patternscan.judging.states.judged_state import FlankState, Identity, JudgedState, ToldCaution
from patternscan.measuring.interval import Interval
from patternscan.plain_text import one_line, shortened
from patternscan.reporting.documents.judgement import GearValue, JudgementDocument, PooledPart, TargetPart
from patternscan.reporting.documents.parts import VERSION, CautionPart, perhaps
from patternscan.reporting.documents.reading import ReadingDocument, flank_corners
from patternscan.reporting.kept.job_pattern import as_in_job
from patternscan.seeing.image.fingerprint import Fingerprint, OutlinedPicture
from patternscan.text_file import text_bytes

JUDGEMENT_NAME = "judgement.json"
FORMAT = "patternscan-judgement"
LARGEST_GEAR_NUMBER = 1e6
"""No size of a gear in mm or degrees and no number of teeth is larger."""
FURTHEST = 2.0
"""No fraction of a flank, shift or end of an interval lies further from 0 than this."""


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
    return read_document(path)[1]


def read_document(path: Path) -> tuple[JudgementDocument, JudgedState]:
    """The document in a file or folder, and the state that it tells of. Raises what ``read_judgement`` raises."""
    path = judgement_path(path)
    content = _json(path)
    if content.get("format") != FORMAT or content.get("version") != VERSION:
        raise InconsistentInputs(
            f"{path.name} is not a judgement but {shortened(str(content.get('format') or 'something else'))}.",
            f"Give two files written by 'patternscan judge --json' or found as {JUDGEMENT_NAME} in its --out folder.",
        )
    try:
        document = msgspec.convert(content, JudgementDocument)
        state = judged_state(document)
    except (ValueError, OverflowError) as error:
        raise InconsistentInputs(
            f"{path.name} is a damaged judgement ({shortened(str(error))}).", "Judge the photos again."
        ) from error
    return document, as_in_job(state, path)


def judged_state(document: JudgementDocument) -> JudgedState:
    """The plain numbers of a judgement. Raises ValueError for numbers that no flank can have."""
    flanks = [flank for side in Flank for one in document.readings(side) for flank in one.flanks]
    return JudgedState(
        shared=_checked(document.shared_shift.along),
        opposed=_checked(document.opposed_shift.along),
        left=_flank(document.pooled.left),
        right=_flank(document.pooled.right),
        marking=flanks[0].marking if flanks else None,
        compounds=frozenset(flank.compound for flank in flanks),
        film=_one_line(document.film),
        media=frozenset(flank.medium for flank in flanks) or frozenset({Medium.FLANK}),
        target=_target(document.target),
        identity=_identity(document),
        grave_cautions=_told(forbidding_parts(document)),
        asked=_told(one for one in document.cautions if one.code in ASKED_BACK),
        declined=_told(one for one in document.cautions if one.code == PHOTO_DECLINED),
        proven=_told(one for one in document.cautions if one.code in QUIET_CODES),
        made_at=_time(document.made_at),
    )


def forbidding_parts(document: JudgementDocument) -> list[CautionPart]:
    """The cautions that forbid a direction, the one that is asked first before the others."""
    return sorted((one for one in document.cautions if one.grave), key=lambda one: one.code != ASKED_FIRST)


def _json(path: Path) -> dict[str, Any]:
    """The content of a JSON file in UTF-8 or, as some consoles write it, UTF-16."""
    try:
        content = json.loads(text_bytes(path))
    except OSError as error:
        raise WrongUse(f"{path} cannot be read: {error.strerror or error}.", "Check its name and place.") from error
    except (ValueError, RecursionError) as error:
        raise WrongUse(
            f"{path.name} is damaged or no result of this tool.",
            "Give the folder that a judgement was written to, or judgement.json in it; or judge the photos again.",
        ) from error
    return content if isinstance(content, dict) else {}


def _identity(document: JudgementDocument) -> Identity:
    readings = (*document.left, *document.right)
    return Identity(
        machine=None if document.machine_by_folder else _one_line(document.machine),
        gear={name: _gear(value) for name, value in (document.gear or {}).items() if value is not None},
        left_photos=_digests(document.left),
        right_photos=_digests(document.right),
        seen_hand=_one_line(document.seen_hand),
        pictures=tuple(dict.fromkeys(picture for one in readings for picture in _pictures(one))),
        outlined=tuple(
            outlined for one in readings for picture in _pictures(one) for outlined in _outlined(one, picture)
        ),
        slenderness=_slenderness(readings),
    )


def _time(told: str | None) -> datetime | None:
    """The time that a result tells; None for no time, or one without its offset."""
    try:
        time = datetime.fromisoformat(told or "")
    except ValueError:
        return None
    return time if time.tzinfo else None


def _gear(value: GearValue) -> float | str:
    if not isinstance(value, str) and not abs(value) <= LARGEST_GEAR_NUMBER:
        raise ValueError("gear data must be words or numbers of a gear")
    return value


def _digests(readings: Iterable[ReadingDocument]) -> frozenset[str]:
    return frozenset(one.photo.sha256 for one in readings if one.photo.sha256)


def _slenderness(readings: Iterable[ReadingDocument]) -> float | None:
    mapped = [flank.mapping for one in readings for flank in one.flanks if flank.mapping is not None]
    told = [one.slenderness for one in mapped if isinstance(one.slenderness, float)]
    return math.fsum(told) / len(told) if told else None


def _pictures(reading: ReadingDocument) -> Iterator[Fingerprint]:
    """The photo in little, where the result tells it."""
    one = reading.photo
    if one.grey_cells is not None:
        yield Fingerprint(one.name, one.width_px, one.height_px, one.grey_cells)


def _outlined(reading: ReadingDocument, picture: Fingerprint) -> Iterator[OutlinedPicture]:
    return (OutlinedPicture(picture, corners) for corners in flank_corners(reading))


def _told(cautions: Iterable[CautionPart]) -> tuple[ToldCaution, ...]:
    return tuple(ToldCaution(one.code, one_line(one.message), one_line(one.remedy)) for one in cautions)


def _target(target: TargetPart) -> Target:
    doubts = abs(target.left_doubt), abs(target.right_doubt)
    return Target(target.left_along, target.right_along, *doubts, _one_line(target.reference))


def _flank(pooled: PooledPart | None) -> FlankState | None:
    if pooled is None:
        return None
    along, up, coverage = (_checked_interval(one) for one in (pooled.along, pooled.up, pooled.coverage))
    extents = (one if isinstance(one, Interval) else None for one in (pooled.length, pooled.height))
    return FlankState(along, up, coverage, *map(_checked, extents))


def _checked(interval: Interval | None) -> Interval | None:
    return perhaps(_checked_interval, interval)


def _checked_interval(interval: Interval) -> Interval:
    """The interval itself. Raises ValueError when it lies further from 0 than FURTHEST."""
    if max(abs(interval.low), abs(interval.high)) > FURTHEST:
        raise ValueError(f"a place or shift must be a number from {-FURTHEST:g} to {FURTHEST:g}")
    return interval


def _one_line(words: str | None) -> str | None:
    """Words on one line; None for none, or blanks alone."""
    return one_line(words or "") or None
