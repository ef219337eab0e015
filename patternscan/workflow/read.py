"""Reading the flanks of one photo, from pixels to numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from patternscan.cautions import Caution, caution
from patternscan.errors import NoCompound, PatternscanError
from patternscan.frame import Compound, Made, Marking, Medium
from patternscan.gearing.pair import Hand, WormPair
from patternscan.handles import Handle, named
from patternscan.measuring.measurement import Measurement, measure
from patternscan.measuring.reading import Reading
from patternscan.measuring.widening import Widening, widen
from patternscan.reporting.text.cautions import caution_remedy, caution_sentence
from patternscan.seeing import lifts, outline_search
from patternscan.seeing.geometry.outline import Outline, OutlineSource
from patternscan.seeing.geometry.placed_flank import PlacedFlank, place_flank, place_uncertainty
from patternscan.seeing.geometry.seen_hand import OTHER_HAND, check_lean
from patternscan.seeing.image.blackness import no_colours, refuse_black
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.finder_net import FINDER_NET
from patternscan.seeing.outline_search.marked_edges import MarkedEdges
from patternscan.seeing.outline_search.marked_flank import EdgeGaps
from patternscan.seeing.quality.assessment import assess
from patternscan.seeing.segmentation.contact_map import ContactMap, segment_contact
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET
from patternscan.seeing.tags.seen_tag import see_tags
from patternscan.seeing.tags.told_ends import ends_told, refuse_foreign
from patternscan.workflow.inputs.outlines import outlines_of, with_tip_told
from patternscan.workflow.inputs.photo_input import HELD_MEGAPIXELS, PhotoInput, least_times
from patternscan.workflow.inputs.settings import ReadingSettings

SURE_OUTLINE = 0.7
"""Of 116 found outlines with less confidence one in five overlapped with the true one by less than 0.8; of 325 with
more, one in seventeen (rendered photographs, without gear data)."""
SMALL_JUDGED_FRACTION = 0.6
"""Below this part of the flank no direction is given."""


Outcome = tuple[Reading, ...] | PatternscanError
"""What became of one photo: its readings, or why there are none."""


@dataclass(frozen=True, slots=True)
class ReadRequest:
    """One photo and how it is to be read."""

    photo: PhotoInput
    settings: ReadingSettings
    by: str | None = None


@dataclass(frozen=True, slots=True, eq=False)
class ReadResult:
    """Every flank of one photo that was read, at least one."""

    readings: tuple[Reading, ...]
    made: Made


@dataclass(frozen=True, slots=True)
class _How:
    """How one flank is to be read."""

    marking: Marking
    compound: Compound | None
    pair: WormPair | None


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """A flank in its place, cautions about how it was photographed, and the contact that is seen on it."""

    placed: PlacedFlank
    condition: tuple[Caution, ...]
    contact_map: ContactMap


def read_photo(request: ReadRequest) -> ReadResult:
    """Read every outlined flank of one photo. A flank without compound is left out when another one has some.

    Raises UnreadablePhoto, NoTrustworthyOutline, NoCompound, InconsistentInputs.
    """
    given = request.photo
    settings = replace(request.settings, told=given.told.over(request.settings.told))
    if settings.told.medium in (None, Medium.FLANK):
        CONTACT_NET.fetch()
        FINDER_NET.fetch()
    photo = load_photo(given.photo, settings.max_megapixels, HELD_MEGAPIXELS, least_times(given))
    refuse_black(photo)
    tags = see_tags(photo)
    refuse_foreign(tags, settings.sheet.tag_pair, photo.name)
    given = with_tip_told(given, tags, settings.told)
    readings: list[Reading] = []
    declined: list[PatternscanError] = []
    for outline in outlines_of(photo, given, settings.told, settings.sheet.gear):
        try:
            by_tag = ends_told(tags, outline.enlarged(1 / photo.times), photo.name)
            reading = replace(read_outlined(photo, outline, settings), ends_by_tag=by_tag)
            readings.append(reading if by_tag else _doubting_side(reading))
        except NoCompound as error:
            declined.append(error)
    if not readings:
        raise declined[0]
    return ReadResult(tuple(readings), Made.now(request.by))


def _doubting_side(reading: Reading) -> Reading:
    """The reading, with a doubt where another side of tape or paper is said to be seen than mostly is."""
    lift = reading.outline.lift
    if lift is None or lift.usual:
        return reading
    code = "tape-touched" if lift.medium is Medium.TAPE else "paper-through"
    return replace(reading, cautions=(*reading.cautions, caution(code, reading.outline.flank, reading.photo.name)))


def read_or_stop(photo: PhotoInput, settings: ReadingSettings) -> Outcome:
    """The readings of one photo, or the stop that prevented them."""
    try:
        return read_photo(ReadRequest(photo, settings)).readings
    except PatternscanError as stop:
        return stop


def read_outlined(photo: Photo, outline: Outline, settings: ReadingSettings) -> Reading:
    """Read one flank, and hold its hand against the sheet's. An outline that a person gave is first pulled onto the
    photo's edges when that is asked for, and when little more than its corners was marked.
    """
    told: tuple[Caution, ...] = ()
    if outline.corners_only or (settings.snap and outline.by_hand and outline.lift is None):
        held = outline.enlarged(1 / photo.times)
        snapped, pulled = outline_search.marked_flank.snap_marked(photo, held, settings.pair)
        if outline.corners_only:
            outline_search.marked_edges.refuse_turned_corners(photo, held, snapped, settings.pair)
        outline = snapped.enlarged(photo.times)
        told = (replace(pulled, flank=outline.flank, photo=photo.name),)
    found = outline.source is OutlineSource.FOUND
    read = read_flank if outline.lift is not None else read_found if found else _read_marked
    reading = read(photo, outline, settings.marking, settings.compound, settings.pair)
    hand = _hand_cautions(reading, settings.sheet.gear.hand)
    reading = replace(reading, cautions=(*settings.cautions, *told, *hand, *reading.cautions))
    return reading if settings.widening is None else _widened(reading, settings.widening)


def _widened(reading: Reading, by: Widening) -> Reading:
    return replace(reading, measurement=widen(reading.measurement, by), widening=by)


def read_found(
    photo: Photo, outline: Outline, marking: Marking, compound: Compound | None = None, pair: WormPair | None = None
) -> Reading:
    """Read a flank whose outline was found, see ``read_flank``; where no edge is seen at an end, places are less
    sure. Where no compound is seen, nobody has seen yet which flank was looked at: the stop says where it is shown.
    """
    try:
        reading = read_flank(photo, outline, marking, compound, pair)
    except NoCompound as stop:
        if stop.blame:
            raise
        shown = f"Which flank was looked at is seen {named(Handle.OUTLINE)}."
        raise NoCompound(stop.found, f"{stop.remedy} {shown}") from stop
    edges = outline_search.marked_edges.look_at_edges(photo, reading.outline)
    return _doubting(reading, outline_search.marked_flank.ends_without_edge(edges), ())


def _read_marked(
    photo: Photo, outline: Outline, marking: Marking, compound: Compound | None, pair: WormPair | None
) -> Reading:
    """Read a flank that a person outlined. Raises NoTrustworthyOutline where the outline lies on no tooth's edges."""
    held = outline.enlarged(1 / photo.times)
    edges = outline_search.marked_edges.look_at_edges(photo, held)
    outline_search.marked_edges.refuse_beside_tooth(edges, photo.name)
    try:
        reading = read_flank(photo, outline, marking, compound, pair)
    except NoCompound:
        _refuse_elsewhere(photo, held, edges)
        raise
    gaps = _refuse_elsewhere(photo, held, edges)
    ends = outline_search.marked_flank.doubtful_ends(edges, gaps)
    return _doubting(reading, ends, outline_search.marked_flank.doubtful_heights(gaps))


