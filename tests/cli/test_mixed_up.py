"""Photos that were mixed up by a person in a hurry: of the other flank, of another machine."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import Result
from numpy.typing import NDArray
from PIL import ExifTags, Image, ImageOps

from patternscan.seeing.image.photo import load_photo
from patternscan.setting.log.job_log import read_log
from tests.benchmarks.scenes import Scene, clicked_outline, scene, sheet_text
from tests.benchmarks.second_exposures import edges_of, second_exposure
from tests.cli.test_commands import LEFT, RIGHT, SAMPLES, document, judge_words, outline_of, run
from tests.cli.test_folder import lay_sample, rows_of


@pytest.mark.parametrize("words", [("judge", "--left", RIGHT, "--right", LEFT), ("read", RIGHT, "--flank", "left")])
def test_photos_named_as_the_other_flank_are_refused_before_they_are_searched(words: tuple[object, ...]) -> None:
    """Without an outline nothing in the photos tells one flank from the other, and the answer would be turned round."""
    result = run(*words, "--marking", "transfer")
    assert result.exit_code == 6
    assert result.stderr.startswith(f"{RIGHT.name} was given as a left flank, but its name says right.\n")


def outline_in(folder: Path, one: Scene) -> Path:
    path = folder / f"{one.name}.outline.json"
    path.write_text(json.dumps(clicked_outline(one)), encoding="utf-8")
    return path


@pytest.mark.parametrize(("name", "told"), [("dev/dev000_before_P", False), ("port/p_dev002_check_P", True)])
def test_the_photo_of_another_wheel_is_told_by_gear_data_that_fit_the_other_flank(
    tmp_path: Path, name: str, told: bool
) -> None:
    left, right = scene("dev", "dev000_before_M"), scene(*name.split("/"))  # type: ignore[arg-type]
    sheet = tmp_path / "lift.toml"
    sheet.write_text(sheet_text(left), encoding="utf-8")
    words = ["judge", "--left", left.photo, "--left-outline", outline_in(tmp_path, left), "--sheet", sheet]
    words += ["--right", right.photo, "--right-outline", outline_in(tmp_path, right), "--marking", "transfer", "--json"]
    content = document(run(*words))
    assert ("wheels-differ" in [one["code"] for one in content["cautions"]]) is told
    assert content["advice"]["move_wheel"] == ("cannot-say" if told else "toward-B")


def test_one_wrong_number_on_the_sheet_makes_no_second_wheel(tmp_path: Path) -> None:
    """The width of the whole rim for that of the face: by chance one tooth fits roughly and the other does not."""
    left, right = scene("dev", "dev001_before_M"), scene("dev", "dev001_before_P")
    wide = dataclasses.replace(left, truth=left.truth | {"gear": dict(left.truth["gear"])})
    wide.truth["gear"]["face_width_mm"] *= 1.15
    sheet = tmp_path / "lift.toml"
    sheet.write_text(sheet_text(wide), encoding="utf-8")
    words = ["judge", "--left", left.photo, "--left-outline", outline_in(tmp_path, left), "--sheet", sheet]
    words += ["--right", right.photo, "--right-outline", outline_in(tmp_path, right), "--marking", "rub-off", "--json"]
    content = document(run(*words))
    codes = {one["code"] for one in content["cautions"]}
    assert {"gear-data-unlike", "outline-rough"} <= codes
    assert "wheels-differ" not in codes
    assert content["advice"]["move_wheel"] == "toward-B"


@pytest.mark.parametrize("told", [False, True])
def test_a_wrong_module_that_each_flank_fits_roughly_is_told_by_both(tmp_path: Path, told: bool) -> None:
    left, right = scene("dev", "dev001_after_M"), scene("dev", "dev001_after_P")
    sheet = tmp_path / "lift.toml"
    module = f"module_mm = {left.truth['gear']['m']}"
    assert module in sheet_text(left)
    sheet.write_text(sheet_text(left).replace(module, "module_mm = 5") if told else sheet_text(left), encoding="utf-8")
    words = ["judge", "--left", left.photo, "--right", right.photo, "--sheet", sheet, "--marking", "rub-off", "--json"]
    content = document(run(*words))
    assert ("gear-data-loose" in {one["code"] for one in content["cautions"]}) is told
    assert (content["estimate"] is None) is told


@pytest.mark.parametrize(("name", "told"), [("dev/dev000_before_P", False), ("rims/s_dev002_check_P", True)])
def test_the_photo_of_another_wheel_is_told_by_the_shape_of_its_teeth(tmp_path: Path, name: str, told: bool) -> None:
    left, right = scene("dev", "dev000_before_M"), scene(*name.split("/"))  # type: ignore[arg-type]
    words = ["judge", "--left", left.photo, "--left-outline", outline_in(tmp_path, left), "--marking", "transfer"]
    words += ["--right", right.photo, "--right-outline", outline_in(tmp_path, right), "--json"]
    content = document(run(*words))
    assert ("shapes-differ" in [one["code"] for one in content["cautions"] if one["grave"]]) is told
    assert content["advice"]["move_wheel"] == ("cannot-say" if told else "toward-B")


def sample(name: str) -> list[object]:
    """The photo of a sample, named without its machine, and its outline, as words after their options."""
    photo = SAMPLES / f"goods_lift_{name}.jpg"
    return [photo, f"--{name.rpartition('_')[2]}-outline", outline_of(photo)]


def test_the_left_flank_of_before_and_the_right_one_of_after_are_no_pattern() -> None:
    """Half of a shift that is gone by half: a move would be advised that nothing in the machine asks for."""
    words = ["--left", *sample("before_left"), "--right", *sample("after_right"), "--marking", "transfer"]
    result = run("judge", *words)
    assert result.exit_code == 6
    assert "before a move of the wheel (goods_lift_before_left.jpg)" in result.stderr
    assert "after it (goods_lift_after_right.jpg)" in result.stderr


@pytest.mark.parametrize(
    ("names", "more", "found"),
    [
        ({"lift_before": "before", "lift_after": "after"}, (), "By their names, photos of before"),
        ({"north": "before", "south": "after"}, (), "several machines, each with both flanks: north, south."),
        ({"north": "before", "south": "after"}, ("east_left", "IMG_1"), "each with both flanks: north, south."),
    ],
)
def test_a_folder_whose_names_tell_of_two_patterns_is_not_judged_as_one(
    tmp_path: Path, names: dict[str, str], more: tuple[str, ...], found: str
) -> None:
    for name in more:
        lay_sample("goods_lift_before_left", tmp_path / "site" / f"{name}.jpg")
    for name, state in names.items():
        for flank in ("left", "right"):
            lay_sample(f"goods_lift_{state}_{flank}", tmp_path / "site" / f"{name}_{flank}.jpg")
    result = run("judge", tmp_path / "site", "--marking", "transfer", "--out", tmp_path / "out")
    assert result.exit_code == 6
    assert found in result.output
    (row,) = rows_of(tmp_path / "out" / "machines.csv")
    assert (row["code"], row["move"]) == ("6", "")


def test_visits_whose_photos_are_named_the_other_way_round_are_doubted(tmp_path: Path) -> None:
    for state in ("before", "after"):
        assert run(*judge_words(f"goods_lift_{state}"), "--out", tmp_path / state).exit_code == 0
    codes = [
        {one["code"] for one in document(run("compare", tmp_path / one, tmp_path / other, "--json"))["cautions"]}
        for one, other in (("after", "before"), ("before", "after"))
    ]
    assert ["visits-named-otherwise" in one for one in codes] == [True, False]


def test_a_job_takes_no_photo_of_before_a_change_for_one_of_after_it(tmp_path: Path) -> None:
    """The same photos once more would say that the shims moved nothing."""
    job = tmp_path / "job"
    run("start", job, "--machine", "Invented")
    run("log", "shims-found", "carrier-A", "0.6mm", "--job", job)
    assert run(*judge_words("goods_lift_before"), "--job", job).exit_code == 0
    assert run(*judge_words("goods_lift_before"), "--job", job).exit_code == 0
    run("log", "shims", "carrier-A", "--add", "0.12mm", "--job", job)
    before = read_log(job)
    result = run(*judge_words("goods_lift_before"), "--job", job)
    assert (result.exit_code, result.stdout) == (6, "")
    assert "was judged before, as entry 3, and since then something was changed" in result.stderr
    assert read_log(job) == before
    assert not (job / "patterns" / "03").exists()
    assert run(*judge_words("goods_lift_after"), "--job", job).exit_code == 0


def cut_out(name: str, folder: Path) -> list[object]:
    """A piece of a sample photo turned by a quarter, with its outline, as words after their options."""
    photo = SAMPLES / f"goods_lift_before_{name}.jpg"
    picture = Image.fromarray(load_photo(photo).pixels)
    left, top = picture.width // 10, picture.height // 10
    piece = picture.crop((left, top, picture.width, picture.height - top))
    piece.transpose(Image.Transpose.ROTATE_90).save(folder / f"{name}.jpg", quality=60)
    content = json.loads(outline_of(photo).read_text(encoding="utf-8"))
    (flank,) = content["flanks"]
    for edge in ("root", "tip", "end_a", "end_b"):
        flank[edge] = [[y - top, piece.width - 1 - (x - left)] for x, y in flank[edge]]
    outline = folder / f"{name}.outline.json"
    head = {"format": "patternscan-outline", "version": 1, "photo": f"{name}.jpg"}
    outline.write_text(json.dumps(head | {"flanks": [flank]}), encoding="utf-8")
    return [folder / f"{name}.jpg", f"--{name}-outline", outline]


def test_a_job_asks_about_pieces_of_photos_of_before_a_change(tmp_path: Path) -> None:
    """It may be a second photo from one stand, so it is kept, but nothing is built on it."""
    job = tmp_path / "job"
    run("start", job)
    run("log", "shims-found", "carrier-A", "0.6mm", "--job", job)
    assert run(*judge_words("goods_lift_before"), "--job", job).exit_code == 0
    run("log", "shims", "carrier-A", "--add", "0.12mm", "--job", job)
    words = ["--left", *cut_out("left", tmp_path), "--right", *cut_out("right", tmp_path), "--marking", "transfer"]
    result = run("judge", *words, "--job", job)
    assert result.exit_code == 0
    assert "(entry 4) looks cut out of a photo that entry 2 was judged from" in result.stderr


def test_one_flank_photographed_twice_is_not_both_flanks(tmp_path: Path) -> None:
    """Its ends look exchanged the second time, so that whatever its pattern is, both flanks together seem centred."""
    one = scene("dev", "dev000_before_M")
    pixels, edges = second_exposure(load_photo(one.photo), edges_of(one), 0.02, np.random.default_rng(3))
    again = tmp_path / "again.jpg"
    Image.fromarray(pixels).save(again, quality=85)
    names = {"root": "root", "tip": "tip", "end_a": "end_b", "end_b": "end_a"}
    flank = {name: edges[names[name]][:: -1 if name in ("root", "tip") else 1].tolist() for name in names}
    head = {"format": "patternscan-outline", "version": 1, "photo": again.name}
    outline = tmp_path / "again.outline.json"
    outline.write_text(json.dumps(head | {"flanks": [{"flank": "right"} | flank]}), encoding="utf-8")
    words = ["judge", "--left", one.photo, "--left-outline", outline_in(tmp_path, one)]
    words += ["--right", again, "--right-outline", outline, "--marking", "transfer", "--json"]
    content = document(run(*words))
    assert "flank-twice" in [told["code"] for told in content["cautions"] if told["grave"]]
    assert content["advice"]["move_wheel"] == "cannot-say"
    assert abs(content["shared_shift"]["along"]["value"]) < 0.02


@pytest.mark.parametrize("told", [None, "blue", "yellow", "white", "violet", "red"])
def test_a_compound_that_the_photos_contradict_forbids_an_answer(told: str | None) -> None:
    words = [*judge_words("goods_lift_before"), "--json", *(() if told is None else ("--compound", told))]
    content = document(run(*words))
    doubts = {one["message"] for one in content["cautions"] if one["grave"]}
    right = told in (None, "blue")
    assert content["advice"]["move_wheel"] == ("toward-B" if right else "cannot-say")
    assert any(f"You said {told}, but the compound looks blue." in one for one in doubts) is not right


def judged_with(tmp_path: Path, pixels: NDArray[np.uint8], edges: Mapping[str, NDArray[np.float64]]) -> dict[str, Any]:
    """The flank of `dev000_before_M`, judged with a further photo of a left flank."""
    one, again, outline = scene("dev", "dev000_before_M"), tmp_path / "again.jpg", tmp_path / "again.outline.json"
    Image.fromarray(pixels).save(again, quality=85)
    head = {"format": "patternscan-outline", "version": 1, "photo": again.name}
    flank = {name: edge.tolist() for name, edge in edges.items()}
    outline.write_text(json.dumps(head | {"flanks": [{"flank": "left"} | flank]}), encoding="utf-8")
    words = ["judge", "--left", one.photo, "--left-outline", outline_in(tmp_path, one), "--marking", "transfer"]
    return document(run(*words, "--left", again, "--left-outline", outline, "--json"))


def test_one_tooth_photographed_twice_is_one_vote(tmp_path: Path) -> None:
    """Cut out of the same photo, and a second exposure; each would have made the mean of the teeth surer."""
    one = scene("dev", "dev000_before_M")
    photo, edges = load_photo(one.photo), edges_of(one)
    cut = {name: edge - [150, 60] for name, edge in edges.items()}
    for pixels, there in (
        (photo.pixels[60:, 150:], cut),
        second_exposure(photo, edges, 0.02, np.random.default_rng(3)),
    ):
        content = judged_with(tmp_path, pixels, there)
        (told,) = (caution for caution in content["cautions"] if caution["code"] == "tooth-twice")
        assert told["message"].endswith("(dev000_before_M.jpg, again.jpg): it counts as one tooth.")
        assert (content["pooled"]["left"]["teeth"], content["pooled"]["left"]["spread"]) == (1, None)


def test_two_teeth_are_two_votes(tmp_path: Path) -> None:
    """Other marks lie on the metal of this flank of the wheel."""
    other = scene("dev", "dev000_after_M")
    content = judged_with(tmp_path, load_photo(other.photo).pixels, edges_of(other))
    assert content["pooled"]["left"]["teeth"] == 2
    assert "tooth-twice" not in [one["code"] for one in content["cautions"]]


def laid(folder: Path, one: Scene, pixels: NDArray[np.uint8], edges: Mapping[str, NDArray[np.float64]]) -> list[object]:
    """A photo of that flank and its outline in a folder, as words after their options."""
    flank, photo = one.truth["flank"], folder / f"{one.truth['flank']}.jpg"
    folder.mkdir(exist_ok=True)
    Image.fromarray(pixels).save(photo, quality=80)
    outline = folder / f"{flank}.outline.json"
    head = {"format": "patternscan-outline", "version": 1, "photo": photo.name}
    edges_told = {name: edge.tolist() for name, edge in edges.items()}
    outline.write_text(json.dumps(head | {"flanks": [{"flank": flank} | edges_told]}), encoding="utf-8")
    return [f"--{flank}", photo, f"--{flank}-outline", outline]


@pytest.mark.parametrize("again", [False, True])
def test_pieces_of_one_photo_are_no_before_and_after(tmp_path: Path, again: bool) -> None:
    """A second exposure of the same print is another photo, and comparing them tells that nothing moved."""
    words: dict[str, list[object]] = {"before": [], "after": []}
    for one in (scene("dev", "dev000_before_M"), scene("dev", "dev000_before_P")):
        photo, edges = load_photo(one.photo), edges_of(one)
        words["before"] += laid(tmp_path / "before", one, photo.pixels, edges)
        pixels, there = photo.pixels, edges
        if again:
            pixels, there = second_exposure(photo, edges, 0.01, np.random.default_rng(3))
        cut = {name: edge - [110, 60] for name, edge in there.items()}
        words["after"] += laid(tmp_path / "after", one, pixels[60:-40, 110:-70], cut)
    for state, photos in words.items():
        assert run("judge", *photos, "--marking", "transfer", "--out", tmp_path / f"{state}_out").exit_code == 0
    content = document(run("compare", tmp_path / "before_out", tmp_path / "after_out", "--json"))
    assert content["verdict"] == ("no-difference" if again else "not-comparable")
    assert any("look like pieces cut out of one" in why for why in content["comparable"]["why"]) is not again


def at(folder: Path, name: str, clock: str, zone: str = "") -> tuple[Path, Path]:
    """A sample photo as its camera's clock would have it, and its outline."""
    photo, flank = folder / f"{name}.jpg", name.rpartition("_")[2]
    exif = Image.Exif()
    told = exif.get_ifd(ExifTags.IFD.Exif)
    told[ExifTags.Base.DateTimeOriginal] = clock
    if zone:
        told[ExifTags.Base.OffsetTimeOriginal] = zone
    with Image.open(SAMPLES / f"goods_lift_{name}.jpg") as image:
        exif[ExifTags.Base.Orientation] = image.getexif().get(ExifTags.Base.Orientation, 1)
        image.save(photo, exif=exif, quality=92)
    outline = folder / f"{name}.outline.json"
    content = json.loads(outline_of(SAMPLES / f"goods_lift_{name}.jpg").read_text()) | {"photo": photo.name}
    outline.write_text(json.dumps(content), encoding="utf-8")
    assert flank in ("left", "right")
    return photo, outline


