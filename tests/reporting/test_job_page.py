"""The record as a page: it says what the job holds, stays safe with any name, and reads on phone and paper."""

from __future__ import annotations

import io
import re
import shutil
from base64 import b64decode
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.axes import Axes
from matplotlib.text import Text
from msgspec import structs
from PIL import Image

from patternscan.judging.advice import Move
from patternscan.reporting.job.chapters import Chapter, chapters
from patternscan.reporting.job.charts import limit_chart, shift_charts
from patternscan.reporting.job.page import job_page
from patternscan.reporting.job.record import JobRecord, gather_record
from patternscan.reporting.pictures.charts import Chart, draw_chart
from patternscan.reporting.text.safety import LIMIT, SAFETY, SAFETY_LINE
from patternscan.setting.log.entries import Entry, entry_line
from patternscan.setting.log.events import (
    EndPlay,
    Event,
    Replied,
    ShimChange,
    SignOff,
)
from patternscan.setting.log.job_log import HEADER
from patternscan.setting.log.replies import AskedBack
from patternscan.setting.log.words import (
    Occasion,
    Reply,
    Shaft,
    ShimPlace,
)
from tests.reporting.jobs import BEGIN, HOSTILE, MADE_AT, SAMPLE, hostile_events, made_job
from tests.reporting.seen_page import beyond_the_side, faint_texts, seen, sheets, tags_of, words_of
from tests.setting.job_entries import FOUND, HEAVY_AT_B, WORM_PLAY, blued, side_move
from tests.setting.job_entries import events as any_event
from tests.setting.rule_jobs import BARE, UNANSWERED

A4_WITHIN_PX = 718
"""A4 is 210 mm wide (ISO 216), less margins of 2 x 10 mm, at 96 px to the inch."""


@pytest.fixture(scope="module")
def sample() -> JobRecord:
    return gather_record(SAMPLE, MADE_AT)


@pytest.fixture(scope="module")
def page(sample: JobRecord) -> str:
    return job_page(sample)


def chapter(record: JobRecord, title: str) -> Chapter:
    return next(one for one in chapters(record) if one.title.startswith(title))


def rows(chapter: Chapter) -> dict[str, tuple[str, ...]]:
    return {row[0]: row[1:] for table in chapter.tables for row in table.rows}


# ---- what it says


def test_as_found_stands_beside_as_left(sample: JobRecord) -> None:
    """Every number is in the sample's log; 0.60 + 0.12 + 0.002 in x 25.4 = 0.77 mm, and the same less on the other
    side. Dial readings are taken at 145 mm and count at the pitch radius 3.15 x 46 / 2 = 72.45 mm, so 0.92 mm is 0.46.
    """
    found = rows(chapter(sample, "As found and as left"))
    assert found["Shims under the carrier at end A"][:2] == ("0.60 mm (0.024 in)", "0.77 mm (0.030 in)")
    assert found["Shims under the carrier at end B"][:2] == ("0.80 mm (0.031 in)", "0.63 mm (0.025 in)")
    assert found["Shims under the worm bearing cover"][:2] == ("0.30 mm (0.012 in)", "0.25 mm (0.010 in)")
    assert found["Marks of the eccentric carriers"][:2] == (
        "hole 1 (end A), hole 1 (end B)",
        "hole 2 (end A), hole 2 (end B)",
    )
    assert found["End play of the worm"][:2] == ("0.19 mm (0.007 in)", "0.11 mm (0.004 in)")
    assert found["Backlash"][0] == "0.46 to 0.51 mm (0.018 to 0.020 in) at the pitch radius"
    assert found["Pattern"][1].endswith("(entry 46)")


def test_every_row_has_its_limit_and_verdict_the_pattern_too(sample: JobRecord) -> None:
    found = rows(chapter(sample, "As found and as left"))
    assert found["End play of the worm"][2:] == ("0.08 to 0.13 mm (0.003 to 0.005 in)", "within")
    assert found["Shims under the carrier at end A"][2:] == ("at most 1.50 mm (0.059 in)", "within")
    assert found["Run-out of the wheel's seat"][2:] == ("at most 0.03 mm (0.001 in)", "within")
    assert found["Pattern"][2:] == ("left 50 %, right 50 % from end A", "in its place")
    assert all(row[2] and row[3] for row in found.values())


