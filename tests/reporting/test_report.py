"""Reports: one to the character, the others by what they must say and must not say."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from patternscan.cautions import caution
from patternscan.frame import End, Flank
from patternscan.judging.advice import Move, ShimAdvice, ShimChange
from patternscan.measuring.interval import Interval
from patternscan.measuring.reading import Reading
from patternscan.reasons import finding, reason
from patternscan.reporting.text.reports.judgement import judgement_report
from patternscan.reporting.text.reports.reading import reading_report
from patternscan.reporting.text.safety import SAFETY_LINE
from patternscan.reporting.text.wording import shift_with_range, toward_end
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.units import length_words
from tests.reporting.builders import ADD_AT_A, NOT_KNOWN, drawn_inspection, drawn_reading, written_inspection

WHOLE_REPORT = """\
# Add shims under carrier A: the wheel moves toward end A

Barn hoist

Is the painted A where the round A stands in the photo? If not, the answer is the wrong way round.

**Safety first:** Hang the car and land the counterweight (a drum hoist: land the load), then isolate, lock and try. \
Turn by hand only.

**Why:** Taken together, the two flanks carry the pattern 9 % of the face width off toward end A, so the wheel sits \
too far toward end B: move it toward end A.

## Shims

- Add shims under the carrier at end A.
- How much is found by trial: change one thin shim, tighten, blue again, judge again and compare. \
The next step follows from how far the pattern went.
- As the wheel goes toward end A, the pattern must move toward end B. \
If it goes the other way, stop and look again which end carries the letter A.

## What was read

- Left flank (1 tooth): middle of the pattern 40 % (36 to 44 %) from end A, target 50 %; \
touched 30 % (25 to 35 %) of the flank.
- Right flank (1 tooth): middle of the pattern 42 % (38 to 46 %) from end A, target 50 %; \
touched 30 % (25 to 35 %) of the flank.
- Both flanks together are off their target by 9 % toward end A (6 to 12 %).
- Against each other the left flank lies 1 % toward end A (anything from 4 % toward end A to 2 % toward end B), \
the right opposite.
- Places are in percent of the face width; in brackets what holds in 9 cases out of 10.

## What else the pattern shows

- The pattern of the left flank runs off end A. It is off by at least as much as the numbers say, and may be off \
by more.

## Doubts, and what to do

- Right flank, right.jpg: The flank is far out of focus or badly shaken. **Do:** Hold still, tap on the tooth to \
focus, and give more light.
- Left flank, left.jpg; right flank, right.jpg: The flank is out of focus or shaken. **Do:** Hold still, tap on the \
tooth to focus, and give more light.

## What a shim cannot cure

- Patterns at opposite ends on the two flanks: look at shaft angle, eccentrics, centre distance and whether worm \
and wheel are a matched pair.
- A pattern high at the tip or low at the root, or only a line: look at centre distance and parts.
- Teeth that differ round the wheel: look at run-out of the wheel on its seat.

## Safety

- Landing needs power, so it comes first: hang the car and land the counterweight until the ropes lie slack on the \
sheave (a drum hoist: land the load). One of the two alone is not enough.
- Then switch off, isolate, lock and tag, and try that it stays dead. Gravity stays: neither brake nor lock holds \
anything once the gear or the brake is open.
- Support the shaft and the sheave before a carrier is loosened; nobody beneath.
- The worm turns only with the brake released: one person at the brake, one giving the word. Turn by hand or with the \
barring tool, never by motor; hold the worm by brake or clamp, never by hand. No fingers, rags or sleeves in the mesh.
- When done, clean all compound off, put the guards back and refill the oil.
- This is general practice. The local code and the maker's manual decide, and a competent person on the spot.

