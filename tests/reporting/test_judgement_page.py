"""The page of a judgement: the answer first, every number with its doubt, and on one sheet."""

from __future__ import annotations

import dataclasses
import hashlib
import io
import re
from base64 import b64decode
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from patternscan.cautions import caution
from patternscan.frame import Compound, End, Flank, Marking
from patternscan.judging.advice import Move
from patternscan.judging.judgement import Judgement
from patternscan.reasons import Reason, finding, reason
from patternscan.reporting.drawing.on_photo import frame_outlines
from patternscan.reporting.pages.judgement_page import judgement_content, judgement_page
from patternscan.reporting.pictures.annotation import draw_on_photo
from patternscan.reporting.pictures.glance_picture import draw_flank
from patternscan.reporting.text.answers.cure import what_to_do
from patternscan.reporting.text.answers.doubts import doubts_that_matter
from patternscan.reporting.text.answers.ends import NOT_HELD, WRONG_WAY
from patternscan.reporting.text.answers.headline import judgement_headline
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.figures.captions import LIGHTENED
from patternscan.reporting.text.figures.number_tables import taken_table
from patternscan.reporting.text.findings import NOTES, finding_message
from patternscan.reporting.text.safety import LIMIT, SAFETY, SAFETY_LINE
from patternscan.reporting.text.wording import with_range
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.judge import judge_pair
from patternscan.workflow.read import read_flank
from tests.drawn import drawn_photo, slanted_outline
from tests.reporting.builders import (
    ADD_AT_A,
    NOT_KNOWN,
    drawn_inspection,
    drawn_reading,
    two_on_each_photo,
    with_move,
    written_inspection,
)
from tests.reporting.contents import MADE
from tests.reporting.seen_page import (
    beyond_the_side,
    faint_texts,
    least_letter_px,
    seen,
    sheets,
    tags_of,
    words_of,
    words_on_the_first_screen,
)
from tests.reporting.test_estimate_report import SURE
from tests.seeing.test_pose import PAIRS, Shot, posed

TURNED = (Move.TOWARD_A, Move.TOWARD_B)
HOSTILE = "<script>alert(1)</script>\"'&.png"


@pytest.fixture(scope="module")
def judgement() -> Judgement:
    return with_move(dataclasses.replace(drawn_inspection(), machine="Barn hoist"), Move.TOWARD_A)


@pytest.fixture(scope="module")
def whole(judgement: Judgement) -> str:
    """Its page."""
    return judgement_page(judgement)


# ---- what it says


@pytest.mark.parametrize("move", Move)
def test_the_answer_comes_first_in_one_sentence(judgement: Judgement, move: Move) -> None:
    moved = with_move(judgement, move)
    words = words_of(judgement_page(moved))
    asked = "Is the painted A where the round A stands in the left photo and the right photo?"
    check = "" if move is Move.CANNOT_SAY else f"{asked} {WRONG_WAY if move in TURNED else NOT_HELD} "
    assert words.startswith(f"{judgement_headline(moved)}. Safety first: {SAFETY_LINE} {check}Left flank: middle ")


def test_every_number_stands_with_its_doubt(judgement: Judgement, whole: str) -> None:
    words = words_of(whole)
    for pooled in (judgement.comparison.left, judgement.comparison.right):
        assert pooled is not None
        for number in (pooled.along, pooled.up, pooled.coverage, pooled.length, pooled.height):
            assert with_range(number) in words


def test_pictures_say_in_words_and_numbers_what_they_show(judgement: Judgement, whole: str) -> None:
    """WCAG 2.2, 1.1.1: what is not text has a text that serves the same purpose."""
    pictures = [one for tag, one in tags_of(whole) if tag == "img"]
    left, right = judgement.comparison.left, judgement.comparison.right
    assert left is not None
    assert right is not None
    assert len(pictures) == 2 + 1 + 2 * 2 + 2
    assert "move the wheel toward end A." in str(pictures[2]["alt"])
    assert with_range(left.along) in str(pictures[0]["alt"])
    assert with_range(right.coverage) in str(pictures[1]["alt"])
    for picture in (*pictures[:2], *pictures[3:]):
        assert with_range(left.along) in str(picture["alt"]) or with_range(right.along) in str(picture["alt"])