def test_signatures_stand_beside_the_result(sample: JobRecord) -> None:
    assert [one.title for one in chapters(sample)][:2] == ["Signatures", "What is still open"]


def test_the_machine_is_that_of_the_sheet(sample: JobRecord) -> None:
    machine = rows(chapter(sample, "The machine"))
    assert machine["Machine"] == ("Goods lift, north shaft (invented)",)
    assert machine["Threads of the worm"] == ("3",)
    assert machine["Teeth of the wheel"] == ("46",)
    assert machine["Adding shims there"] == ("moves the wheel toward end B",)
    assert machine["Eccentric carriers"][0].endswith("lower holes give more backlash")


MORE = """
[machine]
end_a = "the end with the oil gauge"
[gear]
centre_distance_mm = 90.09
[photos]
film_um = 8
[shims]
carrier = "A"
holds_shaft = "both"
[eccentrics]
widest_hole = 3.5
numbers_rise = "anticlockwise"
numbers_rise_b = "clockwise"
[limits]
backlash_radius = "212 mm"
backlash_of = "teeth"
"""


def test_the_machine_is_told_as_far_as_the_sheet_goes(tmp_path: Path) -> None:
    """An inch is 25.4 mm: 90.09 mm are 3.547 in, 0.008 mm are 0.0003 in."""
    machine = rows(chapter(gather_record(made_job(tmp_path, [], MORE)), "The machine"))
    assert machine["End A of the wheel"] == ("the end with the oil gauge",)
    assert machine["Centre distance"] == ("90.09 mm (3.547 in)",)
    assert machine["Wheel shaft held endways"] == ("by both carriers",)
    assert machine["Film of compound"] == ("0.008 mm (0.0003 in)",)
    assert machine["Eccentric carriers"] == (
        "centres widest at hole 3.5, hole numbers rise anticlockwise seen from end A, hole numbers rise clockwise "
        "at end B seen from there",
    )
    assert machine["Limit for backlash counts, from the axis, at"] == ("212.00 mm (8.346 in)",)
    assert machine["It holds"] == ("the teeth alone",)


def test_without_limits_nothing_is_called_right(tmp_path: Path) -> None:
    limits = rows(chapter(gather_record(made_job(tmp_path, [WORM_PLAY])), "As found"))
    assert limits["End play of the worm"][1:] == ("0.10 mm (0.004 in)", "no limit on the sheet", "cannot be compared")
    assert limits["Backlash"][1:] == ("not read", "no limit on the sheet", "not read")


def test_each_trial_has_two_flanks_its_numbers_the_move_and_what_followed(sample: JobRecord) -> None:
    trials = [one for one in chapters(sample) if one.title.startswith("Trial")]
    assert [one.title for one in trials][-1] == "Trial 4, after closing, 2025-10-08 (entry 46)"
    assert [len(one.plates) for one in trials] == [2, 2, 2, 2]
    assert rows(trials[0])["Middle of the pattern from end A"][0].startswith("64 % (")
    lines = " ".join(trials[0].lines)
    advised = (
        "**Advised:** Move the wheel toward end B: add 0.14 mm (0.006 in) of shims under the carrier at end A, "
        "as a first step."
    )
    assert advised in lines
    assert "off their target by 26 % toward end B (24 to 27 %)" in lines
    assert "**Then:** Shims under the carrier at end A: 0.12 mm (0.005 in) added." in lines
    assert "Note: Flanks still pull apart." in " ".join(trials[1].lines)


def test_what_was_done_before_the_first_trial_is_told(sample: JobRecord) -> None:
    assert "Replaced: worm wheel. (Entry 19.)" in chapter(sample, "Before the first trial").lines


def test_a_pattern_that_counts_no_more_is_not_shown_as_left(tmp_path: Path) -> None:
    record = gather_record(made_job(tmp_path, [*FOUND, HEAVY_AT_B, *side_move(0.1)]))
    so_far = chapter(record, "As found and so far")
    assert so_far.tables[0].head == ("", "As found", "So far", "Limit", "Verdict")
    assert rows(so_far)["Pattern"][1].endswith("; counts no more: side shims were changed, so the wheel sits elsewhere")
    assert so_far.lines[-1].startswith("So far (trial 1, counts no more): ")


