"""The whole way, once: a Reading is one flank, an Inspection is both flanks of one machine."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass, field, replace

import numpy as np

from patternscan.cautions import Caution
from patternscan.errors import DoNotBelongTogether, NoCompound, PatternscanError
from patternscan.frame import Compound, Flank, Marking
from patternscan.gearing.pair import WormPair
from patternscan.judging.acceptance import Acceptance
from patternscan.judging.advice import Advice, advise, propose_amount
from patternscan.judging.comparison import Comparison, compare_flanks, pool_teeth
from patternscan.judging.estimate import Estimate, estimate_placement
from patternscan.judging.identity import Identity
from patternscan.measuring.measurement import Measurement, PlaceDoubt, measure
from patternscan.seeing.compound import CompoundMap, find_compound
from patternscan.seeing.condition import judge_condition
from patternscan.seeing.covered import find_covered
from patternscan.seeing.flank import FlattenedFlank, flatten
from patternscan.seeing.hidden import find_hidden
from patternscan.seeing.mapping import FlankMap
from patternscan.seeing.outline import Outline, OutlineSource
from patternscan.seeing.photo import Photo
from patternscan.seeing.pose import NOT_THIS_GEAR, OTHER_HAND, PosedFlank, map_flank
from patternscan.setting.sheet import Gear, Sheet

CLICK_DOUBT = 0.004
"""Standard deviation of a point that a person sets on an edge, fraction of the face width."""
FOUND_DOUBT = 0.06
"""Further doubt of an outline that was found with no confidence at all; shrinks as confidence grows."""
SURE_OUTLINE = 0.7
"""Of 116 found outlines with less confidence one in five overlapped with the true one by less than 0.8; of 325 with
more, one in seventeen (rendered photographs, without gear data)."""
SEEN_TWICE = frozenset({"glare", "cut-off", "too-dark"})
"""Shortcomings that both the photo and the search for compound tell of."""
SMALL_JUDGED_FRACTION = 0.6
"""Below this part of the flank no direction is given."""
PHOTO_DECLINED = "photo-declined"
"""Code of the caution that tells of a photo which could not be read."""


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """One flank of one photo with the whole trail, so that nothing is computed twice for drawing."""

    photo: Photo
    outline: Outline
    flank_map: FlankMap
    flattened: FlattenedFlank
    compound_map: CompoundMap
    measurement: Measurement
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class Declined:
    """A photo that was given but could not be read, and why."""

    photo: str
    flank: Flank
    reason: PatternscanError


@dataclass(frozen=True, slots=True, eq=False)
class Inspection:
    """Both flanks of one machine, compared, with the advice; ``cautions`` are those of all readings and the pair.

    ``film`` is what a person said of the film of compound. ``acceptance`` is there when a table was chosen.
    ``machine_by_folder`` says that the machine's name is only that of the photos' folder, which proves nothing.
    """

    left: tuple[Reading, ...]
    right: tuple[Reading, ...]
    comparison: Comparison
    advice: Advice
    cautions: tuple[Caution, ...]
    machine: str | None = None
    gear: Gear = field(default_factory=Gear)
    film: str | None = None
    estimate: Estimate | None = None
    acceptance: Acceptance | None = None
    machine_by_folder: bool = False

    @property
    def identity(self) -> Identity:
        """Whose pattern this is: machine, gear data and photos."""
        left, right = (
            frozenset(reading.photo.sha256 for reading in readings if reading.photo.sha256 is not None)
            for readings in (self.left, self.right)
        )
        gear = {name: value for name, value in asdict(self.gear).items() if value is not None}
        hands = {_seen_hand(reading, self.gear.hand) for reading in (*self.left, *self.right)}
        machine = None if self.machine_by_folder else self.machine
        return Identity(machine, gear, left, right, hands.pop() if len(hands) == 1 else None)


def read_flank(
    photo: Photo, outline: Outline, marking: Marking, compound: Compound | None = None, pair: WormPair | None = None
) -> Reading:
    """Read one outlined flank; ``compound`` None means find out which, ``pair`` None that the gear is not known.

    Raises NoCompound, DoNotBelongTogether (marking against picture, outline against photo).
    """
    _refuse_foreign_outline(photo, outline)
    flank_map, mapping = map_flank(outline, pair, (photo.width_px, photo.height_px))
    flattened = flatten(photo, flank_map, outline)
    condition = judge_condition(photo, flank_map, outline, flattened)
    hidden, in_front = find_hidden(flank_map, outline)
    covered, cover = find_covered(photo, flank_map, hidden)
    flattened = flattened.without(hidden | covered)
    try:
        compound_map = find_compound(flattened, marking, compound)
    except NoCompound as stop:
        raise _blamed_on_photo(stop, (*condition, *cover)) from stop
    measurement = measure(compound_map, place_doubt(outline, flank_map))
    cautions = (
        *condition,
        *mapping,
        *in_front,
        *cover,
        *compound_map.cautions,
        *_reading_cautions(outline, measurement),
    )
    return Reading(photo, outline, flank_map, flattened, compound_map, measurement, _told_once(_each_once(cautions)))


def inspect_pair(
    left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet | None = None, declined: Sequence[Declined] = ()
) -> Inspection:
    """Compare both flanks and advise. Raises DoNotBelongTogether when readings do not fit together."""
    sheet = sheet or Sheet()
    _refuse_mixed(left, right)
    comparison = compare_flanks(
        pool_teeth(Flank.LEFT, [reading.measurement for reading in left]),
        pool_teeth(Flank.RIGHT, [reading.measurement for reading in right]),
        sheet.target,
    )
    cautions = _each_once(
        (
            *(caution for reading in (*left, *right) for caution in reading.cautions),
            *(_declined_caution(one) for one in declined),
            *_pair_cautions(left, right),
            *_mirrored(left, right, sheet.gear.hand),
        )
    )
    advice = advise(comparison, cautions, sheet.shim_rule)
    return Inspection(
        tuple(left), tuple(right), comparison, advice, cautions, sheet.machine, sheet.gear, _film_note(sheet)
    )


def estimate_wheel(
    inspection: Inspection, pair: WormPair, oversize_known: bool, done: Callable[[float], None]
) -> Inspection:
    """The same inspection with the wheel's offset in mm and, where that is sure enough, a first step of shims.

    Nothing is added when a flank is missing or a photo shows that the gear data are not this wheel's. ``done`` is told
    the finished part of the work, 0 to 1.
    """
    if any(caution.code in NOT_THIS_GEAR for caution in inspection.cautions):
        return inspection
    estimate = estimate_placement(inspection.comparison, pair, oversize_known, done)
    if estimate is None:
        return inspection
    advice = propose_amount(inspection.advice, estimate, inspection.comparison)
    return replace(inspection, advice=advice, estimate=estimate)


def _seen_hand(reading: Reading, on_sheet: str | None) -> str | None:
    """The hand that the tooth in the photo has; None when it cannot be told.

    Without gear data the lean of the tooth tells it, when a person marked the outline and the teeth lean clearly.
    """
    if any(caution.code == OTHER_HAND for caution in reading.cautions):
        return "left" if on_sheet == "right" else "right"
    if not isinstance(reading.flank_map, PosedFlank):
        return None
    pose = reading.flank_map.pose
    if pose.pair is not None:
        return on_sheet
    return pose.hand if reading.outline.source is not OutlineSource.FOUND else None


def _film_note(sheet: Sheet) -> str | None:
    """What is known of the film, in words."""
    if sheet.film is None and sheet.film_um is not None:
        return f"{sheet.film_um:g} thousandths of a millimetre"
    return sheet.film


def place_doubt(outline: Outline, flank_map: FlankMap) -> PlaceDoubt:
    """Doubt of a place through the outline's points and the mapping, in fractions of face width and flank height."""
    points = CLICK_DOUBT
    if outline.source is OutlineSource.FOUND:
        points += FOUND_DOUBT * (1 - outline.confidence)
    along = float(np.hypot(points, flank_map.doubt))
    return PlaceDoubt(along, along * min(outline.width_px / max(outline.height_px, 1.0), 5.0))


