"""Readings under way: what is on the disk is what a reload shows, whatever comes in."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from datetime import datetime, timedelta, tzinfo
from pathlib import Path
from threading import Thread

import numpy as np
import pytest
from PIL import Image

from patternscan.errors import CannotWrite, WrongUse
from patternscan.frame import Flank, Marking
from patternscan.reporting.text.web import door_words, reading_words
from patternscan.web.drafts.draft import Draft
from patternscan.web.drafts.dropped import clear_dropped
from patternscan.web.drafts.incoming import Incoming, take_photo
from patternscan.web.drafts.look import Look, Said
from patternscan.web.drafts.step import Asks, answered_if_whole, next_step
from patternscan.web.drafts.store import DraftFolder, DraftStore, NoSuchDraft, keep
from patternscan.web.work.looking import look_at
from patternscan.workflow.inputs.settings import SettingsRequest
from tests.web.served import heading, key_of, phone

OUTLINE = {
    "root": [[10, 90], [110, 90]],
    "tip": [[10, 40], [110, 40]],
    "end_a": [[10, 90], [10, 40]],
    "end_b": [[110, 90], [110, 40]],
}
"""A right flank, tip up: end A on the left."""
PHOTOGRAPHS = Path(__file__).parents[1] / "benchmarks" / "photographs"
SEEN = Look(120, 100, ((10, 90), (110, 90), (110, 40), (10, 40)), ((10, 40), (110, 40)), trusted=True)


class Tomorrow(datetime):
    """A clock that is a day ahead."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
        return datetime.now(tz) + timedelta(days=1)


@pytest.fixture
def folder(tmp_path: Path) -> DraftFolder:
    store = DraftStore(tmp_path)
    draft = store.begin("R. Moss")
    folder = store.folder(draft.key)
    folder.change(lambda one: replace(one, machine_said=True, marking=Marking.TRANSFER))
    return folder


def taken(folder: DraftFolder, flank: Flank, content: bytes = b"a photo") -> Draft:
    return take_photo(folder, flank, Incoming(folder).received(io.BytesIO(content)), "../../IMG 1.JPG")


def looked(folder: DraftFolder, number: int, flank: Flank = Flank.RIGHT, look: Look = SEEN) -> None:
    """What the pool would have laid down."""
    photo = folder.read().photo(number)
    assert photo is not None
    document = {
        "format": "patternscan-outline",
        "version": 1,
        "photo": photo.file_name,
        "flanks": [{"flank": flank, **OUTLINE}],
    }
    folder.outline_path(photo).write_text(json.dumps(document))
    keep(folder.path / photo.made_of("look.json"), look)


def said(folder: DraftFolder, number: int, **values: object) -> None:
    def change(draft: Draft) -> Draft:
        photo = draft.photo(number)
        assert photo is not None
        return draft.with_changed(replace(photo, **values))  # type: ignore[arg-type]

    folder.change(change)


def test_it_asks_for_one_thing_after_the_other(tmp_path: Path) -> None:
    store = DraftStore(tmp_path)
    folder = store.folder(store.begin("R. Moss").key)
    assert next_step(folder.read(), folder).asks is Asks.MACHINE
    folder.change(lambda one: replace(one, machine_said=True))
    assert next_step(folder.read(), folder).asks is Asks.MARKING
    folder.change(lambda one: replace(one, marking=Marking.RUB_OFF))
    step = next_step(folder.read(), folder)
    assert (step.asks, step.flank) == (Asks.PHOTO, Flank.LEFT)
    taken(folder, Flank.LEFT)
    assert next_step(folder.read(), folder).asks is Asks.LOOKING


def test_the_touched_a_settles_the_flank(folder: DraftFolder) -> None:
    taken(folder, Flank.RIGHT)
    looked(folder, 1)
    assert next_step(folder.read(), folder).asks is Asks.END_A
    said(folder, 1, end_a=(60.0, 20.0))
    assert next_step(folder.read(), folder).asks is Asks.END_A
    said(folder, 1, end_a=(118.0, 60.0))
    step = next_step(folder.read(), folder)
    assert (step.asks, step.flank) == (Asks.OTHER_FLANK, Flank.LEFT)
    said(folder, 1, end_a=(2.0, 60.0))
    step = next_step(folder.read(), folder)
    assert (step.asks, step.flank) == (Asks.PHOTO, Flank.LEFT)


def test_a_flank_that_was_not_found_has_to_be_marked(folder: DraftFolder) -> None:
    taken(folder, Flank.RIGHT)
    looked(folder, 1, look=replace(SEEN, trusted=False))
    assert next_step(folder.read(), folder).asks is Asks.FLANK