def test_every_doubt_stands_with_its_trial(tmp_path: Path) -> None:
    job = made_job(tmp_path, [blued(0.2, Move.TOWARD_B, grave=("Too dark.",), folder="patterns/01")])
    (job / "patterns" / "01").mkdir(parents=True)
    kept = '{"cautions": [{"message": "Glare <on> *one* flank.", "grave": false}]}'
    (job / "patterns" / "01" / "judgement.json").write_text(kept)
    record = gather_record(job)
    assert {"**Doubt:** Too dark.", r"**Doubt:** Glare \<on\> \*one\* flank."} <= set(chapter(record, "Trial 1").lines)
    assert "Doubt: Glare <on> *one* flank." in words_of(job_page(record))


def test_doubts_of_the_pattern_as_found_stand_under_the_cautions(tmp_path: Path) -> None:
    as_found = blued(0.2, Move.TOWARD_B, occasion=Occasion.AS_FOUND, grave=("Too dark.",))
    assert "As found: Too dark." in chapter(gather_record(made_job(tmp_path, [as_found])), "Cautions").lines


TOLD = r"It is bare <up> to end B. Was it painted?"
ASKS = blued(0.2, Move.TOWARD_B, asked=(AskedBack("bare-to-end", TOLD),), folder="patterns/01")


@pytest.mark.parametrize(
    ("reply", "answer"),
    [
        (None, "Nobody has answered that yet."),
        (
            Reply.RUBBED_OFF,
            "Answer (entry 2): the worm rubbed the paint off right up to the bare end, says R. Moss. "
            "By that the pattern stands.",
        ),
    ],
)
def test_a_question_stands_once_with_its_answer(tmp_path: Path, reply: Reply | None, answer: str) -> None:
    answered = () if reply is None else (Replied(1, "bare-to-end", reply, "R. Moss"),)
    job = made_job(tmp_path, [ASKS, *answered])
    (job / "patterns" / "01").mkdir(parents=True)
    kept = '{"cautions": [{"message": "It is bare <up> to end B.", "grave": false}]}'
    (job / "patterns" / "01" / "judgement.json").write_text(kept)
    record = gather_record(job)
    told = rf"It is bare \<up\> to end B. Was it painted? {answer}"
    assert [one for one in chapter(record, "Trial 1").lines if "Doubt" in one] == [f"**Doubt:** {told}"]
    assert f"Trial 1: {told}" in chapter(record, "Cautions").lines


@pytest.mark.parametrize(
    ("occasion", "name"),
    [
        (Occasion.TRIAL, "A trial that does not count (entry 1)"),
        (Occasion.AS_FOUND, "As found (entry 1)"),
        (Occasion.MAKER, "The maker's pattern (entry 1)"),
    ],
)
def test_a_pattern_that_fell_is_told_with_its_question_and_crossed_out(
    tmp_path: Path, occasion: Occasion, name: str
) -> None:
    asks = structs.replace(ASKS, occasion=occasion)
    record = gather_record(made_job(tmp_path, [asks, Replied(1, "bare-to-end", Reply.NEVER_PAINTED, "R. Moss")]))
    assert (record.trials, record.as_found, record.maker) == ((), None, None)
    told = [line for line in chapter(record, "Cautions").lines if "Was it painted?" in line]
    assert [line.startswith(f"{name}: It is bare") for line in told] == [True]
    assert told[0].endswith("says R. Moss. By that the pattern counts no more.")
    assert rows(chapter(record, "The log in full"))["1"][-1] == "no (entry 2)"
    assert chapter(record, "The log in full").tables[0].struck == {0}


def test_the_first_step_that_was_advised_is_told(tmp_path: Path) -> None:
    record = gather_record(made_job(tmp_path, [blued(0.2, Move.TOWARD_B, step_mm=0.0508)]))
    advised = "**Advised:** Move the wheel toward end B, with 0.051 mm (0.0020 in) of shims as a first step."
    assert chapter(record, "Trial 1").lines[0] == advised