def _refuse_foreign_outline(photo: Photo, outline: Outline) -> None:
    """Refuse an outline that lies mostly outside the photo: it belongs to another picture or size."""
    border = outline.border
    inside = (border >= -1).all(axis=1) & (border <= [photo.width_px, photo.height_px]).all(axis=1)
    if inside.mean() < 0.5:
        raise DoNotBelongTogether(
            f"The outline lies mostly outside {photo.name} ({photo.width_px} x {photo.height_px} px).",
            "Use the outline that was made for this very photo, at its full size and upright.",
        )


def _blamed_on_photo(stop: NoCompound, condition: Sequence[Caution]) -> NoCompound:
    """The same stop, but with the photo's own fault as the reason where it has one."""
    if not condition:
        return stop
    return NoCompound(f"{condition[0].message} No compound could be made out on it.", condition[0].remedy)


def _reading_cautions(outline: Outline, measurement: Measurement) -> Iterable[Caution]:
    if measurement.judged_fraction < SMALL_JUDGED_FRACTION:
        yield Caution(
            "little-judged",
            f"Only {measurement.judged_fraction * 100:.0f} % of the flank could be judged.",
            "Take the photo again so that the whole flank is seen without shine or deep shade.",
            grave=True,
        )
    if outline.source is OutlineSource.FOUND:
        yield Caution(
            "outline-found",
            "The outline was found by the tool, not marked by a person."
            + (" The tool is not sure of it." if outline.confidence < SURE_OUTLINE else ""),
            "Look at the drawn outline. If it is not on the edges of the flank, mark it with 'patternscan outline'.",
        )


