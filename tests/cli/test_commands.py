"""The commands on the sample photos: what they print, what they write, how they stop."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from patternscan.cli import main
from patternscan.errors import UnreadablePhoto
from patternscan.seeing.geometry.camera import lens_of
from patternscan.seeing.geometry.mapping import map_flank
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.geometry.placed_flank import place_uncertainty
from patternscan.seeing.image.no_photo import CONTACT_TONE, PAPER
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.machine.sheet_file import read_sheet
from tests.reporting.contents import valid

SAMPLES = Path(__file__).parents[2] / "sample_images"
LEFT, RIGHT = SAMPLES / "goods_lift_before_left.jpg", SAMPLES / "goods_lift_before_right.jpg"


def outline_of(photo: Path) -> Path:
    return photo.with_name(f"{photo.stem}.outline.json")


def run(*words: object) -> Result:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert "Traceback" not in result.output
    return result


def read_words(photo: Path, flank: str) -> list[object]:
    return ["read", photo, "--flank", flank, "--marking", "transfer", "--outline", outline_of(photo)]


def judge_words(stem: str, marking: str = "transfer") -> list[object]:
    left, right = SAMPLES / f"{stem}_left.jpg", SAMPLES / f"{stem}_right.jpg"
    photos = ["--left", left, "--right", right]
    outlines = ["--left-outline", outline_of(left), "--right-outline", outline_of(right)]
    return ["judge", *photos, *outlines, "--marking", marking]


def interval_is_right(numbers: dict[str, float]) -> bool:
    return set(numbers) == {"value", "low", "high"} and numbers["low"] <= numbers["value"] <= numbers["high"]


def document(result: Result) -> dict[str, Any]:
    assert result.exit_code == 0, result.output
    return valid(result.stdout)


def test_read_prints_the_reading_and_nothing_else() -> None:
    content = document(run(*read_words(LEFT, "left"), "--json"))
    assert (content["format"], content["version"]) == ("patternscan-reading", 1)
    with Image.open(LEFT) as picture:
        upright = picture.size if picture.getexif().get(0x0112, 1) < 5 else picture.size[::-1]
    digest = hashlib.sha256(LEFT.read_bytes()).hexdigest()
    assert content["photo"].pop("grey_cells")
    assert content["photo"] == {
        "name": LEFT.name,
        "sha256": digest,
        "width_px": upright[0],
        "height_px": upright[1],
    }
    (flank,) = content["flanks"]
    assert (flank["flank"], flank["tooth"], flank["marking"], flank["compound"]) == ("left", "1", "transfer", "blue")
    assert flank["outline"]["source"] == "given"
    assert {"root", "tip", "end_a", "end_b"} <= set(flank["outline"])
    assert all(interval_is_right(numbers) for numbers in (flank["coverage"], *flank["centroid"].values()))
    assert 0 < flank["length"]["value"] <= 1
    assert 0 < flank["height"]["value"] <= 1
    assert 0 < flank["judged_fraction"] <= 1
    assert all({"code", "message", "remedy"} <= set(caution) for caution in flank["cautions"])


def test_read_writes_the_contact_map(tmp_path: Path) -> None:
    target = tmp_path / "map.png"
    assert run(*read_words(LEFT, "left"), "--map", target, "--json").exit_code == 0
    with Image.open(target) as picture:
        assert (picture.mode, picture.size) == ("L", (256, 128))
        assert set(np.unique(np.asarray(picture)).tolist()) <= {0, 128, 255}


def test_read_tells_a_person_in_words(tmp_path: Path) -> None:
    result = run(*read_words(LEFT, "left"), "--out", tmp_path)
    assert result.exit_code == 0, result.output
    assert len(result.stdout.splitlines()) <= 15
    assert "from end A" in result.stdout
    written = {path.name for path in tmp_path.iterdir()}
    assert written == {
        f"{LEFT.stem}.annotated.jpg",
        f"{LEFT.stem}.left.check.png",
        f"{LEFT.stem}.report.md",
        f"{LEFT.stem}.reading.json",
    }


def test_nothing_is_overwritten_unless_asked(tmp_path: Path) -> None:
    words = [*read_words(LEFT, "left"), "--out", tmp_path, "--json"]
    assert run(*words).exit_code == 0
    before = {path: path.read_bytes() for path in tmp_path.iterdir()}
    again = run(*words)
    assert again.exit_code == 7
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == before
    assert run(*words, "--overwrite").exit_code == 0


def test_all_files_of_a_run_are_written_or_none(tmp_path: Path) -> None:
    (tmp_path / f"{LEFT.stem}.report.md").write_text("older")
    result = run(*read_words(LEFT, "left"), "--map", tmp_path / "maps" / "map.png", "--out", tmp_path, "--json")
    assert result.exit_code == 7
    assert [path.name for path in tmp_path.iterdir()] == [f"{LEFT.stem}.report.md"]


def test_an_input_is_never_written_over(tmp_path: Path) -> None:
    photo = shutil.copy(LEFT, tmp_path)
    content = Path(photo).read_bytes()
    result = run(*read_words(LEFT, "left")[:1], photo, *read_words(LEFT, "left")[2:], "--map", photo, "--overwrite")
    assert result.exit_code == 7
    assert Path(photo).read_bytes() == content


def test_nothing_of_the_original_reaches_an_output(tmp_path: Path) -> None:
    secret = tmp_path / LEFT.name
    with Image.open(LEFT) as picture:
        exif = picture.getexif()
        exif[0x8825] = {1: "N", 2: (51.0, 30.0, 0.0)}
        exif[0xA431] = "SERIAL-12345"
        picture.save(secret, exif=exif, comment=b"the comment of the owner", quality=95)
    out = tmp_path / "out"
    words = read_words(LEFT, "left")
    assert run("read", secret, *words[2:], "--out", out, "--map", out / "map.png").exit_code == 0
    for path in out.iterdir():
        content = path.read_bytes()
        assert b"SERIAL-12345" not in content
        assert b"comment of the owner" not in content
        if path.suffix in {".jpg", ".png"}:
            with Image.open(path) as picture:
                assert not picture.getexif()
                assert picture.info.get("comment") in (None, b"", b"drawn by patternscan")


def test_end_a_may_stand_for_the_flank() -> None:
    # The tip points right in this photo; turned a quarter from 'tip up, A right', a left flank shows end A below.
    words = ["read", LEFT, "--marking", "transfer", "--outline", outline_of(LEFT), "--tip", "right", "--json"]
    assert document(run(*words, "--end-a", "down"))["flanks"][0]["flank"] == "left"
    assert run(*words, "--end-a", "up").exit_code == 6


def test_the_wrong_flank_is_refused_with_its_possible_causes() -> None:
    result = run(*read_words(LEFT, "right"))
    assert result.exit_code == 6
    assert "mirrored" in result.stderr
    assert "swapped" in result.stderr


def test_the_outline_of_another_photo_is_refused() -> None:
    result = run("read", LEFT, "--flank", "right", "--marking", "transfer", "--outline", outline_of(RIGHT))
    assert result.exit_code == 6
    assert "was made for goods_lift_before_right.jpg" in result.stderr


@pytest.mark.parametrize("content", ["", "{}", "[1, 2]", '{"format": "patternscan-outline", "version": 1}'])
def test_a_faulty_outline_file_asks_for_another(tmp_path: Path, content: str) -> None:
    path = tmp_path / "faulty.json"
    path.write_text(content)
    assert run("read", LEFT, "--flank", "left", "--marking", "transfer", "--outline", path).exit_code == 4


@pytest.mark.parametrize(
    ("stem", "marking", "move"),
    [
        ("goods_lift_before", "transfer", "toward-B"),
        ("boat_winch", "transfer", "toward-A"),
        ("mill_hoist", "rub-off", "stay"),
    ],
)
def test_judge_says_the_direction(stem: str, marking: str, move: str) -> None:
    content = document(run(*judge_words(stem, marking), "--json"))
    assert (content["format"], content["version"]) == ("patternscan-judgement", 1)
    assert content["advice"]["move_wheel"] == move
    assert content["advice"]["shims"]["amount_mm"] is None
    assert interval_is_right(content["shared_shift"]["along"])
    assert interval_is_right(content["opposed_shift"]["along"])


def test_judge_reads_the_sheet_for_the_shims() -> None:
    content = document(run(*judge_words("goods_lift_before"), "--sheet", SAMPLES / "goods_lift.toml", "--json"))
    offset = content["estimate"]["wheel_toward_a_mm"]
    assert offset["low"] <= 0.206 <= offset["high"]  # where the program that rendered the photos put the wheel
    assert content["estimate"]["saturated"]
    assert 0 < content["advice"]["shims"]["amount_mm"] < 0.206
    assert content["advice"]["shims"]["carrier"] in ("A", "B")
    assert content["advice"]["shims"]["change"] in ("add", "remove")


def test_a_tooth_of_the_other_hand_than_the_sheet_says_is_refused(tmp_path: Path) -> None:
    whole = (SAMPLES / "goods_lift.toml").read_text(encoding="utf-8")
    for words in (whole.replace('hand = "right"', 'hand = "left"'), '[gear]\nhand = "left"\n'):
        sheet = tmp_path / "other.toml"
        sheet.write_text(words, encoding="utf-8")
        result = run(*read_words(LEFT, "left"), "--sheet", sheet, "--json")
        assert (result.exit_code, result.stdout) == (6, "")
        assert "says left hand" in result.stderr


def test_a_sheet_of_another_gear_gives_no_millimetres(tmp_path: Path) -> None:
    sheet = tmp_path / "other.toml"
    words = (SAMPLES / "goods_lift.toml").read_text(encoding="utf-8")
    sheet.write_text(words.replace("face_width_mm = 23.9", "face_width_mm = 32"), encoding="utf-8")
    content = document(run(*judge_words("goods_lift_before"), "--sheet", sheet, "--json"))
    assert "gear-data-unlike" in {caution["code"] for caution in content["cautions"]}
    assert content["estimate"] is None
    assert content["advice"]["shims"]["amount_mm"] is None
    for command in (judge_words("goods_lift_before"), read_words(LEFT, "left")):
        told = "\nDoubt: The sheet's gear data do not fit the photos: is it this machine's sheet?\n"
        assert told in run(*command, "--sheet", sheet).stdout


def test_judge_with_one_flank_cannot_say() -> None:
    content = document(
        run("judge", "--left", LEFT, "--left-outline", outline_of(LEFT), "--marking", "transfer", "--json")
    )
    assert content["advice"]["move_wheel"] == "cannot-say"
    assert content["shared_shift"]["along"] is None


def test_judge_writes_pictures_and_a_report(tmp_path: Path) -> None:
    result = run(*judge_words("goods_lift_before"), "--by", "R. Moss", "--out", tmp_path)
    assert result.exit_code == 0, result.output
    assert len(result.stdout.splitlines()) <= 15
    assert result.stdout.splitlines()[-1] == "Move the wheel toward end B."
    written = {path.name for path in tmp_path.iterdir()}
    assert {"both_flanks.png", "report.md", "page.html", "judgement.json"} <= written
    assert {
        f"{flank}_1.{kind}" for flank in ("left", "right") for kind in ("flat.jpg", "contact.png", "close_up.jpg")
    } <= written
    assert len([name for name in written if name.endswith(".annotated.jpg")]) == 2
    assert len([name for name in written if name.endswith(".check.png")]) == 2
    for name in ("report.md", "page.html"):
        assert " by R. Moss, printed by the worm (transfer, blue)" in (tmp_path / name).read_text(encoding="utf-8")


def test_compare_before_and_after(tmp_path: Path) -> None:
    for state in ("before", "after"):
        content = document(run(*judge_words(f"goods_lift_{state}"), "--json"))
        (tmp_path / f"{state}.json").write_text(json.dumps(content))
    change = document(run("compare", tmp_path / "before.json", tmp_path / "after.json", "--json"))
    assert (change["format"], change["version"]) == ("patternscan-comparison", 1)
    assert change["verdict"] == "better"
    assert change["shared_shift"]["along"]["change"]["value"] < -0.1
    assert change["comparable"]["position"] is True
    assert {"coverage", "along", "up"} <= set(change["left"])
    back = document(run("compare", tmp_path / "after.json", tmp_path / "before.json", "--json"))
    assert back["verdict"] == "worse"


def test_compare_refuses_a_reading(tmp_path: Path) -> None:
    reading = tmp_path / "reading.json"
    reading.write_text(json.dumps(document(run(*read_words(LEFT, "left"), "--json"))))
    assert run("compare", reading, reading).exit_code == 6


def test_outline_starts_from_a_file_and_writes_the_page(tmp_path: Path) -> None:
    result = run("outline", LEFT, "--flank", "left", "--outline", outline_of(LEFT), "--out", tmp_path)
    assert result.exit_code == 0, result.output
    assert (tmp_path / f"{LEFT.stem}.outline.html").read_text(encoding="utf-8").lstrip().lower().startswith("<!doctype")
    (outline,) = read_outline_file(tmp_path / f"{LEFT.stem}.outline.json").outlines
    (original,) = read_outline_file(outline_of(LEFT)).outlines
    assert np.allclose(outline.border, original.border, atol=0.01)


def test_outline_leaves_a_page_when_it_finds_nothing(tmp_path: Path) -> None:
    photo = tmp_path / "wall.png"
    Image.fromarray(np.full((400, 600, 3), 120, dtype=np.uint8)).save(photo)
    result = run("outline", photo, "--flank", "left", "--out", tmp_path / "out")
    assert result.exit_code == 4
    assert "wall.outline.html" in result.stderr
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["wall.outline.html"]


def test_without_an_outline_the_pages_to_mark_it_are_written_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    across, down = np.linspace(60, 180, 600)[None], np.linspace(60, 180, 400)[:, None]
    for name, grey in (("left", across + 0 * down), ("right", down + 0 * across)):
        Image.fromarray(np.repeat(grey[..., None].astype(np.uint8), 3, axis=2)).save(tmp_path / f"{name}.png")
    pages = {f"{name}.outline.html" for name in ("left", "right")}
    judged = run("judge", "--left", "left.png", "--right", "right.png", "--marking", "transfer", "--out", "report")
    assert judged.exit_code == 4
    assert {path.name for path in Path("report").iterdir()} == pages
    assert all(f"report/{page}" in judged.stderr for page in pages)
    for folder, flank in (("marking", "left"), ("marking_2", "right")):
        result = run("read", f"{flank}.png", "--flank", flank, "--marking", "transfer")
        assert (result.exit_code, len(result.stderr.splitlines())) == (4, 2)
        assert f"open {folder}/{flank}.outline.html in a browser" in result.stderr
        assert "light it from the side and take the photo again" in result.stderr
        assert Path(folder, f"{flank}.outline.html").is_file()
    by_folder = run("judge", ".", "--marking", "transfer")
    assert "mark the flank, lay the saved file beside the photo, and give the folder again." in by_folder.stderr


def test_photos_of_one_name_have_each_its_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    across, down = np.linspace(60, 180, 600)[None], np.linspace(60, 180, 400)[:, None]
    for flank, grey in (("left", across + 0 * down), ("right", down + 0 * across)):
        Path(flank).mkdir()
        Image.fromarray(np.repeat(grey[..., None].astype(np.uint8), 3, axis=2)).save(Path(flank, "IMG_1.png"))
    judged = run("judge", "--left", "left/IMG_1.png", "--right", "right/IMG_1.png", "--marking", "transfer")
    pages = {"left": Path("marking/IMG_1.outline.html"), "right": Path("marking/2/IMG_1.outline.html")}
    assert all(f'"flank": "{flank}"' in page.read_text(encoding="utf-8") for flank, page in pages.items())
    assert all(str(page) in judged.stderr for page in pages.values())


def test_the_same_photo_has_its_page_in_the_folder_of_an_earlier_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a person laid or changed there stays as it is."""
    monkeypatch.chdir(tmp_path)
    Image.fromarray(np.full((400, 600, 3), 120, dtype=np.uint8)).save("wall.png")
    words = ["read", "wall.png", "--flank", "left", "--marking", "transfer"]
    page, saved = Path("marking", "wall.outline.html"), Path("marking", "wall.outline.json")
    first = run(*words)
    saved.write_text("saved by hand")
    written = page.stat().st_mtime_ns
    assert run(*words).stderr == first.stderr
    assert (page.stat().st_mtime_ns, saved.read_text()) == (written, "saved by hand")
    page.write_text("changed by hand")
    assert "marking_2" in run(*words).stderr
    assert page.read_text() == "changed by hand"
    assert {one.name for one in tmp_path.iterdir()} == {"wall.png", "marking", "marking_2"}
    out = [run(*words, "--out", "out").stderr for _ in range(2)]
    assert out[0] == out[1]
    assert [path.name for path in Path("out").iterdir()] == ["wall.outline.html"]