def test_close_up_is_the_photo_itself(judgement: Judgement, whole: str) -> None:
    """Pixel for pixel the piece of the photo around the flank, but for what JPEG loses."""
    page, reading = whole, judgement.left[0]
    boxes = re.findall(r'class="close-up".*?<img src="data:image/jpeg;base64,([^"]+)"', page, re.DOTALL)
    assert len(boxes) == 2
    window = frame_outlines([reading.outline], (reading.photo.width_px, reading.photo.height_px))
    piece = reading.photo.pixels[window.top : window.bottom, window.left : window.right]
    with Image.open(io.BytesIO(b64decode(boxes[0]))) as close_up:
        shown = np.asarray(close_up, dtype=float)
    assert shown.shape == piece.shape
    assert np.abs(shown - piece).mean() < 3


def test_teeth_on_one_photo_share_a_row_that_says_what_they_differ_in() -> None:
    """Sizes, marking and compound are those of the photo; one tooth was seen a little less."""
    two = two_on_each_photo()
    whole, part = two.left
    part = dataclasses.replace(part, measurement=dataclasses.replace(part.measurement, judged_fraction=0.83))
    table = taken_table([whole, part, *two.right])
    assert [row[0] for row in table.rows] == ["Left, teeth 1 and 2", "Right, teeth 1 and 2"]
    assert table.rows[0][1:4] == ("left.png", "900 x 1280 pixels", "not known")
    assert [row[6] for row in table.rows] == ["100 % (tooth 1), 83 % (tooth 2)", "100 %"]
    assert len(taken_table([*drawn_inspection((2, 1)).left]).rows) == 2


def test_how_the_photos_were_taken(judgement: Judgement, whole: str) -> None:
    words = words_of(whole)
    taken = words[words.index("How the photos were taken") :]
    assert "Left, tooth 1 left.png 900 x 640 pixels" in taken
    assert re.search(r"not known blue transfer \d+ % given by a person", taken)
    assert "Film of compound: not noted." in taken
    noted = words_of(judgement_page(dataclasses.replace(judgement, film="thin, *brushed*")))
    assert "Film of compound, as noted: thin, *brushed*." in noted


def test_from_where_a_known_camera_saw_the_flank(judgement: Judgement) -> None:
    """A computed camera that stands 0.8 rad off the flank's normal: 45.8 degrees, told within one."""
    shot = Shot(PAIRS[0], Flank.LEFT, tilt=0.8, aside=0.0)
    reading = dataclasses.replace(judgement.left[0], flank_map=posed(shot.outline(), shot.pair))
    words = words_of(judgement_page(dataclasses.replace(judgement, left=(reading,))))
    told = re.search(r"(\d+) degrees off square", words)
    assert told is not None
    assert int(told[1]) == pytest.approx(45.8, abs=1.0)


def test_found_outlines_are_said_to_be_found(judgement: Judgement) -> None:
    from patternscan.seeing.geometry.outline import OutlineSource

    reading = judgement.left[0]
    outline = dataclasses.replace(reading.outline, source=OutlineSource.FOUND, confidence=0.82)
    left = (dataclasses.replace(reading, outline=outline),)
    assert "found by the tool, 82 % sure" in words_of(judgement_page(dataclasses.replace(judgement, left=left)))


def test_files_go_by_their_digests_and_versions_are_named(tmp_path: Path) -> None:
    """FIPS 180-4 by the standard library."""
    readings = []
    for flank in Flank:
        outline = slanted_outline(flank)
        path = tmp_path / f"{flank}.png"
        Image.fromarray(drawn_photo(outline, (0.35, 0.65, 0.3, 0.7)).pixels).save(path)
        readings.append(read_flank(load_photo(path), outline, Marking.TRANSFER, Compound.BLUE))
    words = words_of(judgement_page(judge_pair(readings[:1], readings[1:])))
    for flank in Flank:
        digest = hashlib.sha256((tmp_path / f"{flank}.png").read_bytes()).hexdigest()
        assert f"{flank}.png (900 x 640 pixels): SHA-256 {digest}" in words
    assert re.search(r"Made with patternscan \d\S* on Python 3\.\d+\.\d+, with numpy \d", words)