def _refuse_elsewhere(photo: Photo, held: Outline, edges: MarkedEdges) -> EdgeGaps:
    """How far the flank's edges are seen from those of an outline that a person gave, in the pixels that are held.

    Raises NoTrustworthyOutline where it lies round no tooth, or round another part of one.
    """
    outline_search.marked_edges.refuse_no_tooth(edges, photo.name)
    gaps = outline_search.marked_flank.edge_gaps(photo, held)
    outline_search.marked_flank.refuse_other_place(gaps, photo.name)
    return gaps


def _doubting(reading: Reading, ends: Sequence[Caution], heights: Sequence[Caution]) -> Reading:
    """The reading, its places less sure by the doubtful edges of its outline."""
    if not (ends or heights):
        return reading
    uncertainty = place_uncertainty(reading.outline, reading.flank_map, len(ends), len(heights))
    told = (replace(one, flank=reading.outline.flank, photo=reading.photo.name) for one in (*ends, *heights))
    measured = measure(reading.contact_map, uncertainty)
    return replace(reading, measurement=measured, cautions=(*reading.cautions, *told))


def _hand_cautions(reading: Reading, told: str | None) -> Iterable[Caution]:
    """Doubts about the hand on the sheet; with all gear data the outline's place has settled it."""
    outline, pose = reading.outline, reading.flank_map.pose
    doubts = check_lean(outline, pose, None if told is None else Hand(told))
    known = any(one.code == OTHER_HAND for one in reading.cautions)
    return () if known else (replace(one, flank=outline.flank, photo=reading.photo.name) for one in doubts)