def test_an_outline_given_beside_a_folder_is_to_be_laid_into_it(tmp_path: Path) -> None:
    result = run("judge", tmp_path, "--left-outline", outline_of(LEFT), "--marking", "transfer")
    assert result.exit_code == 2
    assert result.stderr.splitlines()[1].startswith(
        "Lay the outline file beside its photo under the name of the photo (left.outline.json beside left.jpg)"
    )


def test_outline_asks_on_the_page_when_nobody_says_the_flank(tmp_path: Path) -> None:
    photo = tmp_path / "wall.png"
    Image.fromarray(np.full((400, 600, 3), 120, dtype=np.uint8)).save(photo)
    assert run("outline", photo, "--out", tmp_path / "out").exit_code == 4
    assert '"flank": null' in (tmp_path / "out" / "wall.outline.html").read_text(encoding="utf-8")


FRAMED = {
    "flank": "left",
    "root": [[500, 300], [100, 300]],
    "tip": [[500, 120], [100, 120]],
    "end_a": [[500, 300], [500, 120]],
    "end_b": [[100, 300], [100, 120]],
}
"""A four-sided left flank in a picture of 600 by 400 pixels."""


def test_a_place_where_no_flank_is_seen_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    words = ["read", LEFT, "--flank", "left", "--marking", "transfer", "--out", tmp_path]
    result = run(*words, "--tooth-at", "20,20")
    assert result.exit_code == 4
    found, remedy = result.stderr.splitlines()
    assert found == f"No flank is seen at the place that was given in {LEFT.name}."
    assert remedy.startswith("Give another place on the flank that is meant. Or open ")
    monkeypatch.chdir(tmp_path)
    judged = run("judge", "--left", LEFT, "--left-tooth-at", "20,20", "--right", RIGHT, "--marking", "transfer")
    answer = f"Mark the LEFT flank in {LEFT.name} by hand: it is not seen at the place that was given."
    assert " ".join(judged.stdout.split()).endswith(answer)
    page = Path("marking", LEFT.with_suffix(".outline.html").name)
    assert page.is_file()
    assert judged.stderr.startswith(f"Give another place on the flank that is meant. Or open {page} in a browser")