def codes_of(result: Result) -> list[str]:
    return [one["code"] for one in document(result)["cautions"]]


@pytest.mark.parametrize(
    ("clocks", "told"),
    [
        ((("2019:03:28 09:00:00", ""), ("2019:03:28 09:20:00", "")), False),
        ((("2019:03:27 16:00:00", ""), ("2019:03:28 09:20:00", "")), True),
        ((("2019:03:28 09:00:00", "+01:00"), ("2019:03:28 12:10:00", "+04:00")), False),
        ((("2019:03:28 09:00:00", "+01:00"), ("2019:03:28 12:10:00", "")), True),
        ((("0000:00:00 00:00:00", ""), ("2019:03:28 12:10:00", "")), False),
    ],
)
def test_flanks_photographed_hours_apart_are_doubted_and_no_time_is_told(
    tmp_path: Path, clocks: tuple[tuple[str, str], tuple[str, str]], told: bool
) -> None:
    words: list[object] = ["judge", "--marking", "transfer", "--json"]
    for flank, clock in zip(("left", "right"), clocks, strict=True):
        photo, outline = at(tmp_path, f"before_{flank}", *clock)
        words += [f"--{flank}", photo, f"--{flank}-outline", outline]
    result = run(*words)
    assert ("taken-apart" in codes_of(result)) is told
    assert document(result)["advice"]["move_wheel"] == "toward-B"
    assert not any(part in result.stdout for part in ("2019:03", "2019-03"))