The maker's manual and the local code decide. This advises on the place of the pattern, not on return to service.
"""

BECAUSE = reason("toward", end="A", share=0.09)


def test_report_to_the_character() -> None:
    judgement = written_inspection(
        Move.TOWARD_A,
        ADD_AT_A,
        BECAUSE,
        [finding("runs-out", flank="left", end="A")],
        [
            caution("blurred", Flank.LEFT, "left.jpg"),
            caution("blurred", Flank.RIGHT, "right.jpg"),
            caution("too-blurred", Flank.RIGHT, "right.jpg"),
        ],
    )
    assert judgement_report(judgement) == WHOLE_REPORT


def test_the_pattern_moves_the_other_way_than_the_wheel() -> None:
    # US Army TM 5-3895-372-34, paragraph 6-10: shimming a side carries the contact away from it.
    report = judgement_report(written_inspection(Move.TOWARD_B, NOT_KNOWN, BECAUSE))
    assert report.startswith("# Move the wheel toward end B\n")
    assert "As the wheel goes toward end B, the pattern must move toward end A." in report


@pytest.mark.parametrize("move", [Move.STAY, Move.CANNOT_SAY])
@pytest.mark.parametrize("shims", [NOT_KNOWN, ADD_AT_A])
def test_no_shim_is_named_without_a_direction(move: Move, shims: ShimAdvice) -> None:
    report = judgement_report(written_inspection(move, shims, BECAUSE))
    assert "Add shims" not in report
    assert "emove shims" not in report
    assert "toward end B, the pattern" not in report


@pytest.mark.parametrize(
    ("shims", "words"),
    [
        (ADD_AT_A, "Add shims under the carrier at end A."),
        (ShimAdvice(End.B, ShimChange.REMOVE), "Remove shims from under the carrier at end B."),
        (NOT_KNOWN, "Which shims to change is not known"),
    ],
)
def test_shims_are_named_as_advised(shims: ShimAdvice, words: str) -> None:
    report = judgement_report(written_inspection(Move.TOWARD_A, shims, BECAUSE))
    assert words in report
    assert "found by trial" in report


def test_a_known_amount_stands_in_millimetres_and_inches() -> None:
    shims = ShimAdvice(End.A, ShimChange.ADD, 0.254)
    report = judgement_report(written_inspection(Move.TOWARD_A, shims, BECAUSE))
    assert "As a first step 0.25 mm (0.010 in): at most two thirds of what the pattern suggests" in report
    assert "found by trial" not in report
    assert length_words(25.4) == "25.40 mm (1.000 in)"  # the international inch, by definition


def test_a_missing_flank_is_named() -> None:
    report = judgement_report(drawn_inspection((1, 0)))
    assert "- Right flank: no reading." in report
    assert report.startswith("# Photograph the RIGHT flank too\n")
    assert "**Why:** Cannot say which way to move the wheel. There is no reading of the right flank" in report


def test_safety_and_limits_are_always_there() -> None:
    # Common practice: secure both sides of the sheave, lock out, hands out of the mesh, clean the compound off.
    for move in Move:
        report = judgement_report(written_inspection(move, NOT_KNOWN, BECAUSE))
        for word in ("isolate", "lock", "hang the car and land the counterweight", "in the mesh", "clean all compound"):
            assert word in report
        assert report.index(SAFETY_LINE) < report.index("Why:")
        assert "manual and the local code decide" in report


def test_a_reading_gives_numbers_but_no_direction() -> None:
    reading = drawn_reading(Flank.LEFT)
    report = reading_report([reading])
    assert report.startswith("# Reading of left.png\n")
    assert "Left flank, tooth 1 (blue, transfer): middle of the pattern " in report
    assert "judge both flanks together" in report
    assert "Move the wheel" not in report
    with pytest.raises(ValueError, match="at least one reading"):
        reading_report([])


@pytest.mark.parametrize(
    ("moved", "where"), [((0, 0), "in the middle"), ((-400, -300), "at the upper left"), ((400, 0), "at the right")]
)
def test_a_report_says_which_tooth_was_found(moved: tuple[int, int], where: str) -> None:
    reading = drawn_reading(Flank.LEFT)
    centred = np.array(reading.photo.held_px) / 2 - reading.outline.border.mean(axis=0)
    size = np.array(reading.photo.held_px)
    edges = {
        name: getattr(reading.outline, name) + centred + np.array(moved) * size / 1000
        for name in ("root", "tip", "end_a", "end_b")
    }
    found = dataclasses.replace(reading.outline, source=OutlineSource.FOUND, tooth="2", **edges)
    report = reading_report([dataclasses.replace(reading, outline=found)])
    assert f"- Tooth 2 is the one {where} of the photo; the tool found it." in report
    assert "the tool found it" not in reading_report([reading])


def test_shifts_name_their_ends() -> None:
    # Places along the face count from end A, so a positive shift is toward B.
    assert toward_end(0.2) == "20 % toward end B"
    assert toward_end(-0.2) == "20 % toward end A"
    assert toward_end(-0.001) == "0 %"
    assert shift_with_range(Interval(0.2, 0.1, 0.3)) == "20 % toward end B (10 to 30 %)"


def test_names_with_signs_of_markdown_make_no_layout() -> None:
    # CommonMark 0.31, 2.4: a backslash before a sign makes it plain; a name with line breaks must not start a heading.
    reading = drawn_reading(Flank.LEFT)
    outline = dataclasses.replace(reading.outline, tooth="2\n# *hot*")
    photo = dataclasses.replace(reading.photo, name="hoist_left [new] *2*.jpg")
    lines = reading_report([dataclasses.replace(reading, photo=photo, outline=outline)]).splitlines()
    assert lines[0] == r"# Reading of hoist_left \[new\] \*2\*.jpg"
    assert sum(line.startswith("#") for line in lines if "Doubts" not in line) == 1
    assert any(r"tooth 2 # \*hot\* (" in line for line in lines)


def hidden_toward_b(share: float) -> Reading:
    """A drawn reading of which a share next to end B could not be judged."""
    reading = drawn_reading(Flank.LEFT)
    judged = np.ones_like(reading.contact_map.judged)
    judged[:, round((1 - share) * judged.shape[1]) :] = False
    return dataclasses.replace(
        reading,
        contact_map=dataclasses.replace(reading.contact_map, judged=judged),
        measurement=dataclasses.replace(reading.measurement, judged_fraction=1 - share),
        cautions=(),
    )


def test_what_could_not_be_judged_is_said_with_place_and_remedy() -> None:
    reading = hidden_toward_b(0.25)
    report = reading_report([reading])
    assert "Left flank, tooth 1: 25 % of the flank could not be judged, mostly near end B." in report
    assert "take the photo again: move the lamp to the side" in report
    shiny = dataclasses.replace(reading, cautions=(caution("glare", Flank.LEFT, "left.png", share=0.25),))
    assert "could not be judged, mostly near end B, because of shine." in reading_report([shiny])
    assert "- Glare from the lamp lies on 25 % of the flank. **Do:** Move the lamp" in reading_report([shiny])


def test_a_little_that_could_not_be_judged_needs_no_word() -> None:
    assert "could not be judged" not in reading_report([hidden_toward_b(0.04)])


def test_the_judgement_names_the_flank_that_could_not_be_judged() -> None:
    judgement = dataclasses.replace(drawn_inspection(), left=(hidden_toward_b(0.25),))
    report = judgement_report(judgement)
    assert report.count("could not be judged") == 1
    assert report.index("## What was read") < report.index("could not be judged") < report.index("## What a shim")