def test_a_program_that_asks_for_numbers_finds_no_page_that_it_did_not_ask_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    words = ["judge", "--left", LEFT, "--left-tooth-at", "20,20", "--right", RIGHT, "--marking", "transfer", "--json"]
    assert run(*words).exit_code == 0
    assert not [*tmp_path.iterdir()]
    assert "out/marking/" in run(*words, "--out", "out").stderr


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="a folder in which nobody may write, as Linux has it")
def test_where_no_page_can_be_written_it_is_still_told_that_no_outline_was_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Image.fromarray(np.full((400, 600, 3), 120, dtype=np.uint8)).save(tmp_path / "wall.png")
    monkeypatch.chdir("/proc")
    result = run("read", tmp_path / "wall.png", "--flank", "left", "--marking", "transfer")
    assert result.exit_code == 4
    assert result.stderr.startswith(
        "No toothed wheel is seen in wall.png.\nmarking/wall.outline.html cannot be written"
    )
    assert "Give --out FOLDER for the page" in result.stderr


def test_a_folder_that_cannot_be_written_to_is_told_with_the_page_that_was_to_lie_there(tmp_path: Path) -> None:
    wall, taken = tmp_path / "wall.png", tmp_path / "taken"
    Image.fromarray(np.full((400, 600, 3), 120, dtype=np.uint8)).save(wall)
    taken.write_text("not a folder")
    result = run("read", wall, "--flank", "left", "--marking", "transfer", "--out", taken / "new")
    assert result.exit_code == 7
    assert result.stderr.splitlines() == [
        f"No toothed wheel is seen in wall.png. {taken} is a file, not a folder.",
        "Give --out another folder, one that you may write to: the page to mark it on goes there.",
    ]


