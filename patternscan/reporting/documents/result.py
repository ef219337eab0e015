"""Results as JSON documents."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from PIL import Image

from patternscan.cautions import Caution
from patternscan.judging.acceptance import Acceptance
from patternscan.judging.change import BeforeAfter, Change, FlankChange
from patternscan.judging.comparison import PooledFlank, Target
from patternscan.judging.estimate import Estimate
from patternscan.judging.judgement import Judgement
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.prediction import LIMITS
from patternscan.reporting.text.acceptance_report import OUTRANKED, SCOPES, SOURCES, TITLES
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.findings import finding_message
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.seeing.geometry.outline import EDGE_NAMES
from patternscan.seeing.geometry.outline_file import rounded_points
from patternscan.seeing.image.photo import Photo
from patternscan.version import __version__

READING, JUDGEMENT, COMPARISON = "patternscan-reading", "patternscan-judgement", "patternscan-comparison"
VERSION = 1
DIGITS = 4
FLANK_NUMBERS = ("along", "up", "coverage", "length", "height")

Document = dict[str, Any]


def reading_document(photo: Photo, readings: Sequence[Reading]) -> Document:
    """What ``read --json`` prints."""
    return {
        "format": READING,
        "version": VERSION,
        "tool": f"patternscan {__version__}",
        "photo": {
            "name": photo.name,
            "width_px": photo.width_px,
            "height_px": photo.height_px,
            "sha256": photo.sha256,
        },
        "flanks": [_flank(reading) for reading in readings],
    }


def judgement_document(judgement: Judgement) -> Document:
    """What ``judge --json`` prints."""
    comparison, advice = judgement.comparison, judgement.advice
    shims = advice.shims
    return {
        "format": JUDGEMENT,
        "version": VERSION,
        "tool": f"patternscan {__version__}",
        "machine": judgement.machine,
        "machine_by_folder": judgement.machine_by_folder,
        "gear": dict(judgement.identity.gear),
        "seen_hand": judgement.identity.seen_hand,
        "film": judgement.film,
        "left": [reading_document(reading.photo, [reading]) for reading in judgement.left],
        "right": [reading_document(reading.photo, [reading]) for reading in judgement.right],
        "pooled": {"left": _pooled(comparison.left), "right": _pooled(comparison.right)},
        "target": _target(comparison.target),
        "shared_shift": {"along": _interval(comparison.shared)},
        "opposed_shift": {"along": _interval(comparison.opposed)},
        "advice": {
            "move_wheel": advice.move.value,
            "shims": {
                "carrier": shims.carrier.value if shims.carrier else None,
                "change": shims.change.value,
                "amount_mm": shims.amount_mm,
            },
            "because": reason_sentence(advice.because),
            "findings": [{"code": one.code, "message": finding_message(one)} for one in advice.findings],
        },
        "estimate": _estimate(judgement.estimate),
        "acceptance": _acceptance(judgement.acceptance),
        "cautions": _cautions(judgement.cautions),
    }


def comparison_document(change: Change) -> Document:
    """What ``compare --json`` prints."""
    return {
        "format": COMPARISON,
        "version": VERSION,
        "tool": f"patternscan {__version__}",
        "shared_shift": {"along": _before_after(change.shared)},
        "opposed_shift": {"along": _before_after(change.opposed), "verdict": change.opposed_verdict.value},
        "left": _flank_change(change.left),
        "right": _flank_change(change.right),
        "comparable": {
            "position": change.position_comparable,
            "coverage": change.coverage_comparable,
            "why": [reason_sentence(one) for one in change.why],
        },
        "nearer_by": _interval(change.nearer),
        "verdict": change.verdict.value,
        "because": reason_sentence(change.because),
        "cautions": _cautions(change.cautions),
    }


def contact_map_image(reading: Reading) -> Image.Image:
    """The contact map as a grey picture, 256 columns (A to B) by 128 rows (top row = tip).

    255 contact, 0 no contact, 128 cannot be judged; each cell is the majority of its four.
    """
    contact, judged = (_halved(mask) for mask in (reading.contact_map.contact, reading.contact_map.judged))
    grey = np.where(judged >= 0.5, np.where(contact >= 0.5, 255, 0), 128).astype(np.uint8)
    return Image.fromarray(grey)


def flat_image(reading: Reading) -> Image.Image:
    """The bare flank laid flat, without any drawing: top row = tip, left column = end A."""
    return Image.fromarray(reading.rectified.pixels)


def _flank(reading: Reading) -> Document:
    outline, found, measured = reading.outline, reading.contact_map, reading.measurement
    centroid = None
    if measured.along is not None and measured.up is not None:
        centroid = {"along": _interval(measured.along), "up": _interval(measured.up)}
    return {
        "flank": outline.flank.value,
        "tooth": outline.tooth,
        "outline": {
            "source": outline.source.value,
            "confidence": _rounded(outline.confidence),
            **{name: rounded_points(getattr(outline, name)) for name in EDGE_NAMES},
        },
        "mapping": _mapping(reading),
        "marking": found.marking.value,
        "compound": found.compound.value,
        "coverage": _interval(measured.coverage),
        "centroid": centroid,
        "length": _interval(measured.length),
        "height": _interval(measured.height),
        "judged_fraction": _rounded(measured.judged_fraction),
        "cautions": _cautions(reading.cautions),
    }


def _mapping(reading: Reading) -> Document:
    """How places were found. Lengths in mm are known from gear data only, the view where the outline fits a tooth."""
    doubt, pose = {"doubt": _rounded(reading.flank_map.uncertainty)}, reading.flank_map.pose
    if pose is None:
        return {"by": "outline-only"} | doubt
    view = {"misfit": _rounded(pose.fit.rms), "off_square_deg": round(pose.off_square_deg, 1)}
    if pose.pair is None:
        return {"by": "outline-only"} | doubt | view
    sizes = {"distance_mm": pose.distance, "face_width_mm": pose.pair.face_width_mm, "height_mm": pose.height}
    return {"by": "gear-data"} | doubt | view | {name: round(length, 2) for name, length in sizes.items()}


def _target(target: Target) -> Document:
    """Where the pattern belongs; the doubt is that of a reference, 0 for a place that a person wrote down."""
    return {
        "left_along": _rounded(target.left),
        "right_along": _rounded(target.right),
        "left_doubt": _rounded(target.left_doubt),
        "right_doubt": _rounded(target.right_doubt),
        "reference": target.reference,
    }


def _pooled(flank: PooledFlank | None) -> Document | None:
    if flank is None:
        return None
    return {
        "teeth": flank.teeth,
        **{name: _interval(getattr(flank, name)) for name in FLANK_NUMBERS},
        "spread": None if flank.spread is None else _rounded(flank.spread),
    }


def _estimate(estimate: Estimate | None) -> Document | None:
    """How far the wheel is off in mm; None without gear data or without both flanks."""
    if estimate is None:
        return None
    return {
        "wheel_toward_a_mm": _interval(estimate.wheel_toward_a_mm),
        "saturated": estimate.saturated,
        "at_least_mm": _rounded(estimate.at_least_mm),
        "opposed_part": {
            "shaft_angle_error_deg": _interval(estimate.shaft_angle_error_deg),
            "centre_error_mm": _interval(estimate.centre_error_mm),
        },
        "hob_oversize": _interval(estimate.hob_oversize),
        "film_um": _interval(estimate.film_um),
        "limits": list(LIMITS[:3]),
    }


def _acceptance(acceptance: Acceptance | None) -> Document | None:
    """What the chosen table says; a class is None below the last one, that of the pair also when a flank is missing."""
    if acceptance is None:
        return None
    return {
        "table": acceptance.name,
        "title": TITLES[acceptance.name],
        "scope": SCOPES[acceptance.name],
        "source": SOURCES[acceptance.name],
        "from_memory": False,
        "film": acceptance.film,
        "flanks": {
            one.flank.value: {
                "by_length": one.by_length,
                "by_height": one.by_height,
                "class": one.reached,
                "at_worst": one.at_worst,
                "at_best": one.at_best,
            }
            for one in acceptance.flanks
        },
        "class": acceptance.reached,
        "complete": acceptance.complete,
        "note": OUTRANKED,
    }


def _flank_change(change: FlankChange | None) -> Document | None:
    if change is None:
        return None
    numbers = {name: _before_after(getattr(change, name)) for name in FLANK_NUMBERS}
    return {"verdict": change.verdict.value} | numbers


def _before_after(numbers: BeforeAfter | None) -> Document | None:
    if numbers is None:
        return None
    return {name: _interval(getattr(numbers, name)) for name in ("before", "after", "change")}


def _interval(interval: Interval | None) -> Document | None:
    if interval is None:
        return None
    return {name: _rounded(getattr(interval, name)) for name in ("value", "low", "high")}


def _cautions(cautions: Iterable[Caution]) -> list[Document]:
    return [caution_document(one) for one in cautions]


def caution_document(caution: Caution) -> Document:
    """A caution with its sentences; flank and photo where it speaks of one."""
    place = {"flank": caution.flank and caution.flank.value, "photo": caution.photo}
    return {
        "code": caution.code,
        "message": caution_message(caution),
        "remedy": caution_remedy(caution),
        "grave": caution.grave,
        "widens": caution.widens,
        **{name: value for name, value in place.items() if value is not None},
    }


def _rounded(number: float) -> float:
    """Rounded to a ten-thousandth; rounding never turns low <= value <= high round."""
    return round(float(number), DIGITS) + 0.0


def _halved(mask: np.ndarray[Any, np.dtype[np.bool_]]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Mean of each two by two cells of a mask (rows, cols)."""
    rows, cols = mask.shape
    blocks: np.ndarray[Any, np.dtype[np.float64]] = mask.reshape(rows // 2, 2, cols // 2, 2).mean(axis=(1, 3))
    return blocks