def test_the_last_touched_a_asks_for_the_answer(folder: DraftFolder) -> None:
    for number, (flank, place) in enumerate(((Flank.RIGHT, (2.0, 60.0)), (Flank.LEFT, (118.0, 60.0))), 1):
        taken(folder, flank, bytes([number]))
        looked(folder, number)
        said(folder, number, end_a=place)
    draft = folder.read()
    assert next_step(draft, folder).asks is Asks.MORE
    assert answered_if_whole(draft, folder).asked == 1
    choosing = replace(draft, choosing=True)
    assert answered_if_whole(choosing, folder) == choosing
    assert answered_if_whole(draft.without(1), folder) == draft.without(1)


def test_an_unusable_photo_is_said_and_taken_again(folder: DraftFolder) -> None:
    taken(folder, Flank.LEFT)
    looked(folder, 1, look=Look(stop=Said("It is black.", "Light it.")))
    assert next_step(folder.read(), folder).asks is Asks.UNUSABLE
    folder.change(lambda draft: draft.without(1))
    again = taken(folder, Flank.LEFT)
    assert again.photos[0].number == 2


def test_a_photo_that_shows_no_tooth_is_told_on_the_page_that_asks_for_corners(folder: DraftFolder) -> None:
    wall = io.BytesIO()
    Image.fromarray(np.full((400, 600, 3), 120, dtype=np.uint8)).save(wall, "png")
    (photo,) = taken(folder, Flank.LEFT, wall.getvalue()).photos
    look_at(folder, photo, SettingsRequest())
    look = folder.look(photo)
    assert look is not None
    assert (look.stop, look.trusted, look.border) == (None, False, ())
    assert [one.found for one in look.doubts] == [f"No toothed wheel is seen in {photo.file_name}."]


def test_a_question_is_told_before_faults_that_another_photo_cures(tmp_path: Path) -> None:
    """The print of this photograph runs out at end A (its truth), and it is blurred; nothing tells of the outline."""
    store = DraftStore(tmp_path / "readings")
    folder = store.folder(store.begin("R. Moss").key)
    folder.change(lambda one: replace(one, machine_said=True, marking=Marking.RUB_OFF))
    (photo,) = taken(folder, Flank.LEFT, (PHOTOGRAPHS / "dev" / "dev007_single_P.jpg").read_bytes()).photos
    look_at(folder, photo, SettingsRequest(marking=Marking.RUB_OFF))
    look = folder.look(photo)
    assert look is not None
    assert "bare up to end A" in look.doubts[0].found
    assert [one.retake for one in look.doubts] == [False, *[True] * (len(look.doubts) - 1)]
    glare = Said("Glare lies on it.", "Move the lamp.")
    looked(folder, photo.number, look=replace(look, doubts=(glare, look.doubts[0])))
    with phone(tmp_path) as here:
        page = here.get(f"/readings/{folder.read().key}/").text
    places = [page.index(words) for words in ("Before you go on", "bare up to end A", "Better with", glare.found)]
    assert places == sorted(places)


def test_a_dropped_photo_leaves_nothing_behind(folder: DraftFolder) -> None:
    for number, flank in enumerate(Flank, 1):
        taken(folder, flank, bytes([number]))
        looked(folder, number)
    folder.change(lambda draft: draft.without(1))
    clear_dropped(folder)
    left = {path.name for path in folder.path.rglob("photo_*")}
    assert left == {"photo_2.jpg", "photo_2.1.look.json", "photo_2.1.outline.json"}


@pytest.mark.parametrize("teller", ["answer_1/judgement.json", "originals/photo_1.r-moss.truth.json"])
def test_a_dropped_photo_that_is_spoken_of_stays(folder: DraftFolder, teller: str) -> None:
    photo = taken(folder, Flank.LEFT).photos[0]
    (folder.path / teller).parent.mkdir(exist_ok=True)
    (folder.path / teller).write_text('{"photo": "photo_1.jpg"}')
    folder.change(lambda draft: draft.without(1))
    clear_dropped(folder)
    assert folder.photo_path(photo).read_bytes() == b"a photo"


def test_the_same_photo_twice_is_one_photo(folder: DraftFolder) -> None:
    taken(folder, Flank.LEFT)
    assert len(taken(folder, Flank.LEFT).photos) == 1
    with pytest.raises(WrongUse, match="very photo"):
        taken(folder, Flank.RIGHT)
    assert not list((folder.path / "incoming").iterdir())


def test_a_photo_lies_under_a_name_of_our_own(folder: DraftFolder) -> None:
    draft = taken(folder, Flank.LEFT)
    assert [path.name for path in (folder.path / "originals").iterdir()] == ["photo_1.jpg"]
    assert folder.photo_path(draft.photos[0]).read_bytes() == b"a photo"


