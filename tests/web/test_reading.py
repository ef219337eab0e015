"""A whole reading on the phone, from the safety to the answer, with photos whose outline is marked by hand."""

from __future__ import annotations

import json
import re
import time
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
from PIL import Image

from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import Flank
from patternscan.reporting.documents.truth import find_truth_files, read_truth_file
from patternscan.reporting.text.answers.ends import WRONG_WAY
from patternscan.reporting.text.web import desk_words, reading_words
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.log.events import Replied
from patternscan.setting.log.job_log import append_entry, read_log
from patternscan.setting.log.words import Reply
from patternscan.web.drafts.store import DraftFolder, DraftStore
from patternscan.workflow.mark import MarkRequest, MarkResult, find_outline
from tests.setting.rule_jobs import ASKED, BARE
from tests.web.served import Phone, heading, key_of, phone

SAMPLES = Path(__file__).parent.parent.parent / "sample_images"
PATIENCE_S = 60.0


def waited(here: Phone, address: str, title: str) -> str:
    """The page once the work behind it is done, by the heading that it then no longer has."""
    begun = time.monotonic()
    while time.monotonic() - begun < PATIENCE_S:
        answer = here.get(address)
        if heading(answer) != title:
            return answer.text
        time.sleep(0.05)
    raise AssertionError(f"still {title}")


def photographed(here: Phone, key: str, number: int, flank: Flank) -> str:
    """Send a photo of the sample machine, mark its outline and touch the A; gives the page that comes then."""
    photo = SAMPLES / f"goods_lift_before_{flank}.jpg"
    with photo.open("rb") as file:
        here.post(f"/readings/{key}/photos/", flank=flank.value, photo=(file, photo.name))
    waited(here, f"/readings/{key}/", reading_words.LOOKING)
    given = json.loads(photo.with_suffix(".outline.json").read_text())
    here.post(f"/readings/{key}/photos/{number}/corners", outline=json.dumps({**given, "photo": f"photo_{number}.jpg"}))
    page = waited(here, f"/readings/{key}/", reading_words.LOOKING)
    assert reading_words.TOUCH_A in page
    (outline,) = read_outline_file(photo.with_suffix(".outline.json")).outlines
    x, y = outline.end_a.mean(axis=0)
    return here.post(f"/readings/{key}/photos/{number}/end-a", x=str(x), y=str(y)).text


def nothing_found(request: MarkRequest) -> MarkResult:
    """In place of the search, which its own tests try: a given outline is taken, none is found."""
    if request.photo.outline is not None:
        return find_outline(request)
    stop = NoTrustworthyOutline("Nothing was found.", "Mark it by hand.")
    return MarkResult(load_photo(request.photo.photo), request.photo.flank, (), stop)


def test_a_whole_reading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("patternscan.web.work.looking.find_outline", nothing_found)
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        here.post(f"/readings/{key}/machine", machine="new", new="Goods lift, north shaft")
        here.post(f"/readings/{key}/marking", marking="transfer")
        assert reading_words.photo_title(Flank.RIGHT, 0) in photographed(here, key, 1, Flank.LEFT)
        photographed(here, key, 2, Flank.RIGHT)
        page = waited(here, f"/readings/{key}/", reading_words.JUDGING)
        assert "Move the wheel toward end B" in page
        folder = DraftStore(tmp_path / "readings").folder(key)
        the_answer_is_that_of_the_judgement(folder)
        what_is_shown_is_made_of_the_pixels(folder)
        the_answer_is_sent_as_one_file(here, key)
        the_a_is_not_asked_after_again(page, here.get(f"/readings/{key}/page.html").text)
        originals_are_not_shown(here, key)
        a_remark_stands_above_the_answer(here, key)
        the_answer_goes_into_the_log_once(here, folder, tmp_path)
        another_reading_of_the_same_photos_is_not_taken_for_the_one_in_the_log(here, folder, tmp_path)
        what_the_job_still_asks_is_answered_beside_the_answer(here, folder, tmp_path)
        the_contact_is_painted_and_kept_beside_the_photo(here, folder)