@pytest.mark.parametrize("exchanged", [False, True])
def test_photos_of_after_that_were_taken_before_those_of_before_are_doubted(tmp_path: Path, exchanged: bool) -> None:
    words: list[object] = ["compare", "--marking", "transfer", "--json"]
    for state, clock in (("before", "2019:03:28 09:00:00"), ("after", "2019:03:28 14:00:00")):
        given = {"before": "after", "after": "before"}[state] if exchanged else state
        for flank in ("left", "right"):
            photo, outline = at(tmp_path, f"{state}_{flank}", clock)
            words += [f"--{given}-{flank}", photo, f"--{given}-{flank}-outline", outline]
    assert ("visits-taken-otherwise" in codes_of(run(*words))) is exchanged


def way_to_b(flank: dict[str, list[list[float]]]) -> NDArray[np.float64]:
    """The step from end A to end B in the photo, in pixels."""
    return np.asarray(np.mean(flank["end_b"], axis=0) - np.mean(flank["end_a"], axis=0))


@pytest.mark.parametrize("photo", [LEFT, RIGHT], ids=lambda photo: photo.stem)
def test_in_a_mirrored_photo_the_a_is_asked_for_at_the_other_end(tmp_path: Path, photo: Path) -> None:
    """Nothing in it tells that it is mirrored, but a person who looks for the painted A sees that it is not there."""
    mirrored = tmp_path / photo.name
    with Image.open(photo) as image:
        ImageOps.mirror(ImageOps.exif_transpose(image)).save(mirrored, quality=92)
    flank = photo.stem.rpartition("_")[2]
    found = document(run("read", mirrored, "--flank", flank, "--marking", "transfer", "--json"))["flanks"][0]["outline"]
    (true,) = json.loads(outline_of(photo).read_text())["flanks"]
    seen = way_to_b(true) * [-1, 1]
    told = way_to_b(found)
    assert seen @ told < -0.9 * np.linalg.norm(seen) * np.linalg.norm(told)