def read_flank(
    photo: Photo, outline: Outline, marking: Marking, compound: Compound | None = None, pair: WormPair | None = None
) -> Reading:
    """Read one outlined flank; ``compound`` None means find out which, ``pair`` None that the gear is not known.

    The outline is in the pixels of the photo's file, that of the reading in those that are held. Raises NoCompound,
    InconsistentInputs (marking against picture, outline against photo).
    """
    lifted = outline.lift is not None
    seen = (_seen_on_card if lifted else _seen_on_tooth)(photo, outline, _How(marking, compound, pair))
    placed, contact_map = seen.placed, seen.contact_map
    measurement = measure(contact_map, placed.uncertainty, lifted)
    cautions = (
        *seen.condition,
        *placed.cautions,
        *contact_map.cautions,
        *_reading_cautions(placed.outline, measurement),
    )
    told = (replace(one, flank=outline.flank, photo=photo.name) for one in cautions)
    return Reading(photo, placed.outline, placed.flank_map, placed.rectified, contact_map, measurement, each_once(told))


def _seen_on_tooth(photo: Photo, outline: Outline, how: _How) -> _Seen:
    placed = place_flank(photo, outline.enlarged(1 / photo.times), how.pair)
    if placed.rectified.is_grey:
        raise no_colours(photo.name)
    assessed = assess(placed)
    try:
        return _Seen(placed, assessed.cautions, segment_contact(assessed.light, how.marking, how.compound))
    except NoCompound as stop:
        raise _blamed_on_photo(stop, assessed.cautions) from stop


def _seen_on_card(photo: Photo, outline: Outline, how: _How) -> _Seen:
    placed = lifts.placed_lift.place_lift(photo, outline.enlarged(1 / photo.times))
    condition = lifts.placed_lift.assess_lift(placed)
    try:
        return _Seen(placed, condition, lifts.lifted_contact.segment_lift(placed, how.marking, how.compound))
    except NoCompound as stop:
        raise _blamed_on_photo(stop, condition) from stop


def _blamed_on_photo(stop: NoCompound, condition: Sequence[Caution]) -> NoCompound:
    """The same stop, but with the photo's own fault as the reason where it has one."""
    if not condition:
        return stop
    found, remedy = caution_sentence(condition[0]), caution_remedy(condition[0])
    return NoCompound(f"{found} No compound could be made out on it.", remedy, condition[0].code)


def _reading_cautions(outline: Outline, measurement: Measurement) -> Iterable[Caution]:
    if outline.lift is not None:
        yield caution("lifted", medium=outline.lift.medium.value)
    if measurement.judged_fraction < SMALL_JUDGED_FRACTION:
        yield caution("little-judged", share=measurement.judged_fraction)
    if outline.source is OutlineSource.FOUND:
        yield caution("outline-found" if outline.confidence >= SURE_OUTLINE else "outline-found-unsure")


def each_once(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """The cautions in their order, each once."""
    return tuple(dict.fromkeys(cautions))
