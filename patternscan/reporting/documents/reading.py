"""The document of ``read --json``: every flank that was read in one photo."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Literal

from msgspec import UNSET, Struct, UnsetType

from patternscan.frame import Compound, Flank, Lift, Made, Marking, Medium, Seen
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading
from patternscan.measuring.widening import Widening
from patternscan.reporting.documents.parts import CautionPart, Document, PhotoPart, caution_parts, copied, head, rounded
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, OutlineSource
from patternscan.seeing.geometry.outline_file import Points, rounded_points
from patternscan.seeing.image.fingerprint import Corners
from patternscan.seeing.image.photo import Photo


class OutlinePart(Struct, frozen=True, kw_only=True):
    """The outline that was used, edges as in the outline file."""

    source: OutlineSource
    confidence: float
    root: Points
    tip: Points
    end_a: Points
    end_b: Points


class MappingPart(Struct, frozen=True, kw_only=True):
    """How places were found. Lengths in mm are known from gear data only, the view where the outline fits a tooth.

    ``doubt`` is the half width of a place's 90 % interval and ``misfit`` how far the outline lies beside the tooth,
    both as fractions of the face width; ``slenderness`` is face width over height as the outline alone fits it;
    ``off_square_deg`` is the angle between line of sight and flank.
    """

    by: Literal["outline-only", "gear-data"]
    doubt: float
    misfit: float | UnsetType = UNSET
    off_square_deg: float | UnsetType = UNSET
    distance_mm: float | UnsetType = UNSET
    face_width_mm: float | UnsetType = UNSET
    height_mm: float | UnsetType = UNSET
    slenderness: float | UnsetType = UNSET


class Centroid(Struct, frozen=True):
    """The middle of the contact as fractions of the flank."""

    along: Interval
    up: Interval


class Extent(Struct, frozen=True, kw_only=True):
    """An extent of the contact as a fraction; early results give the value alone."""

    value: float
    low: float | UnsetType = UNSET
    high: float | UnsetType = UNSET


class FlankPart(Struct, frozen=True, kw_only=True):
    """One flank that was read. ``ends``: whether a printed tag tells which end is A, or a person alone. ``centroid`` is
    None when there is no contact. ``medium``: what was photographed, and of tape or paper the side that was ``seen``.
    ``widened``: what a proof on own photographs added to either side of the intervals.
    """

    flank: Flank
    tooth: str
    ends: Literal["said", "tag"] = "said"
    outline: OutlinePart
    mapping: MappingPart | None = None
    marking: Marking
    medium: Medium = Medium.FLANK
    seen: Seen | UnsetType = UNSET
    compound: Compound
    coverage: Interval
    centroid: Centroid | None
    length: Extent
    height: Extent
    judged_fraction: float
    widened: Widening | UnsetType = UNSET
    cautions: tuple[CautionPart, ...]


class ReadingDocument(Document, frozen=True, kw_only=True, tag="patternscan-reading"):
    """What ``read --json`` prints."""

    photo: PhotoPart
    flanks: tuple[FlankPart, ...]


def reading_document(photo: Photo, readings: Sequence[Reading], made: Made) -> ReadingDocument:
    """The document of one photo."""
    flanks = tuple(map(flank_part, readings))
    return rounded(ReadingDocument(**head(made), photo=copied(PhotoPart, photo), flanks=flanks))


def flank_corners(reading: ReadingDocument) -> Iterator[Corners]:
    """The corners of each flank of a photo."""
    width_px, height_px = reading.photo.width_px, reading.photo.height_px
    for edges in (flank.outline for flank in reading.flanks):
        corners = (edges.root[0], edges.root[-1], edges.tip[-1], edges.tip[0])
        yield tuple((round((x + 0.5) / width_px, 5), round((y + 0.5) / height_px, 5)) for x, y in corners)


def flank_part(reading: Reading) -> FlankPart:
    """One flank of a photo."""
    found, measured = reading.contact_map, reading.measurement
    touched = measured.along is not None and measured.up is not None
    return FlankPart(
        flank=reading.outline.flank,
        tooth=reading.outline.tooth,
        ends="tag" if reading.ends_by_tag else "said",
        outline=_outline(reading.outline.enlarged(reading.photo.times)),
        mapping=_mapping(reading),
        marking=found.marking,
        **_lift(reading.outline.lift),
        compound=found.compound,
        coverage=measured.coverage,
        centroid=copied(Centroid, measured) if touched else None,
        length=copied(Extent, measured.length),
        height=copied(Extent, measured.height),
        judged_fraction=measured.judged_fraction,
        widened=reading.widening or UNSET,
        cautions=caution_parts(reading.cautions),
    )


def _lift(lift: Lift | None) -> dict[str, Any]:
    return {} if lift is None else {"medium": lift.medium, "seen": lift.seen}


def _outline(outline: Outline) -> OutlinePart:
    edges: dict[str, Any] = {name: rounded_points(getattr(outline, name)) for name in EDGE_NAMES}
    return OutlinePart(source=outline.source, confidence=outline.confidence, **edges)


def _mapping(reading: Reading) -> MappingPart:
    doubt, pose = reading.flank_map.uncertainty, reading.flank_map.pose
    if pose is None:
        return MappingPart(by="outline-only", doubt=doubt)
    view: dict[str, Any] = {"misfit": pose.fit.rms, "off_square_deg": round(pose.off_square_deg, 1)}
    if pose.pair is None:
        return MappingPart(by="outline-only", doubt=doubt, slenderness=pose.slenderness, **view)
    sizes = {"distance_mm": pose.distance, "face_width_mm": pose.pair.face_width_mm, "height_mm": pose.height}
    view |= {name: round(length, 2) for name, length in sizes.items()}
    return MappingPart(by="gear-data", doubt=doubt, **view)