def test_what_shows_no_tooth_is_called_by_its_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name, level in (("black.png", 5), ("wall.png", 120)):
        Image.fromarray(np.full((400, 600, 3), level, dtype=np.uint8)).save(name)
    given = ["--flank", "left", "--marking", "transfer"]
    black, wall = (run("read", name, *given) for name in ("black.png", "wall.png"))
    assert (black.exit_code, wall.exit_code) == (3, 4)
    assert "black.png is black: nothing can be seen in it." in black.stderr
    outline = {"format": "patternscan-outline", "version": 1, "photo": "black.png", "flanks": [FRAMED]}
    Path("black.outline.json").write_text(json.dumps(outline))
    marked = run("read", "black.png", *given, "--outline", "black.outline.json")
    assert (marked.exit_code, marked.stderr) == (3, black.stderr)
    assert wall.stderr.startswith("No toothed wheel is seen in wall.png.\nLook whether it is the right photo.")
    judged = run("judge", "--left", "wall.png", "--right", RIGHT, "--marking", "transfer")
    assert judged.stdout.endswith("Take the LEFT photo (wall.png) again: no tooth is seen in it.\n")


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with all that a judgement draws."""
    folder = tmp_path_factory.mktemp("drawn")
    assert run(*judge_words("goods_lift_before"), "--out", folder).exit_code == 0
    return folder


def test_a_picture_that_was_drawn_here_is_no_photo(tmp_path: Path) -> None:
    assert run(*read_words(LEFT, "left"), "--out", tmp_path).exit_code == 0
    drawn = [path for path in tmp_path.iterdir() if path.name.endswith((".annotated.jpg", ".check.png"))]
    assert len(drawn) == 2
    for path in drawn:
        result = run("read", path, "--flank", "left", "--marking", "transfer")
        assert result.exit_code == 3
        assert "is a picture that patternscan has drawn, not a photo." in result.stderr


@pytest.mark.parametrize(("longest", "quality"), [(None, 90), (1280, 90), (1280, 50), (1280, 35)])
def test_a_picture_that_was_drawn_here_and_saved_again_is_no_photo_either(
    drawn: Path, tmp_path: Path, longest: int | None, quality: int
) -> None:
    """As messengers and phones save it: smaller, as JPEG, without its comment."""
    names = ("left.annotated.jpg", "left.check.png", "both_flanks.png")
    found = [path for path in drawn.iterdir() if path.name.endswith(names)]
    assert len(found) == len(names)
    for path in found:
        with Image.open(path) as picture:
            again = picture.convert("RGB")
        if longest is not None:
            again.thumbnail((longest, longest))
        again.info = {}
        again.save(tmp_path / "again.jpg", quality=quality)
        with pytest.raises(UnreadablePhoto, match="patternscan has drawn"):
            load_photo(tmp_path / "again.jpg")


def test_a_photo_on_plain_paper_or_with_green_in_it_is_a_photo_all_the_same(tmp_path: Path) -> None:
    card = np.full((600, 800, 3), PAPER, np.uint8)
    card[150:450, 200:600] = (40, 60, 150)
    leaves = np.full((600, 800, 3), 90, np.uint8)
    leaves[::7] = CONTACT_TONE
    for pixels in (card, leaves):
        Image.fromarray(pixels).save(tmp_path / "photo.png")
        assert load_photo(tmp_path / "photo.png").size_px == (800, 600)


def test_a_folder_with_one_machine_needs_nothing_else() -> None:
    result = run("judge", SAMPLES / "goods_lift")
    assert result.exit_code == 0, result.output
    answer = result.stdout.splitlines()[-1]
    assert re.fullmatch(r"Add 0\.\d\d mm \(0\.\d{3} in\) under carrier A: the wheel moves toward end B\.", answer)


def test_judge_does_not_pass_over_an_outline_that_was_given(tmp_path: Path) -> None:
    words = judge_words("goods_lift_before")
    words[words.index("--left-outline") + 1] = tmp_path / "mistyped.json"
    result = run(*words)
    assert result.exit_code == 4
    assert result.stdout == ""
    assert "goods_lift_before_left.jpg (left flank)" in result.stderr


def test_judge_names_the_photo_that_does_not_fit() -> None:
    result = run(*judge_words("goods_lift_before", "rub-off"))
    assert result.exit_code == 6
    assert result.stderr.startswith("goods_lift_before_left.jpg (left flank): ")


# --- gear data on the sheet ---------------------------------------------------------------------------------------


def test_gear_data_tell_the_size_of_the_flank_in_mm_and_where_it_was_seen_from() -> None:
    content = document(run(*read_words(LEFT, "left"), "--sheet", SAMPLES / "goods_lift.toml", "--json"))
    mapping = content["flanks"][0]["mapping"]
    assert mapping["by"] == "gear-data"
    assert mapping["face_width_mm"] == 23.9
    # Between the 2 m over which worm and wheel overlap and that much along a slope of 20 degrees.
    assert 2 * 3.15 < mapping["height_mm"] < 2 * 3.15 / np.cos(np.radians(20)) + 0.1
    assert mapping["misfit"] < 0.004
    assert content["flanks"][0]["cautions"] == []


@pytest.mark.parametrize(("sheet", "said"), [(True, "with the gear data."), (False, "from the outlines alone.")])
def test_the_judgement_says_how_places_were_told(sheet: bool, said: str) -> None:
    words = ["--sheet", SAMPLES / "goods_lift.toml"] if sheet else []
    assert (
        f"Places on the flanks were worked out {said}"
        in run(*judge_words("goods_lift_before"), *words, "--full").output
    )


def test_without_a_sheet_the_outline_alone_serves() -> None:
    (flank,) = document(run(*read_words(LEFT, "left"), "--json"))["flanks"]
    assert flank["mapping"]["by"] == "outline-only"


@pytest.mark.parametrize(
    ("side", "told"),
    [
        ("left", ()),
        ("left", ("--compound", "blue")),
        ("right", ()),
        ("right", ("--compound", "blue")),
    ],
)
def test_gear_data_lead_no_further_from_the_truth(side: str, told: tuple[str, ...]) -> None:
    nearest = 0.005  # a clicked edge lies within 0.4 % of the face width, so nobody knows a place better
    photo, sheet = SAMPLES / f"goods_lift_after_{side}.jpg", SAMPLES / "goods_lift.toml"
    truth = json.loads((SAMPLES / "truth" / "truth.json").read_text())[photo.stem]["along"]
    alone, known = (
        document(run(*read_words(photo, side), *words, "--json"))["flanks"][0]["centroid"]["along"]["value"]
        for words in (told, ["--sheet", sheet])
    )
    assert abs(known - truth) <= max(abs(alone - truth) + 0.003, nearest)


@pytest.mark.parametrize("side", ["left", "right"])
def test_gear_data_make_places_surer(side: str) -> None:
    photo, sheet = SAMPLES / f"goods_lift_after_{side}.jpg", SAMPLES / "goods_lift.toml"
    outline, lens = read_outline_file(outline_of(photo)).outlines[0], lens_of(load_photo(photo))
    surer, sure = (
        place_uncertainty(outline, map_flank(outline, pair, lens)[0]).along
        for pair in (read_sheet(sheet).gear.worm_pair(), None)
    )
    assert surer < sure


def test_gear_data_make_the_whole_interval_narrower() -> None:
    widths = np.zeros(2)
    for side in ("left", "right"):
        words = read_words(SAMPLES / f"goods_lift_after_{side}.jpg", side)
        alone, known = (
            document(run(*words, *sheet, "--json"))["flanks"][0]["centroid"]["along"]
            for sheet in ([], ["--sheet", SAMPLES / "goods_lift.toml"])
        )
        widths += known["high"] - known["low"], alone["high"] - alone["low"]
    assert widths[0] < widths[1]


@pytest.mark.parametrize(
    ("line", "instead", "said"),
    [
        ("face_width_mm = 23.9", "face_width_mm = 15", "The outline does not fit a flank with these gear data"),
        ("face_width_mm = 23.9", "face_width_mm = 40", "No worm pair has these gear data"),
        ("teeth = 46", "", "without gear data"),
        ("teeth = 46", "teeth = 46", "worked out with the gear data: 23.90 mm (0.941 in) wide"),
    ],
)
def test_the_report_says_whether_the_gear_data_served(tmp_path: Path, line: str, instead: str, said: str) -> None:
    text = (SAMPLES / "goods_lift.toml").read_text(encoding="utf-8")
    assert line in text
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(text.replace(line, instead), encoding="utf-8")
    result = run(*read_words(LEFT, "left"), "--sheet", sheet, "--full")
    assert result.exit_code == 0
    assert said in result.output


def test_one_photo_for_both_flanks_is_refused(tmp_path: Path) -> None:
    photo = SAMPLES / "boat_winch_left.jpg"
    content = json.loads(outline_of(photo).read_text())
    (flank,) = content["flanks"]
    turned = {name: flank[name][::-1] for name in ("root", "tip")}
    turned |= {"flank": "right", "end_a": flank["end_b"], "end_b": flank["end_a"]}
    outline, copy = tmp_path / "copy.outline.json", tmp_path / "copy.jpg"
    outline.write_text(json.dumps(content | {"photo": "copy.jpg", "flanks": [flank | turned]}))
    with Image.open(photo) as image:
        image.save(copy, quality=40)
    words = ["--left", photo, "--left-outline", outline_of(photo), "--right", copy, "--right-outline", outline]
    result = run("judge", *words, "--marking", "transfer")
    assert result.exit_code == 6
    assert "same photo was given for both flanks: boat_winch_left.jpg (left flank) and copy.jpg" in result.stderr


def test_one_file_for_both_flanks_is_refused_before_it_is_looked_at() -> None:
    photo = SAMPLES / "boat_winch_left.jpg"
    result = run("judge", "--left", photo, "--right", photo, "--marking", "transfer")
    assert result.exit_code == 6
    assert "same photo was given for both flanks" in result.stderr