def test_what_the_trials_taught(sample: JobRecord) -> None:
    """From 25.6 to 6.4 % with 0.12 mm: about 16 % for 0.10 mm, toward end A."""
    (line,) = (line for line in chapter(sample, "How the pattern moved").lines if line.startswith("By trials 1, 2"))
    assert "0.10 mm (0.004 in) more of shims move the pattern 16 % toward end A" in line


def test_photos_log_and_files_can_be_compared(sample: JobRecord, page: str) -> None:
    words = words_of(page)
    assert sample.log_sha256 in words
    photos = rows(chapter(sample, "Photos"))
    assert photos["Entry 40: drawn_trial_3_left.jpg"][1] == "in the job's folder"
    assert photos["Entry 29: goods_lift_before_left.jpg"] == (
        "34bf6cdf04cdf2a706d059f7d7c913dcc0b5a6a7858614ec245f029346766611",
        "not kept in the job's folder",
    )
    assert "patternscan" in words
    assert "numpy" in words
    assert len(rows(chapter(sample, "The log in full"))) == 51


def test_a_struck_entry_is_struck_through_but_says_why(page: str) -> None:
    struck = re.findall(r"<s>(.*?)</s>", page)
    assert struck == ["24", "2025-10-06 15:20", "R. Moss", "End play of the wheel shaft: 1.20\u00a0mm (0.047\u00a0in)."]
    assert "no (entry 25)" in page


def test_safety_the_limit_and_lines_to_sign(page: str) -> None:
    words = words_of(page)
    assert LIMIT in words
    assert all(line in words for line in SAFETY)
    assert all(word in words for word in ("Fitter", "Reviewer", "Name", "Date", "Signature"))


def test_a_finished_job_says_so_and_an_unfinished_one_what_comes_next(page: str, tmp_path: Path) -> None:
    words = words_of(page)
    assert f"Record of a finished setting job. Safety first: {SAFETY_LINE} Signed off by E. Larkin on 2025" in words
    words = words_of(job_page(gather_record(made_job(tmp_path, [*FOUND, HEAVY_AT_B]), MADE_AT)))
    assert f"Not finished: record of a setting job so far. Safety first: {SAFETY_LINE} Next: " in words
    assert "finished setting job" not in words


def test_a_job_signed_with_open_points_says_both_once(tmp_path: Path) -> None:
    record = gather_record(made_job(tmp_path, [*FOUND, SignOff("E. Larkin")]), MADE_AT)
    words = words_of(job_page(record))
    assert "Signed off with open points: record of a setting job." in words
    assert "Signed off by E. Larkin on 2025-03-02. Signed off, yet this is open: " in words
    cautions = next((one.lines for one in chapters(record) if one.title == "Cautions"), [])
    assert not [line for line in cautions if line.startswith("Signed off, yet")]


def test_a_question_that_nobody_answered_is_an_open_point_of_a_signed_job(tmp_path: Path) -> None:
    record = gather_record(made_job(tmp_path / "open", UNANSWERED), MADE_AT)
    assert not record.finished
    words = words_of(job_page(record))
    assert f"Signed off by R. Moss on 2025-03-02. Not answered: {BARE.told} Log how it is " in words
    assert chapter(record, "What is still open").lines[0].startswith(f"Not answered: {BARE.told}")
    answer = Replied(len(UNANSWERED) - 2, BARE.code, Reply.RUBBED_OFF, "E. Larkin")
    answered = gather_record(made_job(tmp_path / "closed", [*UNANSWERED, answer]), MADE_AT)
    assert answered.finished
    assert "Not answered" not in words_of(job_page(answered))


def test_a_question_is_open_before_the_job_is_signed_too(tmp_path: Path) -> None:
    record = gather_record(made_job(tmp_path, UNANSWERED[:-1]), MADE_AT)
    assert chapter(record, "What is still open").lines[0].startswith(f"First look at the last pattern: {BARE.told}")


def test_an_empty_job_has_a_page_without_charts(tmp_path: Path) -> None:
    page = job_page(gather_record(made_job(tmp_path, []), MADE_AT))
    assert "The log holds no entry." in words_of(page)
    assert "<img" not in page


