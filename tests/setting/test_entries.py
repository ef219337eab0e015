"""Entries of the log as lines of text: there and back, and every way a line can be damaged."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from patternscan.frame import Compound, End, Marking
from patternscan.judging.advice import Move
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval
from patternscan.setting.log.entries import DamagedEntry, Entry, entry_line, read_entry
from patternscan.setting.log.events import (
    KINDS,
    Accepted,
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EccentricsFound,
    EndPlay,
    Event,
    LostMotion,
    Measured,
    Note,
    Oil,
    PackPieces,
    PartNumber,
    Pattern,
    Replaced,
    Replied,
    Secured,
    ShimChange,
    ShimsFound,
    SignOff,
    Struck,
    TeethPhotographed,
    Torque,
)
from patternscan.setting.log.job_log import LOG_NAME
from patternscan.setting.log.pattern_parts import FlankPrint, PhotoLink
from patternscan.setting.log.replies import AskedBack
from patternscan.setting.log.words import (
    Bolts,
    Drag,
    Geometry,
    Height,
    Joint,
    Occasion,
    OilWork,
    Part,
    Reply,
    Shaft,
    ShimPlace,
)
from patternscan.setting.machine.stock import Shims

JOB = Path(__file__).parents[2] / "sample_images" / "goods_lift_job"
SHIFT = Interval(0.1, 0.05, 0.2)
PRINT = FlankPrint(3, SHIFT, SHIFT, SHIFT, SHIFT, SHIFT)
PATTERN = Pattern(
    occasion=Occasion.TRIAL,
    move=Move.TOWARD_A,
    step_mm=0.12,
    shared=SHIFT,
    opposed=None,
    left=PRINT,
    right=None,
    target=Target(0.55, 0.45),
    marking=Marking.TRANSFER,
    compounds=(Compound.BLUE, Compound.RED),
    film="thin, by brush",
    grave=("Too dark.",),
    photos=(PhotoLink("left.jpg", "0" * 64),),
    folder="patterns/01",
    tool="patternscan 0",
)
EVENTS: tuple[Event, ...] = (
    Secured("An invented name"),
    PackPieces(ShimPlace.OUTBOARD, Bolts.SECOND, (Shims(0.5, 1), Shims(0.127, 2, in_inch=True))),
    PartNumber(Part.WHEEL, "W-46"),
    Oil(OilWork.FILLED, "CLP 460", 12.0),
    Torque(Joint.CARRIER_A, 45.0),
    TeethPhotographed((1, 16, 31)),
    ShimsFound(ShimPlace.CARRIER_A, 0.5, 0.5),
    ShimChange(ShimPlace.CARRIER_B, -0.1, -0.1),
    EccentricsFound(3, 3),
    EccentricChange(1, -1),
    EndPlay(Shaft.WORM, 0.1, Drag.LIGHT, 21.5),
    Backlash((0.2, 0.25, 0.22), 260.0),
    LostMotion((1.5,)),
    Alignment(0.03, Height.HIGH, End.A),
    Measured(Geometry.SQUARENESS, 0.02),
    Accepted(Geometry.CENTRE_DISTANCE, "An invented name"),
    Replaced(Part.WORM_BEARINGS),
    PATTERN,
    Replied(7, "bare-to-end", Reply.NEVER_PAINTED, "An invented name"),
    Closed("An invented name"),
    Note('Ölig; "A" <painted> & new'),
    SignOff("An invented name"),
    Struck(3, "read the wrong dial"),
)
MOMENT = datetime(2026, 3, 1, 9, 30, tzinfo=timezone(timedelta(hours=1)))


def line_of(event: Event) -> str:
    return entry_line(Entry(7, MOMENT, "the fitter", event))


def test_every_kind_has_an_example_here() -> None:
    assert {type(event) for event in EVENTS} == set(KINDS.values())


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_a_line_gives_its_entry_back(event: Event) -> None:
    entry = Entry(7, MOMENT, None, event)
    line = entry_line(entry)
    assert "\n" not in line
    assert read_entry(line) == entry
    assert KINDS[entry.kind] is type(event)


def test_a_line_reads_as_the_person_wrote_it() -> None:
    assert line_of(Note("Öl am Rad")) == (
        '{"number": 7, "at": "2026-03-01T09:30:00+01:00", "by": "the fitter", "kind": "note", "text": "Öl am Rad", '
        '"follows": null}'
    )


def test_a_line_stays_as_logs_were_always_written() -> None:
    """To the letter: logs of earlier versions have to be read, and new lines to look like theirs."""
    for line in (JOB / LOG_NAME).read_text(encoding="utf-8").splitlines()[1:]:
        assert entry_line(read_entry(line)) == line


@pytest.mark.parametrize("asked", [("It is bare up to end B. Painted?",), (AskedBack("bare-to-end", "Painted?"),)])
def test_a_line_keeps_what_a_pattern_asks_with_its_code_or_as_earlier_versions_did(
    asked: tuple[AskedBack | str, ...],
) -> None:
    line = line_of(structs.replace(PATTERN, asked=asked))
    event = read_entry(line).event
    assert isinstance(event, Pattern)
    assert entry_line(read_entry(line)) == line
    assert [one.code for one in event.questions] == ["" if isinstance(one, str) else one.code for one in asked]


def test_an_answer_to_another_question_is_damage() -> None:
    line = line_of(Replied(7, "bare-to-end", Reply.NEVER_PAINTED, "An invented name"))
    for question in ("two-places", "", "no-such"):
        with pytest.raises(DamagedEntry):
            read_entry(line.replace("bare-to-end", question))


@pytest.mark.parametrize("event", [EndPlay(Shaft.WORM, float("nan")), LostMotion((float("inf"),))])
def test_what_no_line_can_hold_is_never_written(event: Event) -> None:
    with pytest.raises(ValueError, match=r"."):
        line_of(event)


@pytest.mark.parametrize("name", ["left", "target", "shared", "photos"])
def test_a_word_too_much_or_too_little_inside_is_damage_too(name: str) -> None:
    for change in ({"odd": 1}, None):
        content = json.loads(line_of(PATTERN))
        inner = content[name][0] if isinstance(content[name], list) else content[name]
        if change is None:
            inner.popitem()
        else:
            inner.update(change)
        with pytest.raises(DamagedEntry):
            read_entry(json.dumps(content))


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_a_line_cut_off_anywhere_is_refused(event: Event) -> None:
    line = line_of(event)
    for end in range(0, len(line), 7):
        with pytest.raises(DamagedEntry):
            read_entry(line[:end])


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "no such"},
        {"number": "7"},
        {"number": True},
        {"at": "yesterday"},
        {"at": "2026-03-01T09:30:00"},
        {"by": 3},
        {"shaft": "chain"},
        {"reading_mm": "0.1"},
        {"reading_mm": True},
        {"reading_mm": float("nan")},
        {"reading_in": 0.1},
    ],
)
def test_a_line_with_a_wrong_value_is_refused(change: dict[str, object]) -> None:
    content = json.loads(line_of(EndPlay(Shaft.WORM, 0.1))) | change
    with pytest.raises(DamagedEntry):
        read_entry(json.dumps(content))


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(),
        lambda inner: st.lists(inner) | st.dictionaries(st.sampled_from(["kind", "at", "number", "by", "text"]), inner),
    )
)
@settings(deadline=None, max_examples=60)
def test_any_other_line_is_refused_as_damaged(content: object) -> None:
    with pytest.raises(DamagedEntry):
        read_entry(json.dumps(content))


@given(st.text(max_size=40), st.datetimes(timezones=st.just(UTC)))
@settings(deadline=None, max_examples=60)
def test_any_words_survive(text: str, moment: datetime) -> None:
    entry = Entry(1, moment, text, Note(text))
    assert read_entry(entry_line(entry)) == entry
