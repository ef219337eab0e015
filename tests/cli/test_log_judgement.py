"""A judgement kept in a job: linked by name and digest, its pictures and photos beside the log."""

from __future__ import annotations

import hashlib
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from patternscan.cautions import caution
from patternscan.errors import CannotWrite
from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.advice import Move
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.job_log import read_log
from patternscan.setting.log.words import Occasion
from patternscan.workflow.job.pattern import PatternRequest, kept_as
from tests.cli.test_commands import LEFT, RIGHT, SAMPLES, document, judge_words, run
from tests.cli.test_compare import changed
from tests.reporting.seen_page import words_of


@pytest.fixture
def job(tmp_path: Path) -> Path:
    run("start", tmp_path / "job", "--machine", "Invented")
    return tmp_path / "job"


def only_pattern(job: Path) -> Pattern:
    (entry,) = read_log(job).entries
    assert isinstance(entry.event, Pattern)
    return entry.event


def test_a_judgement_becomes_an_entry(job: Path) -> None:
    result = run(*judge_words("goods_lift_before"), "--job", job, "--by", "the fitter", "--json")
    content = document(result)
    assert "Entry 1: Pattern: left" in result.stderr
    assert content["by"] == "the fitter"
    assert abs(datetime.fromisoformat(content["made_at"]) - datetime.now(UTC)) < timedelta(minutes=10)
    pattern = only_pattern(job)
    assert (pattern.occasion, pattern.move) == (Occasion.TRIAL, Move.TOWARD_B)
    assert (pattern.marking, pattern.compounds) == (Marking.TRANSFER, (Compound.BLUE,))
    assert pattern.shared is not None
    assert pattern.shared.value == pytest.approx(content["shared_shift"]["along"]["value"], abs=1e-4)
    assert pattern.left is not None
    assert pattern.left.teeth == 1
    assert {photo.name: photo.sha256 for photo in pattern.photos} == {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in (LEFT, RIGHT)
    }


def test_its_pictures_and_photos_lie_beside_the_log_unless_photos_are_not_wanted(job: Path) -> None:
    run(*judge_words("goods_lift_before"), "--job", job, "--no-copy-photos")
    run(*judge_words("goods_lift_before"), "--job", job, "--occasion", "as-found")
    folders = [entry.event.folder for entry in read_log(job).entries if isinstance(entry.event, Pattern)]
    assert folders == ["patterns/01", "patterns/02"]
    first, second = ({path.name for path in (job / str(folder)).iterdir()} for folder in folders)
    assert {"judgement.json", "left_1.flat.jpg", "right_1.contact.png"} <= first
    assert second - first == {LEFT.name, RIGHT.name}
    assert run("record", job, "--out", job / "page.html").exit_code == 0
    page = (job / "page.html").read_text(encoding="utf-8")
    assert "in the job's folder" in page.replace("&#39;", "'")
    assert "no longer as it was read" not in page


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["--occasion", "maker"], "belong to a job"),
        (["--copy-photos"], "belong to a job"),
        (["--job", "nowhere"], "no log of a job"),
    ],
)
def test_what_needs_a_job_says_so(words: list[str], part: str) -> None:
    result = run(*judge_words("goods_lift_before"), *words)
    assert result.exit_code == 2
    assert part in result.stderr


def test_a_job_has_its_own_sheet(job: Path, tmp_path: Path) -> None:
    result = run(*judge_words("goods_lift_before"), "--job", job, "--sheet", tmp_path / "other.toml")
    assert result.exit_code == 2
    assert "Leave --sheet out" in result.stderr
    assert read_log(job).entries == ()


@pytest.fixture
def lift(job: Path) -> Path:
    """A job of the sample machine with its gear data, the shims under carrier A noted."""
    sheet = (SAMPLES / "goods_lift.toml").read_text(encoding="utf-8")
    (job / "machine.toml").write_text(sheet.replace("[photos]", "[photos]\nteeth_per_flank = 1"), encoding="utf-8")
    run("log", "shims-found", "carrier-A", "0.6mm", "--job", job)
    return job


def test_the_first_step_is_the_same_in_judgement_and_job(lift: Path) -> None:
    photos = judge_words("goods_lift_before")
    loose = document(run(*photos, "--sheet", SAMPLES / "goods_lift.toml", "--json"))["advice"]["shims"]
    result = run(*photos, "--job", lift, "--json")
    assert document(result)["advice"]["shims"] == loose
    assert result.stderr.splitlines()[-1].startswith("Next: ")
    steps = run("next", lift).stdout
    assert "Move the wheel toward end B. Under the carrier at end A" in steps
    assert f"add {loose['amount_mm']:.2f} mm" in steps


