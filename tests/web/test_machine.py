"""A machine's pages: what is due, entries by forms that are read back, history, shims and the archive."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from patternscan.reporting.text.web import machine_words
from patternscan.setting.log.events import Backlash, EndPlay, Note, Replied, Secured, ShimChange, ShimsFound, Struck
from patternscan.setting.log.job_log import append_entry, read_log
from patternscan.setting.log.kinds import ENTRY_KINDS
from patternscan.setting.log.words import Reply
from patternscan.workflow.job.folder import start_job
from tests.setting.job_entries import READ, side_move
from tests.setting.rule_jobs import ASKED, BARE, NEAR_B, UNANSWERED
from tests.web.served import Phone, heading, phone

SAMPLES = Path(__file__).parent.parent.parent / "sample_images"
LOG = "/machines/lift/log"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    start_job(tmp_path / "lift", sheet_path=SAMPLES / "goods_lift.toml")
    return tmp_path / "lift"


@pytest.fixture
def here(job: Path) -> Iterator[Phone]:
    with phone(job.parent) as one:
        yield one


def events(job: Path) -> list[object]:
    return [entry.event for entry in read_log(job).entries]


def kept(here: Phone, word: str, **form: Any) -> str:
    """Send a form, confirm what is read back; gives the heading that comes then."""
    form = {"by": "R. Moss", **form}
    assert heading(here.post(f"{LOG}/{word}", **form)) == machine_words.READ_BACK
    return heading(here.post(f"{LOG}/{word}", **form, keep="1"))


def test_the_next_step_stands_first_with_its_reason(here: Phone) -> None:
    page = here.get("/machines/lift/").text
    assert page.index(machine_words.NOW) < page.index(f"{machine_words.WHY}: ") < page.index(machine_words.NOTE)


@pytest.mark.parametrize("kind", [kind.word for kind in ENTRY_KINDS])
def test_every_kind_of_entry_has_a_form(here: Phone, kind: str) -> None:
    answer = here.get(f"{LOG}/{kind}")
    assert answer.status_code == 200
    assert "--" not in answer.text.partition("<main>")[2]


def test_what_is_due_is_one_touch_away_with_what_is_known(here: Phone) -> None:
    assert f'href="{LOG}/secured"' in here.get("/machines/lift/").text
    kept(here, "secured", name="R. Moss")
    page = here.get("/machines/lift/").text
    assert f'href="{LOG}/shims-found' in page or f'href="{LOG}/end-play?shaft=worm"' in page
    form = here.get(f"{LOG}/end-play?shaft=worm").text
    assert 'value="worm" checked' in form


def test_a_question_stands_first_and_what_is_due_is_still_told_and_one_touch_away(here: Phone, job: Path) -> None:
    for event in (Secured("R. Moss"), *READ, ASKED):
        append_entry(job, event)
    page = here.get("/machines/lift/").text
    told = (machine_words.NOW, "Was it painted?", "Move the wheel toward end B.", machine_words.NOTE)
    assert [*map(page.index, told)] == sorted(map(page.index, told))
    assert [page.count(one) for one in told[1:3]] == [1, 1]
    assert f'href="{LOG}/shims?place=carrier-A"' in page


def test_a_question_is_answered_by_one_of_two_buttons_and_read_back(here: Phone, job: Path) -> None:
    for event in (Secured("R. Moss"), *READ, ASKED):
        append_entry(job, event)
    number = len(READ) + 2
    page = here.get("/machines/lift/").text
    assert machine_words.WHO in page
    for word in ("rubbed-off", "never-painted"):
        assert f'<button name="reply" value="{word}">' in page
    sent = {"entry": str(number), "reply": "never-painted", "by": "E. Larkin"}
    back = here.post(f"{LOG}/answer", **sent).text
    assert (
        f"Answer about entry {number}: the flank was not painted up to its bare end, or was wiped there, says" in back
    )
    assert len(events(job)) == number
    here.post(f"{LOG}/answer", **sent, keep="1")
    assert events(job)[-1] == Replied(number, "bare-to-end", Reply.NEVER_PAINTED, "E. Larkin")
    page = here.get("/machines/lift/").text
    assert f"The last pattern (entry {number}) does not count" in page
    assert 'name="reply"' not in page
    assert f"</s> does not count, by entry {number + 1}" in here.get("/machines/lift/history").text
    twice = here.post(f"{LOG}/answer", **sent, keep="1")
    assert (twice.status_code, "That was answered before" in twice.text) == (400, True)


def test_a_question_about_an_earlier_trial_has_its_buttons_too(here: Phone, job: Path) -> None:
    for event in (Secured("R. Moss"), *READ, ASKED, *side_move(0.05), NEAR_B):
        append_entry(job, event)
    page = here.get("/machines/lift/").text
    assert page.index("toward end B, but not yet by how much.") < page.index("is not used until this is answered")
    assert page.count('<button name="reply"') == 2
    assert page.count("Was it painted?") == 1


def test_a_signed_job_says_what_nobody_answered_and_has_its_buttons(here: Phone, job: Path) -> None:
    for event in UNANSWERED[:-1]:
        append_entry(job, event)
    sent = {"name": "R. Moss", "by": "R. Moss", "keep": "1"}
    kept_page = here.post(f"{LOG}/sign-off", **sent).text
    assert kept_page.index("Signed off by R. Moss.") < kept_page.index(f"Not answered: {BARE.told}")
    assert "patternscan log" not in kept_page
    page = here.get("/machines/lift/").text
    assert page.index("Signed off by R. Moss") < page.index(f"Not answered: {BARE.told}")
    assert page.count('<button name="reply"') == 2
    append_entry(job, Replied(len(UNANSWERED) - 2, BARE.code, Reply.RUBBED_OFF, "E. Larkin"))
    assert "Not answered" not in here.get("/machines/lift/").text
    assert "Not answered" not in here.get(f"/machines/lift/entries/{len(UNANSWERED)}/").text


def test_a_form_offers_the_answers_that_fit_the_pattern_and_takes_over_the_name(here: Phone, job: Path) -> None:
    for event in (Secured("R. Moss"), *READ, ASKED):
        append_entry(job, event)
    form = here.get(f"{LOG}/answer?entry={len(READ) + 2}&reply=rubbed-off&by=E.+Larkin").text
    assert form.count('name="reply"') == 2
    assert form.count('value="E. Larkin"') == 2
    assert here.get(f"{LOG}/answer").text.count('name="reply"') == len(Reply)


def test_an_entry_is_read_back_in_both_units_before_it_is_kept(here: Phone, job: Path) -> None:
    sent = {"place": "carrier-A", "upper_mm": "20", "upper_mm.unit": "thou", "by": "R. Moss"}
    page = here.post(f"{LOG}/shims-found", **sent).text
    assert "0.51 mm (0.020 in)" in page
    assert events(job) == []
    here.post(f"{LOG}/shims-found", **sent, keep="1")
    assert events(job) == [ShimsFound("carrier-A", 0.508, 0.508)]  # type: ignore[arg-type]
    assert read_log(job).entries[0].by == "R. Moss"


def test_several_readings_and_a_decimal_comma(here: Phone, job: Path) -> None:
    readings = ["0,42", "0.45", "0.44", "0.40"]
    kept(here, "backlash", readings_mm=readings, **{"readings_mm.unit": "mm", "radius_mm": "260"})
    (event,) = events(job)
    assert isinstance(event, Backlash)
    assert event.readings_mm == (0.42, 0.45, 0.44, 0.40)


def test_shims_taken_out(here: Phone, job: Path) -> None:
    kept(here, "shims-found", place="carrier-A", upper_mm="0.5")
    kept(here, "shims", place="carrier-A", remove_mm="0.10")
    assert events(job)[1] == ShimChange("carrier-A", -0.1, -0.1)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("word", "form", "told"),
    [
        ("end-play", {"shaft": "worm", "reading_mm": "x"}, "not a length"),
        ("end-play", {"shaft": "worm", "reading_mm": "500"}, "expected"),
        ("end-play", {"shaft": "", "reading_mm": "0.1"}, "Not answered"),
        ("shims", {"place": "carrier-A"}, "not clear what was changed"),
        ("eccentrics-found", {"hole_a": "1e9", "hole_b": "5"}, "expected"),
        ("strike", {"entry": "9", "because": "wrong dial"}, "no entry"),
        ("note", {"text": "  "}, "Not answered"),
    ],
)
def test_what_cannot_be_is_said_and_the_form_stays_filled(
    here: Phone, job: Path, word: str, form: dict[str, str], told: str
) -> None:
    answer = here.post(f"{LOG}/{word}", by="R. Moss", keep="1", sure="1", **form)
    assert answer.status_code == 400
    assert told in answer.text
    assert "--" not in answer.text.partition("<main>")[2]
    assert events(job) == []


def test_a_form_leads_to_the_entry_that_is_missing_first(here: Phone) -> None:
    page = here.post(f"{LOG}/shims", place="carrier-A", remove_mm="0.1", by="R. Moss").text
    assert f'href="{LOG}/shims-found"' in page
    assert "patternscan log" not in page


def test_what_looks_like_a_slip_is_asked_back(here: Phone, job: Path) -> None:
    sent = {"shaft": "worm", "reading_mm": "3", "by": "R. Moss"}
    page = here.post(f"{LOG}/end-play", **sent, keep="1").text
    assert machine_words.LOOKS_ODD in page
    assert events(job) == []
    here.post(f"{LOG}/end-play", **sent, keep="1", sure="1")
    assert events(job) == [EndPlay("worm", 3.0)]  # type: ignore[arg-type]


def test_without_a_name_nothing_is_kept(here: Phone, job: Path) -> None:
    assert here.post(f"{LOG}/note", text="oil drained", by=" ", keep="1").status_code == 400
    assert events(job) == []


def test_a_struck_entry_stays_in_the_history(here: Phone, job: Path) -> None:
    kept(here, "note", text="<b>bold</b> & wrong")
    kept(here, "strike", entry="1", because="wrong machine")
    assert events(job) == [Note("<b>bold</b> & wrong"), Struck(1, "wrong machine")]
    page = here.get("/machines/lift/history").text
    assert "</s> struck out" in page
    assert "<b>bold" not in page


def test_photos_are_kept_with_an_entry_as_they_came(here: Phone, job: Path) -> None:
    kept(here, "note", text="dial as read")
    memory = io.BytesIO()
    Image.new("RGB", (80, 80), "white").save(memory, "JPEG", exif=_exif())
    for _ in range(2):
        here.post("/machines/lift/entries/1/photos", photo=(io.BytesIO(memory.getvalue()), "../../dial.jpg"))
    (original,) = (job / "photos" / "entry_0001").glob("*.original")
    assert original.read_bytes() == memory.getvalue()
    assert here.get("/machines/lift/entries/9/").status_code == 404
    assert here.post("/machines/lift/entries/9/photos", photo=(io.BytesIO(b"x"), "x.jpg")).status_code == 404


def test_a_safe_machine_is_in_its_log_once_a_day_and_person(here: Phone, job: Path) -> None:
    for name in ("R. Moss", "R. Moss", "E. Larkin"):
        here.post("/readings/new", name=name, machine="lift")
    assert events(job) == [Secured("R. Moss"), Secured("E. Larkin")]


def test_a_pack_from_the_shims_on_hand(here: Phone, job: Path) -> None:
    assert "names no shims on hand" in here.get("/machines/lift/shims?thickness=0.35&unit=mm").text
    sheet = job / "machine.toml"
    stock = 'stock = ["0.10 mm x 4", "0.05 mm x 1"]'
    sheet.write_text(sheet.read_text().replace("[shims]", f"[shims]\n{stock}"))
    assert "0.10 mm (0.004 in) x 3" in here.get("/machines/lift/shims?thickness=0.35&unit=mm").text
    assert here.get("/machines/lift/shims?thickness=x&unit=mm").status_code == 400


def test_the_archive_holds_the_job_and_nothing_hidden(here: Phone, job: Path) -> None:
    kept(here, "note", text="kept")
    (job / ".hidden").write_text("lock")
    (job / "link").symlink_to("/etc/hostname")
    with zipfile.ZipFile(io.BytesIO(here.get("/machines/lift/archive.zip").data)) as archive:
        assert archive.testzip() is None
        assert set(archive.namelist()) == {"lift/log.jsonl", "lift/machine.toml"}
        assert archive.read("lift/log.jsonl") == (job / "log.jsonl").read_bytes()


@pytest.mark.parametrize("machine", ["..", "readings", "nobody", "%2e%2e", "lift%00"])
def test_a_machine_that_is_not_here_leads_nowhere(here: Phone, machine: str) -> None:
    for place in ("", "history", "log/", "archive.zip", "record.pdf"):
        assert here.get(f"/machines/{machine}/{place}").status_code in (400, 404)


def test_a_link_is_no_machine(here: Phone, job: Path) -> None:
    (job.parent / "elsewhere").symlink_to(job)
    assert here.get("/machines/elsewhere/").status_code == 400


def _exif() -> Image.Exif:
    exif = Image.Exif()
    exif[0x010F] = "maker"
    return exif