def _declined_caution(one: Declined) -> Caution:
    return Caution(PHOTO_DECLINED, f"{one.photo} ({one.flank} flank): {one.reason.found}", one.reason.remedy)


def _pair_cautions(left: Sequence[Reading], right: Sequence[Reading]) -> Iterable[Caution]:
    compounds = sorted({reading.compound_map.compound for reading in (*left, *right)})
    if len(compounds) > 1:
        yield Caution(
            "compounds-differ",
            f"Different compounds were seen: {' and '.join(compounds)}.",
            "If only one was used, say so with --compound and read again.",
        )


def _mirrored(left: Sequence[Reading], right: Sequence[Reading], on_sheet: str | None) -> Iterable[Caution]:
    """A grave caution when the teeth of one wheel run as on two: a mirrored photo shows its ends exchanged."""
    seen = {reading.photo.name: _seen_hand(reading, on_sheet) for reading in (*left, *right)}
    hands = sorted({hand for hand in seen.values() if hand is not None})
    if len(hands) > 1:
        odd = [", ".join(name for name, hand in seen.items() if hand == one) for one in hands]
        yield Caution(
            "hands-differ",
            f"The teeth run as on a {hands[0]}-hand wheel in {odd[0]}, and as on a {hands[1]}-hand wheel in {odd[1]}.",
            "One photo is mirrored, as some phones do, or shows another wheel: take it again with the ordinary camera.",
            grave=True,
        )


def _refuse_mixed(left: Sequence[Reading], right: Sequence[Reading]) -> None:
    for flank, readings in ((Flank.LEFT, left), (Flank.RIGHT, right)):
        for reading in readings:
            if reading.outline.flank is not flank:
                raise DoNotBelongTogether(
                    f"{reading.photo.name} shows a {reading.outline.flank} flank but was given as a {flank} one.",
                    "Give left flanks with --left and right flanks with --right.",
                )
    borders = [reading.outline.border for reading in (*left, *right)]
    pixels = [reading.photo.pixels for reading in (*left, *right)]
    for k in range(len(borders)):
        for other in range(k):
            if np.array_equal(borders[k], borders[other]) and np.array_equal(pixels[k], pixels[other]):
                raise DoNotBelongTogether(
                    "The same flank of the same photo was given twice.", "Give each photo once; one tooth is one vote."
                )


def _told_once(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """The cautions, each of SEEN_TWICE once: the graver one, else the one that says what it did to the reading."""
    kept: list[Caution] = []
    for caution in cautions:
        rival = next((one for one in kept if one.code == caution.code and one.code in SEEN_TWICE), None)
        if rival is None:
            kept.append(caution)
        elif caution.grave >= rival.grave:
            kept[kept.index(rival)] = caution
    return tuple(kept)


def _each_once(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    return tuple(dict.fromkeys(cautions))