def test_missing_pictures_are_said_and_the_numbers_stay(sample: JobRecord, tmp_path: Path) -> None:
    shutil.copytree(SAMPLE, tmp_path / "job")
    shutil.rmtree(tmp_path / "job" / "patterns")
    record = gather_record(tmp_path / "job", MADE_AT)
    bare, full = chapter(record, "Trial 1"), chapter(sample, "Trial 1")
    assert rows(bare) == rows(full)
    assert bare.plates == []
    missing = "the picture of the left flank is missing or damaged; its numbers stand in the log."
    assert f"Trial 1: {missing}" in bare.lines


@pytest.mark.parametrize("content", [b"", b"no picture", b"\xff\xd8\xff\xe0 cut off"])
def test_damaged_pictures_are_like_missing_ones(tmp_path: Path, content: bytes) -> None:
    shutil.copytree(SAMPLE, tmp_path / "job")
    for path in (tmp_path / "job" / "patterns" / "02").iterdir():
        path.write_bytes(content)
    assert chapter(gather_record(tmp_path / "job"), "Trial 1").plates == []


def test_damage_of_the_log_stands_under_the_cautions(tmp_path: Path) -> None:
    job = made_job(tmp_path, [WORM_PLAY])
    with (job / "log.jsonl").open("a") as log:
        log.write('{"number": 2, "at"')
    assert "Line 3 of the log is damaged or cut off" in chapter(gather_record(job), "Cautions").lines[0]


# ---- pictures


def test_charts_say_their_numbers_in_words_and_are_drawings_without_script(page: str) -> None:
    images = [one for tag, one in tags_of(page) if tag == "img"]
    charts = [one for one in images if str(one["src"]).startswith("data:image/svg+xml;base64,")]
    assert len(charts) == 3
    assert "Trial 1: together 26 % toward end B (24 to 27 %), left against right 12 % toward end A" in str(
        charts[0]["alt"]
    )
    assert "backlash: 0.29 to 0.32 mm (0.011 to 0.013 in), maker's limit 0.15 to 0.40 mm" in str(charts[2]["alt"])
    for chart in charts:
        drawing = ElementTree.fromstring(b64decode(str(chart["src"]).partition(",")[2]))
        assert not [part.tag for part in drawing.iter() if part.tag.endswith(("script", "foreignObject", "image"))]


def drawn(charts: Sequence[Chart], number: int) -> Axes:
    figure = draw_chart(charts[number])
    figure.canvas.draw()
    return figure.axes[0]


def test_nothing_of_a_chart_is_cut_off(sample: JobRecord) -> None:
    for chart in (*shift_charts(sample), *limit_chart(sample)):
        axes = drawn([chart], 0)
        needed, there = axes.get_tightbbox(), axes.figure.bbox
        assert needed is not None
        assert needed.x0 >= there.x0
        assert needed.y0 >= there.y0
        assert needed.x1 <= there.x1
        assert needed.y1 <= there.y1


def test_letters_in_charts_are_large_enough_on_phone_and_paper(sample: JobRecord) -> None:
    """A phone 360 px wide shows a chart 322 px wide; 9 points are the least on paper."""
    for chart in (*shift_charts(sample), *limit_chart(sample)):
        axes = drawn([chart], 0)
        sizes = [float(one.get_fontsize()) for one in axes.figure.findobj(Text) if one.get_text()]
        assert min(sizes) >= 9
        assert min(sizes) * 322 / (chart.width_mm / 25.4 * 72) >= 12


def test_marks_stand_where_the_log_says(sample: JobRecord) -> None:
    """Trials 1 and 2 in the log: 25.6 and 6.4 % toward end B, with nothing and with 0.12 mm added."""
    axes = drawn(shift_charts(sample), 1)
    marks: Any = axes.containers[0][0].get_xydata()
    assert marks[:2, 1] == pytest.approx([25.55, 6.45], abs=0.1)
    assert marks[1, 0] - marks[0, 0] == pytest.approx(0.12)
    assert [one.get_text() for one in axes.texts] == ["1", "2", "3", "4"]


def test_numbers_of_marks_that_are_near_stand_one_above_the_other(tmp_path: Path) -> None:
    near, far = blued(0.20, Move.TOWARD_B), blued(-0.20, Move.TOWARD_A)
    sheet = '[shims]\ncarrier = "A"\n'
    job = made_job(tmp_path, [near, near, far, *side_move(0.1), HEAVY_AT_B], sheet)
    texts: list[Any] = list(drawn(shift_charts(gather_record(job)), 1).texts)
    offsets = [one.xyann[1] for one in texts]
    assert offsets == [3, 14, 3, 3]