@pytest.fixture
def asking(lift: Path, tmp_path: Path) -> Path:
    """A judgement whose left flank is bare up to end B, as entry 2 of the job."""
    assert run(*judge_words("goods_lift_before"), "--out", tmp_path / "judged").exit_code == 0
    path = tmp_path / "judged" / "judgement.json"
    content = json.loads(path.read_text())
    bare = caution("bare-to-end", Flank.LEFT, LEFT.name, end="B")
    content["cautions"] += [{"code": bare.code, "message": caution_message(bare), "remedy": caution_remedy(bare)}]
    path.write_text(json.dumps(content))
    logged = run("log", "judgement", path, "--job", lift)
    assert logged.exit_code == 0, logged.output
    return path


def test_an_answer_by_which_the_pattern_stands_ends_the_question(lift: Path, asking: Path, tmp_path: Path) -> None:
    assert asking.is_file()
    answered = run("log", "answer", 2, "Rubbed off", "R. Moss", "--job", lift)
    assert answered.exit_code == 0, answered.output
    assert answered.stdout.startswith(
        "Entry 3: Answer about entry 2: the worm rubbed the paint off right up to the bare end"
    )
    due = run("next", lift).stdout
    assert "Was it painted" not in due
    assert "Move the wheel toward end B" in due
    run("record", lift, "--out", tmp_path / "page.html")
    page = words_of((tmp_path / "page.html").read_text(encoding="utf-8"))
    assert "mark it again. Answer (entry 3): the worm rubbed the paint off right up to the bare end" in page
    line = json.loads((lift / "log.jsonl").read_text(encoding="utf-8").splitlines()[-1])
    told = [line[name] for name in ("kind", "entry", "question", "reply", "name")]
    assert told == ["replied", 2, "bare-to-end", "rubbed-off", "R. Moss"]


def test_by_the_other_answer_new_photos_are_asked_for_until_it_is_struck(lift: Path, asking: Path) -> None:
    assert run("log", "answer", 2, "never-painted", "R. Moss", "--job", lift).exit_code == 0
    due = run("next", lift).stdout
    assert "The last pattern (entry 2) does not count: the flank was not painted up to its bare end" in due
    assert "Blue the pair again" in due
    assert "Move the wheel" not in due
    assert "[does not count, by entry 3]" in run("log", "show", "--job", lift).stdout
    twice = run("log", "answer", 2, "rubbed-off", "R. Moss", "--job", lift)
    assert (twice.exit_code, twice.stderr.splitlines()[0]) == (
        2,
        "That was answered before, by entry 3: never-painted.",
    )
    assert run("log", "strike", 3, "--because", "asked the wrong man", "--job", lift).exit_code == 0
    assert "Was it painted right up to end B?" in run("next", lift).stdout
    assert asking.is_file()


def test_a_pattern_that_fell_in_its_job_is_neither_compared_nor_a_reference(
    lift: Path, asking: Path, tmp_path: Path
) -> None:
    after, sheet = tmp_path / "after", lift / "machine.toml"
    run(*judge_words("goods_lift_after"), "--sheet", sheet, "--out", after)
    pattern = lift / "patterns" / "01"
    assert document(run("compare", pattern, after, "--json"))["verdict"] == "better"
    assert "Was it painted" in run("compare", pattern, after).stdout
    run("log", "answer", 2, "rubbed-off", "R. Moss", "--job", lift)
    assert "Was it painted" not in run("compare", pattern, after).stdout, "what was answered is asked no more"
    run("log", "strike", 3, "--because", "asked the wrong man", "--job", lift)
    run("log", "answer", 2, "never-painted", "R. Moss", "--job", lift)
    told = " ".join(run("compare", pattern, after).stdout.split())
    gone = "Do not go by this comparison. The earlier photos, entry 2 of the job: does not count, by entry 5."
    assert f"{gone} Cannot say whether the pattern got better." in told
    assert "Was it painted" not in told
    other = run("compare", asking.parent, after)  # the same judgement outside the job
    assert "Better" in other.stdout
    held = run(*judge_words("goods_lift_after"), "--reference", pattern)
    assert (held.exit_code, held.stderr.splitlines()[0]) == (
        6,
        "The reference counts no more in its job (entry 2: does not count, by entry 5).",
    )
    run("log", "strike", 5, "--because", "asked the wrong man", "--job", lift)
    assert "Better" in run("compare", pattern, after).stdout
    run("log", "strike", 2, "--because", "wrong tooth", "--job", lift)
    assert "The earlier photos, entry 2 of the job: struck out." in " ".join(
        run("compare", pattern, after, "--full").stdout.split()
    )