def test_pieces_go_on_where_they_broke_off(folder: DraftFolder) -> None:
    incoming = Incoming(folder)
    assert incoming.add("a1", 0, io.BytesIO(b"one ")) == 4
    assert incoming.add("a1", 0, io.BytesIO(b"one ")) == 4, "a piece that comes twice counts once"
    assert incoming.size("a1") == 4
    with pytest.raises(WrongUse):
        incoming.whole("a1", 7)
    assert incoming.add("a1", 4, io.BytesIO(b"two")) == 7
    assert incoming.whole("a1", 7).read_bytes() == b"one two"


@pytest.mark.parametrize("name", ["../x", "", "a" * 17, "A1", "a/b", "a\0"])
def test_a_name_that_no_page_of_ours_gives_is_refused(folder: DraftFolder, name: str) -> None:
    with pytest.raises(WrongUse):
        Incoming(folder).size(name)


@pytest.mark.parametrize(
    "key", ["..", "../readings", "20260101-000000-0123456789ab", "20260101-000000-0123456789ab/..", ""]
)
def test_a_key_that_is_none_leads_nowhere(tmp_path: Path, key: str) -> None:
    with pytest.raises(NoSuchDraft):
        DraftStore(tmp_path).folder(key)


def test_two_who_write_at_once_lose_nothing(folder: DraftFolder) -> None:
    threads = [Thread(target=taken, args=(folder, Flank.LEFT, bytes([number]))) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    draft = folder.read()
    assert sorted(photo.number for photo in draft.photos) == list(range(1, 9))
    assert len(list((folder.path / "originals").iterdir())) == 8


def test_a_reading_is_still_there_after_a_restart(tmp_path: Path) -> None:
    with phone(tmp_path) as before:
        answer = before.post("/readings/new", name="R. Moss")
        key = key_of(answer)
        assert heading(answer) == reading_words.WHICH_MACHINE
        answer = before.post(f"/readings/{key}/machine", machine="")
        assert heading(answer) == reading_words.HOW_MARKED
    with phone(tmp_path) as after:
        assert heading(after.get(f"/readings/{key}/")) == reading_words.HOW_MARKED
        assert "R. Moss" in after.get("/").text


def test_no_name_no_reading(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        answer = here.post("/readings/new", name=" \n ")
        assert answer.status_code == 400
        assert reading_words.NO_NAME[0] in answer.text
    assert not list(tmp_path.glob("readings/*"))


@pytest.mark.parametrize(
    "name", ["../../etc", "<script>alert(1)</script>", "CON", "Goods lift, north shaft", "北", "a" * 80]
)
def test_any_name_of_a_machine_stays_inside_the_folder(tmp_path: Path, name: str) -> None:
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        answer = here.post(f"/readings/{key}/machine", machine="new", new=name)
        assert answer.status_code == 200
        assert "<script>alert" not in here.get("/").text
    made = [path.parent for path in tmp_path.rglob("log.jsonl")]
    assert [path.parent for path in made] == [tmp_path]


def test_a_machine_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        for name in ("..", "readings", "no_such"):
            assert here.post(f"/readings/{key}/machine", machine=name).status_code == 400


@pytest.mark.parametrize("form", [{}, {"x": "nan", "y": "1"}, {"x": "1e9", "y": "1"}, {"x": "a", "y": ""}])
def test_a_touch_that_is_no_place_is_refused(tmp_path: Path, form: dict[str, str]) -> None:
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        folder = DraftStore(tmp_path / "readings").folder(key)
        taken(folder, Flank.RIGHT)
        looked(folder, 1)
        assert here.post(f"/readings/{key}/photos/1/end-a", **form).status_code in (400, 405)


@pytest.mark.parametrize("outline", ["", "{", "[1]", '{"format": "patternscan-outline", "version": 1, "flanks": []}'])
def test_an_outline_that_is_none_is_refused(tmp_path: Path, outline: str) -> None:
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        folder = DraftStore(tmp_path / "readings").folder(key)
        before = taken(folder, Flank.RIGHT)
        looked(folder, 1)
        assert here.post(f"/readings/{key}/photos/1/corners", outline=outline).status_code == 400
        assert folder.read() == before


def test_a_corrected_outline_is_looked_at_anew_and_needs_its_a(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        folder = DraftStore(tmp_path / "readings").folder(key)
        taken(folder, Flank.RIGHT)
        looked(folder, 1)
        said(folder, 1, end_a=(2.0, 60.0))
        folder.change(lambda draft: replace(draft, asked=1))
        outline = {"format": "patternscan-outline", "version": 1, "flanks": [{"flank": "right", **OUTLINE}]}
        here.post(f"/readings/{key}/photos/1/corners", outline=json.dumps(outline))
        (photo,) = folder.read().photos
        assert (photo.version, photo.corners, photo.end_a) == (2, True, None)
        assert folder.look(photo) is None
        assert not folder.read().asked, "an answer to the old outline does not stand"


def test_an_unfinished_reading_is_thrown_away_after_a_question(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        here.post(f"/readings/{key}/machine", machine="new", new="Goods lift")
        (job,) = (one.parent for one in tmp_path.glob("*/log.jsonl"))
        kept, log = DraftStore(tmp_path / "readings").folder(key), (job / "log.jsonl").read_bytes()
        taken(kept, Flank.RIGHT)
        asked = here.get(f"/readings/{key}/throw-away").text
        assert reading_words.THROW_ASKED in asked
        assert "Goods lift" in asked
        assert "1 photo." in asked
        assert key in here.get("/").text
        assert key not in here.post(f"/readings/{key}/throw-away").text
        assert here.get(f"/readings/{key}/").status_code == 400
    assert (kept.path / "originals" / "photo_1.jpg").read_bytes() == b"a photo"
    assert (job / "log.jsonl").read_bytes() == log


def test_a_reading_with_its_answer_is_not_thrown_away(tmp_path: Path) -> None:
    store = DraftStore(tmp_path / "readings")
    folder = store.folder(store.begin("R. Moss").key)
    draft = folder.change(Draft.asking)
    folder.answer_path(draft).mkdir()
    (folder.answer_path(draft) / "judgement.json").write_text("{}")
    with phone(tmp_path) as here:
        here.client.post(f"/readings/{draft.key}/throw-away", data={"token": here.token()})
    assert folder.read() == draft


def test_the_last_word_may_be_sent_twice_and_at_once(tmp_path: Path) -> None:
    content = b"a photo" * 1000
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        kept = DraftStore(tmp_path / "readings").folder(key)
        Incoming(kept).add("abc1", 0, io.BytesIO(content))
        form = {"token": here.token(), "flank": "left", "upload": "abc1", "size": str(len(content)), "name": "a.jpg"}
        answers = [here.client.post(f"/readings/{key}/photos/", data=form) for _ in range(3)]
        Incoming(kept).add("abc2", 0, io.BytesIO(content))
        form |= {"upload": "abc2"}
        answers += [here.client.post(f"/readings/{key}/photos/", data=form) for _ in range(3)]
    assert [one.status_code for one in answers] == [303] * 6
    assert len(kept.read().photos) == 1


def test_a_refused_photo_is_refused_for_the_same_reason_when_it_is_sent_again(tmp_path: Path) -> None:
    """The page sends its last word a second time to show what was refused."""
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        kept = DraftStore(tmp_path / "readings").folder(key)
        taken(kept, Flank.LEFT)
        size = Incoming(kept).add("abc1", 0, io.BytesIO(b"a photo"))
        form = {"token": here.token(), "flank": "right", "upload": "abc1", "size": str(size), "name": "a.jpg"}
        answers = [here.client.post(f"/readings/{key}/photos/", data=form) for _ in range(2)]
    assert [one.status_code for one in answers] == [400, 400]
    assert all(reading_words.SAME_PHOTO[0] in one.text for one in answers)


def test_many_photos_come_in_pieces(folder: DraftFolder) -> None:
    for number in range(20):
        incoming, name, content = Incoming(folder), f"{number + 1:x}", b"photo %d" % number
        assert incoming.add(name, 0, io.BytesIO(content)) == len(content)
        take_photo(folder, Flank.LEFT, incoming.whole(name, len(content)), "a.jpg", name)
    assert len(folder.read().photos) == 20


def test_a_full_disk_is_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: Incoming, *__: object) -> int:
        raise CannotWrite("/srv/site/readings cannot be written: No space left on device.", "Make room.")

    monkeypatch.setattr(Incoming, "received", full)
    with phone(tmp_path) as here:
        key = key_of(here.post("/readings/new", name="R. Moss"))
        answer = here.post(f"/readings/{key}/photos/", flank="left", photo=(io.BytesIO(b"a"), "a.jpg"))
    assert answer.status_code == 507
    assert door_words.NOT_WRITTEN[0] in answer.text
    assert "/srv" not in answer.text


def test_readings_stay_in_their_order_when_the_clock_is_set_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = DraftStore(tmp_path)
    with monkeypatch.context() as ahead:
        ahead.setattr("patternscan.web.drafts.store.datetime", Tomorrow)
        first = store.begin("R. Moss")
    later = [store.begin("E. Larkin") for _ in range(3)]
    assert [one.key for one in store.all()] == [one.key for one in (*reversed(later), first)]
    assert all(one.begun_at < first.begun_at for one in later)