def test_readings_that_count_no_more_are_hollow_and_words_stay_within(tmp_path: Path) -> None:
    job = made_job(tmp_path, [WORM_PLAY, EndPlay(Shaft.WHEEL, 0.12), ShimChange(ShimPlace.WORM, 0.1, 0.1)])
    (chart,) = limit_chart(gather_record(job))
    axes = drawn([chart], 0)
    faces = [line.get_markerfacecolor() for line in axes.lines if line.get_marker() == "o"]
    assert [face == "white" for face in faces] == [True, False]
    assert "end play of the worm: 0.10 mm (0.004 in), counts no more, no limit on the sheet." in chart.words
    right = axes.get_window_extent().x1
    assert all(words.get_window_extent().x1 < right for words in axes.texts)


def test_flanks_say_their_numbers_in_words_and_carry_no_notes_of_a_photo(page: str) -> None:
    flanks = [one for tag, one in tags_of(page) if tag == "img" and "jpeg" in str(one["src"])]
    assert len(flanks) == 4 + 8
    assert str(flanks[4]["alt"]).startswith("Trial 1, left flank laid flat. Middle of the pattern 64 % (")
    for flank in flanks:
        with Image.open(io.BytesIO(b64decode(str(flank["src"]).partition(",")[2]))) as picture:
            assert not picture.getexif()


def test_the_same_job_gives_the_same_page(sample: JobRecord, page: str) -> None:
    assert job_page(sample) == page


# ---- names


@pytest.mark.parametrize("name", HOSTILE)
def test_no_name_becomes_layout(tmp_path: Path, name: str) -> None:
    """Read by the standard library's HTML parser, the page has the same tags whatever the names in it."""
    pages = []
    for folder, word in (("hostile", name), ("plain", "plain")):
        events = hostile_events(word)
        pages.append(job_page(gather_record(made_job(tmp_path / folder, events, by=word), MADE_AT)))
    hostile, plain = map(tags_of, pages)
    assert [tag for tag, _ in hostile] == [tag for tag, _ in plain]
    assert [sorted(one) for _, one in hostile] == [sorted(one) for _, one in plain]


@settings(deadline=None, max_examples=15)
@given(st.lists(any_event, max_size=10))
def test_every_log_has_a_page(tmp_path_factory: pytest.TempPathFactory, events: list[Event]) -> None:
    folder = tmp_path_factory.mktemp("job")
    lines = [entry_line(Entry(number, BEGIN, None, event)) for number, event in enumerate(events, 1)]
    (folder / "log.jsonl").write_text("\n".join([HEADER, *lines]) + "\n", encoding="utf-8")
    assert "Signatures" in job_page(gather_record(folder, MADE_AT))


# ---- in a browser


@pytest.mark.browser
@pytest.mark.parametrize("width", [360, 1280])
def test_it_fits_a_phone_and_a_desk_and_reads_on_paper(browser: Any, tmp_path: Path, width: int, page: str) -> None:
    with seen(browser, page, tmp_path, width) as shown:
        assert beyond_the_side(shown) == []
        assert faint_texts(shown) == []
        broken = "() => [...document.images].filter(one => !one.complete || !one.naturalWidth).map(one => one.alt)"
        assert shown.evaluate(broken) == []


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_within_the_paper(browser: Any, tmp_path: Path, paper: str, page: str) -> None:
    with seen(browser, page, tmp_path, A4_WITHIN_PX) as shown:
        shown.emulate_media(media="print")
        assert beyond_the_side(shown) == []
        assert faint_texts(shown) == []
        assert 5 <= sheets(shown, paper) <= 9


@pytest.mark.browser
@pytest.mark.parametrize("name", [HOSTILE[0], HOSTILE[1], HOSTILE[-1]])
def test_hostile_names_run_nothing_and_break_no_page(browser: Any, tmp_path: Path, name: str) -> None:
    page = job_page(gather_record(made_job(tmp_path / "job", hostile_events(name), by=name), MADE_AT))
    with seen(browser, page, tmp_path, 360) as shown:
        assert beyond_the_side(shown) == []