def test_a_pattern_held_against_one_that_fell_is_judged_again_with_the_same_photos(lift: Path, tmp_path: Path) -> None:
    words = judge_words("goods_lift_before")
    assert run(*judge_words("goods_lift_after"), "--job", lift, "--occasion", "maker").exit_code == 0
    assert run(*words, "--job", lift, "--reference", lift / "patterns" / "01").exit_code == 0
    later = changed(lift / "patterns" / "02", tmp_path / "later.json", left=[], right=[])  # of no photo
    assert run("compare", lift / "patterns" / "02", later).stdout.endswith("No difference that the photos can show.\n")
    assert "Move the wheel toward end B" in run("next", lift).stdout
    run("log", "strike", 2, "--because", "print of another machine", "--job", lift)
    due = run("next", lift).stdout
    assert "Judge the same photos again, held against another print or against none." in due
    assert "The last pattern does not count: what it was held against counts no more (entry 4)." in due
    assert "Move the wheel" not in due
    compared = run("compare", lift / "patterns" / "02", later)
    gone = "What the earlier photos were held against, entry 2 of the job: struck out."
    assert gone in " ".join(compared.stdout.split())
    run(*words, "--sheet", lift / "machine.toml", "--out", tmp_path / "anew")
    logged = run("log", "judgement", tmp_path / "anew", "--job", lift)
    assert logged.exit_code == 0, logged.output
    assert "Move the wheel toward end B" in run("next", lift).stdout


def test_photos_of_a_pattern_that_fell_are_no_photos_of_after_a_change(lift: Path, asking: Path) -> None:
    run("log", "answer", 2, "never-painted", "R. Moss", "--job", lift)
    run("log", "shims", "carrier-A", "--add", "0.12mm", "--job", lift)
    again = run("log", "judgement", asking, "--job", lift)
    assert again.exit_code == 6
    assert again.stderr.startswith("A photo of this pattern was judged before, as entry 2, and since then something")


def test_a_reading_that_is_read_again_after_a_change_is_not_the_one_in_the_log(lift: Path, tmp_path: Path) -> None:
    """Put into the job once more it is the same entry; but read anew after the change it would pass for a later one."""
    run(*judge_words("goods_lift_before"), "--sheet", lift / "machine.toml", "--out", tmp_path / "judged")
    path = tmp_path / "judged" / "judgement.json"
    run("log", "judgement", path, "--job", lift)
    content, later = json.loads(path.read_text()), datetime.now(UTC) + timedelta(minutes=1)
    before = json.dumps(content | {"made_at": (later - timedelta(hours=1)).isoformat(timespec="seconds")})
    path.write_text(before)
    run("log", "shims", "carrier-A", "--add", "0.12mm", "--job", lift)
    entry = kept_as(PatternRequest(lift), path)
    assert entry is not None
    assert entry.number == 2
    path.write_text(json.dumps(content | {"made_at": later.isoformat(timespec="seconds")}))
    assert kept_as(PatternRequest(lift), path) is None
    again = run("log", "judgement", path, "--job", lift)
    assert again.exit_code == 6
    assert again.stderr.startswith("A photo of this pattern was judged before, as entry 2, and since then something")