def test_cautions_findings_safety_and_limit_are_there() -> None:
    uneven, dark = finding("teeth-disagree", flank="left", share=0.2), caution("too-blurred", Flank.LEFT, "a.jpg")
    written = written_inspection(Move.TOWARD_A, ADD_AT_A, reason("in-place"), [uneven], [dark])
    words = words_of(judgement_page(written))
    for said in (finding_message(uneven), f"{caution_message(dark)} {caution_remedy(dark)}", *SAFETY, LIMIT):
        assert words.count(said) == 1
    assert "Add shims under the carrier at end A." in words


def test_little_certainty_is_told_with_its_cause_under_both_flanks() -> None:
    doubt = caution("end-off-edges", Flank.LEFT, "a.jpg", end="A")
    because = Reason("toward-unsure", reason("toward", end="A", share=0.2).values, doubt)
    content = judgement_content(written_inspection(Move.TOWARD_A, ADD_AT_A, because, [], [doubt]))
    assert content.answer.endswith(", with little certainty.")
    assert len(content.lead) == 3, "both flanks and the arrow"
    assert content.doubts[0].startswith("Left flank, a.jpg: No edge of the tooth is seen")


def test_one_flank_alone_has_a_page(judgement: Judgement) -> None:
    words = words_of(judgement_page(judge_pair(judgement.left, [])))
    assert words.startswith("Photograph the RIGHT flank too.")
    assert "no reading" in words


def test_names_stay_names(judgement: Judgement, whole: str) -> None:
    reading = judgement.left[0]
    photo = dataclasses.replace(reading.photo, name=HOSTILE)
    outline = dataclasses.replace(reading.outline, tooth=HOSTILE)
    left = (dataclasses.replace(reading, photo=photo, outline=outline),)
    hostile = dataclasses.replace(judgement, left=left, machine=HOSTILE)
    page = judgement_page(hostile)
    tags, usual = ([tag for tag, _ in tags_of(one) if tag != "wbr"] for one in (page, whole))
    assert tags == usual
    assert "alert(1)</script>" not in page
    assert words_of(page).count(HOSTILE) >= 5


def test_the_sheet_of_the_machine_names_the_page(judgement: Judgement) -> None:
    page = judgement_page(judge_pair(judgement.left, judgement.right, Sheet(machine="Mill hoist")))
    assert re.search(r"<title>[^<]*: Mill hoist</title>", page)


# ---- in a browser


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
def test_it_reads_on_a_phone_and_at_a_desk(browser: Any, tmp_path: Path, whole: str, width: int) -> None:
    with seen(browser, whole, tmp_path, width) as page:
        assert beyond_the_side(page) == []
        assert faint_texts(page) == []
        assert page.locator("h1").bounding_box()["y"] < 100
        folds = page.locator(".fold > summary").all()
        for one in folds:
            one.click()
        for one in page.locator("summary").all():
            assert one.bounding_box()["height"] >= 44  # WCAG 2.2, 2.5.5: a target for a finger
        assert page.locator(".close-up img").count() == 2
        assert beyond_the_side(page) == []


@pytest.mark.browser
def test_a_phone_shows_what_matters_without_scrolling(browser: Any, tmp_path: Path, whole: str) -> None:
    """360 by 640 pixels: the answer, safety, the check of the A, both flanks and the arrow; little to read."""
    with seen(browser, whole, tmp_path, 360) as page:
        page.set_viewport_size({"width": 360, "height": 640})
        below = page.locator(".lead figure").last.bounding_box()
        assert below["y"] + below["height"] <= 640
        assert words_on_the_first_screen(page) <= 100
        assert page.evaluate("document.documentElement.scrollHeight") <= 2 * 640
        assert least_letter_px(page) >= 12