def the_answer_is_that_of_the_judgement(folder: DraftFolder) -> None:
    document = msgspec.json.decode((folder.path / "answer_1" / "judgement.json").read_bytes())
    assert document["advice"]["move_wheel"] == "toward-B"
    assert document["by"] == "R. Moss"


def what_is_shown_is_made_of_the_pixels(folder: DraftFolder) -> None:
    for photo in folder.read().photos:
        with Image.open(folder.path / photo.view_name) as view:
            assert not view.getexif()
            assert "comment" not in view.info


def the_answer_is_sent_as_one_file(here: Phone, key: str) -> None:
    sent = here.get(f"/readings/{key}/page.html")
    assert sent.headers["Content-Disposition"].startswith("attachment")
    assert "data:image/jpeg;base64" in sent.text


def the_a_is_not_asked_after_again(*pages: str) -> None:
    for page in pages:
        assert "R. Moss touched the painted A in each photo." in page
        assert WRONG_WAY not in page


def originals_are_not_shown(here: Phone, key: str) -> None:
    assert here.get(f"/readings/{key}/photos/1/view.jpg").status_code == 200
    for address in ("photos/3/view.jpg", "originals/photo_1.jpg", "reading.json"):
        assert here.get(f"/readings/{key}/{address}").status_code == 404


def a_remark_stands_above_the_answer(here: Phone, key: str) -> None:
    here.post(f"/readings/{key}/waits", waits="1")
    desk = here.get("/desk/").text
    assert key in desk.partition(desk_words.LATEST)[0]
    page = here.post(f"/readings/{key}/remarks", text="<i>One more tooth</i>, please.", by="E. Larkin").text
    assert "&lt;i&gt;One more tooth" in page.partition("<h1>")[0]
    assert key not in here.get("/desk/").text.partition(desk_words.LATEST)[0]
    assert here.get(f"/desk/{key}").text.count("annotated.jpg") == 2
    assert here.get(f"/readings/{key}/pictures/photo_1.left.annotated.jpg").status_code == 200
    assert here.get(f"/readings/{key}/pictures/judgement.json").status_code == 404


def the_answer_goes_into_the_log_once(here: Phone, folder: DraftFolder, site: Path) -> None:
    draft = folder.read()
    assert draft.machine is not None
    job = site / draft.machine
    page = here.post(f"/readings/{draft.key}/keep", occasion="trial").text
    assert reading_words.IN_THE_JOB.format(number=2) in page
    kept = read_log(job).entries
    assert [one.kind for one in kept] == ["secured", "pattern"]
    folder.change(lambda one: replace(one, entry=None))
    assert reading_words.IN_THE_JOB.format(number=2) in here.post(f"/readings/{draft.key}/keep", occasion="trial").text
    assert read_log(job).entries == kept
    assert [path.name for path in (job / "patterns").iterdir()] == ["01"]
    assert (job / "patterns" / "01" / "photo_1.jpg").is_file()


def another_reading_of_the_same_photos_is_not_taken_for_the_one_in_the_log(
    here: Phone, folder: DraftFolder, site: Path
) -> None:
    """Read anew, with other corners or from the other side of a tape, it may say the opposite."""
    draft = folder.change(lambda one: replace(one, entry=None))
    path = folder.answer_path(draft) / "judgement.json"
    as_read = path.read_text()
    for now, occasion in ((as_read.replace('"toward-B"', '"toward-A"'), "trial"), (as_read, "maker")):
        path.write_text(now)
        refused = here.post(f"/readings/{draft.key}/keep", occasion=occasion)
        assert refused.status_code == 400
        assert "A judgement of these photos is in the log already, as entry 2." in refused.text
        assert folder.read().entry is None
    path.write_text(as_read)
    assert len(read_log(site / str(draft.machine)).entries) == 2
    here.post(f"/readings/{draft.key}/keep", occasion="trial")
    assert folder.read().entry == 2