def test_a_trial_judged_before_a_change_is_no_pattern_of_after_it(lift: Path, tmp_path: Path) -> None:
    """Its photos are of before the change, whenever it is put into the log; one of the old wheel may come late."""
    run(*judge_words("goods_lift_before"), "--sheet", lift / "machine.toml", "--out", tmp_path / "judged")
    path = tmp_path / "judged" / "judgement.json"
    content, made_at = json.loads(path.read_text()), datetime.now(UTC) - timedelta(hours=2)
    path.write_text(json.dumps(content | {"made_at": made_at.isoformat(timespec="seconds")}))
    run("log", "shims-found", "carrier-A", "0.60mm", "--job", lift)
    run("log", "shims", "carrier-A", "--add", "0.12mm", "--job", lift)
    late = run("log", "judgement", path, "--job", lift)
    assert late.exit_code == 6
    assert late.stderr.startswith(f"These photos were judged on {made_at.astimezone():%Y-%m-%d at %H:%M}, before what")
    assert len(read_log(lift).entries) == 3
    assert run("log", "judgement", path, "--job", lift, "--occasion", "as-found").exit_code == 0


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ((9, "rubbed-off"), "There is no entry 9 in the log."),
        ((1, "rubbed-off"), "Nothing is asked about entry 1."),
        ((2, "both-contact"), "both-contact does not answer what is asked about entry 2."),
        ((2, "yes"), "'yes' is not one of the words that fit here."),
        ((2, "rubed-off"), "'rubed-off' is not one of the words that fit here."),
    ],
)
def test_an_answer_that_does_not_fit_is_refused_in_two_sentences(
    lift: Path, asking: Path, words: tuple[int, str], found: str
) -> None:
    assert asking.is_file()
    result = run("log", "answer", *words, "R. Moss", "--job", lift)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 2
    assert found in result.stderr
    assert len(read_log(lift).entries) == 2


def test_what_only_a_person_can_tell_is_asked_by_next_before_it_advises(
    lift: Path, asking: Path, tmp_path: Path
) -> None:
    assert asking.is_file()
    due = run("next", lift).stdout
    assert due.index("Was it painted right up to end B?") < due.index("Move the wheel toward end B")
    run("record", lift, "--out", tmp_path / "page.html")
    assert "Was it painted right up to end B?" in words_of((tmp_path / "page.html").read_text(encoding="utf-8"))


def test_after_the_first_trial_the_job_alone_tells_how_much(lift: Path) -> None:
    """Two amounts at once, one by the gear data and one by the trials, help nobody."""
    run(*judge_words("goods_lift_before"), "--job", lift)
    run("log", "shims", "carrier-A", "--add", "0.12mm", "--job", lift)
    shims = document(run(*judge_words("goods_lift_after"), "--job", lift, "--json"))["advice"]["shims"]
    assert (shims["change"], shims["amount_mm"]) == ("add", None)
    assert "half of what the readings point to" in run("next", lift).stdout


def test_a_judgement_without_its_entry_is_told_until_its_folder_is_gone(job: Path) -> None:
    (job / "patterns" / "01").mkdir(parents=True)
    result = run("next", job)
    assert "patterns/01 holds a judgement that is not in the log" in result.stderr
    assert "delete that folder" in result.stderr
    (job / "patterns" / "01").rmdir()
    assert "patterns" not in run("next", job).stderr


def test_a_judgement_that_the_log_cannot_take_leaves_nothing(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise CannotWrite("The log cannot be written.", "Make room.")

    monkeypatch.setattr("patternscan.workflow.job.pattern.append_entry", full)
    assert run(*judge_words("goods_lift_before"), "--job", job).exit_code == 7
    assert not (job / "patterns").exists()


def test_what_goes_out_with_a_job_is_told(tmp_path: Path) -> None:
    """Of a JPEG the picture alone is copied; a WebP cannot be parted from what its camera wrote."""
    job, words = tmp_path / "job", ["judge", "--marking", "transfer", "--job", tmp_path / "job", "--copy-photos"]
    run("start", job)
    for flank, ending in (("left", "jpg"), ("right", "webp")):
        photo, outline = tmp_path / f"{flank}.{ending}", tmp_path / f"{flank}.outline.json"
        exif = Image.Exif()
        exif[ExifTags.Base.Artist] = "Nobody"
        with Image.open(SAMPLES / f"goods_lift_before_{flank}.jpg") as image:
            exif[ExifTags.Base.Orientation] = image.getexif().get(ExifTags.Base.Orientation, 1)
            image.save(photo, exif=exif)
        content = (SAMPLES / f"goods_lift_before_{flank}.outline.json").read_text(encoding="utf-8")
        outline.write_text(content.replace(f"goods_lift_before_{flank}.jpg", photo.name), encoding="utf-8")
        words += [f"--{flank}", photo, f"--{flank}-outline", outline]
    told = run(*words).stderr
    assert "Copied: 1 copy of photos without place" in told
    assert "all that the camera wrote, which may be place and serial number: right.webp." in told
    told = run("record", job, "--out", tmp_path / "record.html").stderr
    assert "holds 1 copy of photos without place" in told
    assert "patterns/01/right.webp" in told
    copies = [(job / "patterns" / "01" / name).read_bytes() for name in ("left.jpg", "right.webp")]
    assert [b"Nobody" in copy for copy in copies] == [False, True]