def test_a_dark_flank_is_shown_lighter_on_the_first_screen_and_said_to_be() -> None:
    left, right = drawn_reading(Flank.LEFT), drawn_reading(Flank.RIGHT)
    dim = np.asarray(left.rectified.pixels // 8, dtype=np.uint8)
    dark = dataclasses.replace(
        left,
        photo=Photo("left.png", np.asarray(left.photo.pixels // 8, dtype=np.uint8)),
        rectified=dataclasses.replace(left.rectified, pixels=dim),
        cautions=(caution("too-dark", Flank.LEFT, "left.png"),),
    )
    unlit = dataclasses.replace(dark, cautions=())
    lead, still_dark = (judgement_content(judge_pair([one], [right])).lead for one in (dark, unlit))
    assert [LIGHTENED in one.caption for one in lead] == [True, False, False]
    assert not any(LIGHTENED in one.caption for one in still_dark)
    level, unlit_level = (
        np.asarray(draw_flank(judge_pair([one], [right]), Flank.LEFT)).mean() for one in (dark, unlit)
    )
    assert level > unlit_level + 20
    drawn, drawn_dark = (np.asarray(draw_on_photo(one.photo, [one])).mean() for one in (dark, unlit))
    assert drawn > drawn_dark + 20


@pytest.mark.parametrize(
    ("light", "cure"), [("far-too-dark", "more light, from the side"), ("too-bright", "flash off, lamp further away")]
)
def test_where_the_light_is_at_fault_its_cure_comes_before_the_general_one(light: str, cure: str) -> None:
    unclear = caution("contact-unclear", Flank.LEFT, "a.jpg")
    because = reason("grave-caution", unclear)
    cautions = [unclear, caution(light, Flank.LEFT, "a.jpg"), caution("too-blurred", Flank.RIGHT, "b.jpg")]
    judged = written_inspection(Move.CANNOT_SAY, NOT_KNOWN, because, [finding("tip-line", flank="left")], cautions)
    assert what_to_do(judged) == f"Take the LEFT photo (a.jpg) again: {cure}"
    assert NOTES["tip-line"] not in doubts_that_matter(judged)


def test_without_an_answer_the_photo_that_failed_is_shown(judgement: Judgement) -> None:
    dark = caution("too-blurred", Flank.RIGHT, judgement.right[0].photo.name)
    advice = dataclasses.replace(judgement.advice, move=Move.CANNOT_SAY, because=reason("grave-caution", dark))
    page = judgement_page(dataclasses.replace(judgement, advice=advice, cautions=(dark,)))
    words = words_of(page)
    assert words.startswith(f"Take the RIGHT photo ({dark.photo}) again: hold still and tap on the tooth.")
    assert words.index(f"{SAFETY_LINE} {caution_message(dark)}") < words.index("Why")


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_two_sheets(browser: Any, tmp_path: Path, whole: str, paper: str) -> None:
    with seen(browser, whole, tmp_path) as page:
        page.locator("summary").first.click()  # all is opened for the paper anyway
        assert sheets(page, paper) <= 2
        page.emulate_media(media="print")
        assert least_letter_px(page) * 72 / 96 >= 9


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_two_sheets_with_two_teeth_on_each_photo(browser: Any, tmp_path: Path, paper: str) -> None:
    apart = finding("mixed", left_end=End.B, right_end=End.A, share=0.06)
    two = two_on_each_photo()
    advice = dataclasses.replace(two.advice, findings=(apart,))
    two = dataclasses.replace(two, estimate=SURE, advice=advice, machine="Goods lift, north shaft")
    with seen(browser, judgement_page(two, MADE), tmp_path) as page:
        assert sheets(page, paper) <= 2
        page.emulate_media(media="print")
        assert least_letter_px(page) * 72 / 96 >= 9


@pytest.mark.browser
def test_it_prints_on_three_sheets_with_all_there_is_to_say(browser: Any, tmp_path: Path) -> None:
    crowded = drawn_inspection((3, 2))
    said = "Something is wrong with this photo and it is told here in a sentence of some length."
    remedy = "Take it again with the lamp to the side."
    cautions = tuple(caution("gear-data-impossible", found=f"{said} {k}", remedy=remedy) for k in range(9))
    findings = tuple(
        finding("teeth-disagree", flank=flank.value, share=share) for flank in Flank for share in (0.1, 0.2)
    )
    advice = dataclasses.replace(crowded.advice, findings=findings)
    crowded = dataclasses.replace(crowded, cautions=cautions, advice=advice, machine="Barn hoist")
    with seen(browser, judgement_page(crowded), tmp_path) as page:
        assert sheets(page, "A4") <= 3
        assert sheets(page, "Letter") <= 3


@pytest.mark.browser
def test_ink_on_paper_is_dark_on_white(browser: Any, tmp_path: Path, whole: str) -> None:
    with seen(browser, whole, tmp_path) as page:
        page.emulate_media(media="print")
        assert faint_texts(page) == []
        assert page.eval_on_selector("h1", "one => getComputedStyle(one).color") == "rgb(0, 0, 0)"
        assert page.eval_on_selector("header", "one => getComputedStyle(one).backgroundColor") == "rgb(255, 255, 255)"
