"""The whole way on drawn flanks whose truth is known, and its symmetries."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from patternscan.cautions import caution
from patternscan.errors import InconsistentInputs, NoCompound
from patternscan.frame import Compound, End, Flank, Marking
from patternscan.judging.advice import Move, ShimChange, ShimRule
from patternscan.judging.judgement import Declined
from patternscan.judging.states.comparability import refuse_strangers
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import EDGE_NAMES, Outline, OutlineSource, checked_outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.setting.machine.sheet import Sheet, SideShims
from patternscan.workflow.judge import judge_pair
from patternscan.workflow.read import read_flank, read_found
from tests.drawn import HEIGHT_PX, WIDTH_PX, drawn_photo, slanted_outline

TOWARD_A = (0.12, 0.42, 0.2, 0.9)
MIDDLE = (0.35, 0.65, 0.2, 0.9)
TOWARD_B = (0.58, 0.88, 0.2, 0.9)


@cache
def read_drawn(flank: Flank, print_at: tuple[float, float, float, float]) -> Reading:
    outline = slanted_outline(flank)
    return read_flank(drawn_photo(outline, print_at, f"{flank}.png"), outline, Marking.TRANSFER)


def along(reading: Reading) -> float:
    assert reading.measurement.along is not None
    return reading.measurement.along.value


@pytest.mark.parametrize("flank", list(Flank))
@pytest.mark.parametrize("print_at", [TOWARD_A, MIDDLE, TOWARD_B])
def test_a_drawn_print_is_measured(flank: Flank, print_at: tuple[float, float, float, float]) -> None:
    low, high, bottom, top = print_at
    reading = read_drawn(flank, print_at)
    assert reading.contact_map.compound is Compound.BLUE
    assert along(reading) == pytest.approx((low + high) / 2, abs=0.01)
    assert reading.measurement.up is not None
    assert reading.measurement.up.value == pytest.approx((bottom + top) / 2, abs=0.02)
    assert reading.measurement.coverage.value == pytest.approx((high - low) * (top - bottom), abs=0.02)
    assert reading.measurement.length.value == pytest.approx(high - low, abs=0.02)
    assert reading.measurement.height.value == pytest.approx(top - bottom, abs=0.03)


@pytest.mark.parametrize(("confidence", "unsure"), [(0.55, True), (0.9, False)])
def test_a_found_outline_that_the_tool_is_not_sure_of_is_told(confidence: float, unsure: bool) -> None:
    drawn = read_drawn(Flank.LEFT, MIDDLE)
    outline = replace(drawn.outline, source=OutlineSource.FOUND, confidence=confidence)
    found = read_flank(drawn.photo, outline, Marking.TRANSFER)
    told = {caution.code for caution in found.cautions} & {"outline-found", "outline-found-unsure"}
    assert told == {"outline-found-unsure" if unsure else "outline-found"}


@pytest.mark.parametrize("why", ["covered", "outside"])
def test_a_found_end_where_no_edge_is_seen_makes_the_place_less_sure(why: str) -> None:
    """At end B, something of one colour lies over the tooth and beyond, or the photo stops short of it."""
    drawn = read_drawn(Flank.RIGHT, MIDDLE)
    outline = replace(drawn.outline, source=OutlineSource.FOUND)
    pixels = drawn.photo.pixels.copy()
    if why == "covered":
        pixels[:, 700:] = pixels[300, 700]
    other = Photo("other.png", pixels if why == "covered" else pixels[:, :740].copy())
    seen, unseen = (read_found(photo, outline, Marking.TRANSFER) for photo in (drawn.photo, other))
    told = [[one["end"] for one in reading.cautions if one.code == "end-off-edges"] for reading in (seen, unseen)]
    assert told == [[], ["B"]]
    assert along_width(unseen) > 2 * along_width(seen)


def along_width(reading: Reading) -> float:
    assert reading.measurement.along is not None
    return reading.measurement.along.width


def test_every_caution_of_a_reading_names_its_flank_and_photo() -> None:
    drawn = read_drawn(Flank.LEFT, MIDDLE)
    found = read_flank(drawn.photo, replace(drawn.outline, source=OutlineSource.FOUND), Marking.TRANSFER)
    assert {(caution.flank, caution.photo) for caution in found.cautions} == {(Flank.LEFT, drawn.photo.name)}


def mirrored(reading: Reading) -> tuple[Photo, Outline]:
    """Photo and outline seen in a mirror: the same places, the other flank."""
    photo, outline = reading.photo, reading.outline
    turned = {
        name: np.stack([photo.width_px - 1 - getattr(outline, name)[:, 0], getattr(outline, name)[:, 1]], axis=1)
        for name in ("root", "tip", "end_a", "end_b")
    }
    other = Flank.LEFT if outline.flank is Flank.RIGHT else Flank.RIGHT
    return Photo(photo.name, photo.pixels[:, ::-1].copy()), checked_outline(turned, other)


def test_a_mirror_shows_the_other_flank_with_the_same_places() -> None:
    reading = read_drawn(Flank.RIGHT, TOWARD_A)
    photo, outline = mirrored(reading)
    seen = read_flank(photo, outline, Marking.TRANSFER)
    assert seen.outline.flank is Flank.LEFT
    assert along(seen) == pytest.approx(along(reading), abs=0.004)


def test_a_quarter_turn_changes_nothing() -> None:
    reading = read_drawn(Flank.RIGHT, TOWARD_B)
    photo = Photo("turned.png", np.rot90(reading.photo.pixels, k=-1).copy())
    turned = {
        name: np.stack([HEIGHT_PX - 1 - getattr(reading.outline, name)[:, 1], getattr(reading.outline, name)[:, 0]], 1)
        for name in ("root", "tip", "end_a", "end_b")
    }
    seen = read_flank(photo, checked_outline(turned, Flank.RIGHT), Marking.TRANSFER)
    assert photo.width_px == HEIGHT_PX
    assert photo.height_px == WIDTH_PX
    assert along(seen) == pytest.approx(along(reading), abs=0.004)


def test_a_darker_photo_reads_the_same() -> None:
    reading = read_drawn(Flank.LEFT, TOWARD_A)
    darker = Photo("darker.png", (reading.photo.pixels * 0.75).astype(np.uint8))
    seen = read_flank(darker, reading.outline, Marking.TRANSFER)
    assert along(seen) == pytest.approx(along(reading), abs=0.01)
    assert seen.measurement.coverage.value == pytest.approx(reading.measurement.coverage.value, abs=0.02)


def test_a_bare_flank_has_no_compound() -> None:
    outline = slanted_outline()
    with pytest.raises(NoCompound):
        read_flank(drawn_photo(outline, (0.5, 0.5, 0.5, 0.5)), outline, Marking.TRANSFER)


def test_where_no_compound_is_seen_on_a_found_flank_it_is_told_where_that_flank_is_shown() -> None:
    """Nobody has seen yet which one the tool took; of an outline that a person gave that is known."""
    given = slanted_outline()
    photo = drawn_photo(given, (0.5, 0.5, 0.5, 0.5))
    with pytest.raises(NoCompound) as plain:
        read_flank(photo, given, Marking.TRANSFER)
    with pytest.raises(NoCompound) as stop:
        read_found(photo, replace(given, source=OutlineSource.FOUND, confidence=0.9), Marking.TRANSFER)
    added = "Which flank was looked at is seen on the page that 'patternscan outline PHOTO' writes."
    assert stop.value.remedy == f"{plain.value.remedy} {added}"


def test_a_dark_bare_flank_is_blamed_on_the_photo() -> None:
    outline = slanted_outline()
    bright = drawn_photo(outline, (0.5, 0.5, 0.5, 0.5))
    with pytest.raises(NoCompound) as stop:
        read_flank(Photo("night.png", (bright.pixels * 0.03).astype(np.uint8)), outline, Marking.TRANSFER)
    assert "dark" in stop.value.found
    assert "No compound could be made out" in stop.value.found


@pytest.mark.parametrize(
    ("print_at", "move"), [(TOWARD_A, Move.TOWARD_A), (TOWARD_B, Move.TOWARD_B), (MIDDLE, Move.STAY)]
)
def test_the_wheel_moves_toward_the_end_that_carries_the_pattern(
    print_at: tuple[float, float, float, float], move: Move
) -> None:
    # US Army TM 5-3895-372-34, paragraph 6-10, in own words: shift the side that carries the contact away from centre.
    pair = judge_pair([read_drawn(Flank.LEFT, print_at)], [read_drawn(Flank.RIGHT, print_at)])
    assert pair.advice.move is move


def test_swapping_the_ends_flips_the_advice() -> None:
    def swapped(reading: Reading) -> Reading:
        o = reading.outline
        edges = {"root": o.root[::-1], "tip": o.tip[::-1], "end_a": o.end_b, "end_b": o.end_a}
        other = Flank.LEFT if o.flank is Flank.RIGHT else Flank.RIGHT
        return read_flank(reading.photo, checked_outline(edges, other), Marking.TRANSFER)

    left, right = read_drawn(Flank.LEFT, TOWARD_A), read_drawn(Flank.RIGHT, TOWARD_A)
    assert judge_pair([left], [right]).advice.move is Move.TOWARD_A
    assert judge_pair([swapped(right)], [swapped(left)]).advice.move is Move.TOWARD_B


def test_one_flank_alone_gives_no_direction() -> None:
    # One flank alone points the right way only 60 to 74 % of the time (own simulation of 13 gear sets).
    assert judge_pair([read_drawn(Flank.LEFT, TOWARD_A)], []).advice.move is Move.CANNOT_SAY


def test_crossed_patterns_are_nothing_for_a_shim() -> None:
    pair = judge_pair([read_drawn(Flank.LEFT, TOWARD_A)], [read_drawn(Flank.RIGHT, TOWARD_B)])
    assert pair.advice.move is Move.NOT_BY_SHIM
    assert "crossed" in {finding.code for finding in pair.advice.findings}


def test_shims_follow_the_sheet() -> None:
    sheet = Sheet(shims=SideShims(End.A, ShimRule(End.A, End.B)))
    pair = judge_pair([read_drawn(Flank.LEFT, TOWARD_A)], [read_drawn(Flank.RIGHT, TOWARD_A)], sheet)
    assert pair.advice.move is Move.TOWARD_A
    assert pair.advice.shims.carrier is End.A
    assert pair.advice.shims.change is ShimChange.REMOVE


def test_a_poor_photo_is_left_out_where_another_tooth_was_read_well() -> None:
    good, right = read_drawn(Flank.LEFT, TOWARD_A), read_drawn(Flank.RIGHT, TOWARD_A)
    other = read_drawn(Flank.LEFT, MIDDLE)
    poor = replace(other, cautions=(caution("too-blurred", Flank.LEFT, "b.png"),))
    judged = judge_pair([good, poor], [right])
    assert (judged.advice.move, judged.left, len(judged.declined)) == (Move.TOWARD_A, (good,), 1)
    assert judged.comparison.left is not None
    assert judged.comparison.left.along == good.measurement.along
    assert judged.declined[0].reason.found.endswith("The other teeth of this flank were judged without it.")
    assert judge_pair([poor], [right]).advice.move is Move.CANNOT_SAY


def test_a_doubtful_marking_is_never_left_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """All teeth of a machine are marked alike, so what speaks against one speaks against all."""
    monkeypatch.setattr("patternscan.workflow.pairing.joint_logit", lambda _: 1.0)
    doubt = caution("marking-doubtful", Flank.LEFT, "b.png", told="transfer", seen="rub-off")
    doubtful = replace(read_drawn(Flank.LEFT, MIDDLE), cautions=(doubt,))
    judged = judge_pair([read_drawn(Flank.LEFT, TOWARD_A), doubtful], [read_drawn(Flank.RIGHT, TOWARD_A)])
    assert (judged.advice.move, len(judged.left)) == (Move.CANNOT_SAY, 2)


def test_the_same_flank_given_twice_is_refused() -> None:
    left = read_drawn(Flank.LEFT, MIDDLE)
    with pytest.raises(InconsistentInputs):
        judge_pair([left, left], [read_drawn(Flank.RIGHT, MIDDLE)])


def test_a_flank_given_as_the_other_is_refused() -> None:
    with pytest.raises(InconsistentInputs):
        judge_pair([read_drawn(Flank.RIGHT, MIDDLE)], [read_drawn(Flank.RIGHT, MIDDLE)])


def test_an_outline_of_another_photo_is_refused() -> None:
    outline = slanted_outline()
    small = Photo("small.png", np.full((120, 160, 3), 128, dtype=np.uint8))
    with pytest.raises(InconsistentInputs):
        read_flank(small, outline, Marking.TRANSFER)


def test_a_declined_photo_is_named() -> None:
    reason = NoCompound("No compound was found.", "Paint again.")
    pair = judge_pair([read_drawn(Flank.LEFT, MIDDLE)], [], declined=[Declined("right.jpg", Flank.RIGHT, reason)])
    told = caution("photo-declined", Flank.RIGHT, "right.jpg", found=reason.found, remedy=reason.remedy)
    assert told in pair.cautions
    assert [one.blame for one in pair.declined] == ["no-compound"]


SAMPLES = Path(__file__).parents[1] / "sample_images"


@cache
def sample(flank: Flank, mirrored: bool = False, state: str = "before") -> Reading:
    """A flank of the goods lift read without gear data; mirrored, the left flank looks like a right one."""
    shown = flank if not mirrored else (Flank.LEFT if flank is Flank.RIGHT else Flank.RIGHT)
    photo = load_photo(SAMPLES / f"goods_lift_{state}_{shown}.jpg")
    outline = read_outline_file(SAMPLES / f"goods_lift_{state}_{shown}.outline.json").outlines[0]
    if mirrored:
        edges = {name: getattr(outline, name) * [-1, 1] + [photo.width_px - 1, 0] for name in EDGE_NAMES}
        outline = checked_outline(edges, flank)
        photo = Photo(f"mirrored_{photo.name}", np.ascontiguousarray(photo.pixels[:, ::-1]))
    return read_flank(photo, outline, Marking.TRANSFER)


def test_without_gear_data_the_teeth_tell_the_hand() -> None:
    """The goods lift's worm is right-hand, by its sheet; a mirrored photo shows a left-hand one."""
    as_taken = judge_pair([sample(Flank.LEFT)], [sample(Flank.RIGHT)])
    turned = judge_pair([sample(Flank.LEFT, mirrored=True)], [sample(Flank.RIGHT, mirrored=True)])
    assert (as_taken.identity.seen_hand, turned.identity.seen_hand) == ("right", "left")
    with pytest.raises(InconsistentInputs, match="right-hand wheel"):
        refuse_strangers(as_taken.identity, turned.identity)


def test_one_mirrored_photo_of_two_gives_no_direction() -> None:
    judgement = judge_pair([sample(Flank.LEFT)], [sample(Flank.RIGHT, mirrored=True, state="after")])
    (told,) = (one for one in judgement.cautions if one.code == "hands-differ")
    assert told.grave
    assert told["photos"] == "mirrored_goods_lift_after_left.jpg"
    assert judgement.advice.move is Move.CANNOT_SAY