def what_the_job_still_asks_is_answered_beside_the_answer(here: Phone, folder: DraftFolder, site: Path) -> None:
    draft = folder.read()
    assert draft.machine is not None
    number = append_entry(site / draft.machine, ASKED).number
    folder.change(lambda one: replace(one, entry=number))
    assert here.get(f"/readings/{draft.key}/answer").text.count('<button name="reply"') == 2
    append_entry(site / draft.machine, Replied(number, BARE.code, Reply.NEVER_PAINTED, "R. Moss"))
    page = here.get(f"/readings/{draft.key}/answer").text
    assert '<button name="reply"' not in page
    gone = reading_words.GONE.format(number=number, gone=f"does not count, by entry {number + 1}")
    assert gone in page.partition("<h1>")[0]
    folder.change(lambda one: replace(one, entry=draft.entry))


def the_contact_is_painted_and_kept_beside_the_photo(here: Phone, folder: DraftFolder) -> None:
    key = folder.read().key
    address = f"/readings/{key}/photos/1/paint/"
    page = waited(here, address, desk_words.LAYING_OUT)
    (job,) = re.findall(r'<script type="application/json" id="job">(.*?)</script>', page)
    truth = {**json.loads(job)["truth"], "by": "somebody else"}
    assert here.get(f"{address}flat.jpg").status_code == 200
    here.post(address, truth=json.dumps(truth), by="R. Moss")
    (painted,) = (folder.path / "originals").glob("*.truth.json")
    (file,) = find_truth_files(folder.path)
    assert file == painted
    assert read_truth_file(painted).truths[0].by == "R. Moss"
    assert desk_words.PAINTED_BY.format(count=1) in here.get(f"/desk/{key}").text
    for refused in ({"truth": "{}", "by": "R. Moss"}, {"truth": json.dumps(truth), "by": " "}):
        assert here.post(address, **refused).status_code == 400


@pytest.mark.parametrize(
    ("name", "medium", "a_on"),
    [("tape_left", "tape-through", "right"), ("paper_right", "paper-touched", "right")],
)
def test_a_print_is_read_in_its_frame(tmp_path: Path, name: str, medium: str, a_on: str) -> None:
    """On the side that touched the tooth the A lies at the other end."""
    photo, flank = SAMPLES / "lifts" / f"goods_lift_{name}.jpg", name.rpartition("_")[2]
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        here.post(f"/readings/{key}/machine", machine="")
        here.post(f"/readings/{key}/marking", marking="transfer")
        assert reading_words.MEDIA[medium] in here.post(f"/readings/{key}/medium", medium=medium).text
        with photo.open("rb") as file:
            here.post(f"/readings/{key}/photos/", flank=flank, photo=(file, photo.name))
        page = waited(here, f"/readings/{key}/", reading_words.LOOKING)
        assert reading_words.PRINT_HOW in page
        width, height = map(int, re.findall(r'data-(?:width|height)="(\d+)"', page))
        beyond = {"left": "-1", "right": str(width)}
        y = str(height / 2)
        wrong = here.post(f"/readings/{key}/photos/1/end-a", x=beyond["left" if a_on == "right" else "right"], y=y)
        assert reading_words.other_flank_lines(Flank(flank), Flank(flank).other, "touched" in medium)[1] in wrong.text
        here.post(f"/readings/{key}/photos/1/end-a", again="1")
        here.post(f"/readings/{key}/photos/1/end-a", x=beyond[a_on], y=y)
        (kept,) = DraftStore(tmp_path / "readings").folder(key).read().photos
    assert (kept.flank.value, kept.end_a) == (flank, (float(beyond[a_on]), round(height / 2, 1)))


def test_no_other_word_for_what_is_photographed(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        assert here.post(f"/readings/{key}/medium", medium="cloth").status_code == 400
