"""Judgements read back from a file or a folder, with the pictures beside them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from msgspec import structs
from PIL import Image

from patternscan.errors import InconsistentInputs, PatternscanError, WrongUse
from patternscan.frame import Compound, Flank, Marking
from patternscan.judging.judgement import Judgement
from patternscan.judging.states.change import compare_states
from patternscan.measuring.reading import Reading
from patternscan.reporting.documents.comparison import comparison_document
from patternscan.reporting.documents.judgement import judgement_document
from patternscan.reporting.documents.parts import encode
from patternscan.reporting.documents.reading import reading_document
from patternscan.reporting.drawing.encoding import jpeg_bytes, png_bytes
from patternscan.reporting.kept.files import digests_of, own_files
from patternscan.reporting.kept.judgement import read_judgement
from patternscan.reporting.kept.result import as_kept, read_kept
from patternscan.reporting.pictures.annotation import cut_bare
from patternscan.reporting.pictures.bare_flank import contact_map_image, flat_image
from patternscan.reporting.text.reports.change import change_report
from patternscan.workflow.disk.delivery import deliver
from patternscan.workflow.judge import judge_pair
from patternscan.workflow.read import read_flank
from tests.drawn import drawn_photo, slanted_outline
from tests.reporting.contents import MADE, content


@pytest.fixture(scope="module")
def readings() -> dict[Flank, Reading]:
    # Print near the tip at end A.
    place = (0.10, 0.40, 0.55, 0.95)
    return {
        flank: read_flank(drawn_photo(slanted_outline(flank), place), slanted_outline(flank), Marking.TRANSFER)
        for flank in Flank
    }


@pytest.fixture(scope="module")
def judgement(readings: dict[Flank, Reading]) -> Judgement:
    return judge_pair([readings[Flank.LEFT]], [readings[Flank.RIGHT]])


@pytest.fixture
def folder(tmp_path: Path, judgement: Judgement) -> Path:
    """What ``judge --out`` writes of a judgement and its flat flanks."""
    visit = tmp_path / "visit"
    files = {visit / "judgement.json": encode(judgement_document(judgement, MADE))}
    for flank, (reading,) in (("left", judgement.left), ("right", judgement.right)):
        files[visit / f"{flank}_1.flat.jpg"] = jpeg_bytes(flat_image(reading))
        files[visit / f"{flank}_1.contact.png"] = png_bytes(contact_map_image(reading))
    deliver(files, False)
    return visit


def test_a_judgement_reads_back(tmp_path: Path, judgement: Judgement) -> None:
    path = tmp_path / "judgement.json"
    path.write_bytes(encode(judgement_document(judgement, MADE)))
    state = read_judgement(path)
    assert judgement.comparison.shared is not None
    assert state.shared is not None
    assert state.shared.value == pytest.approx(judgement.comparison.shared.value, abs=1e-4)
    assert state.marking is Marking.TRANSFER
    assert state.compounds == {Compound.BLUE}
    assert state.target == judgement.comparison.target


def test_pictures_of_another_run_beside_a_judgement_that_names_its_own_are_refused(
    folder: Path, judgement: Judgement
) -> None:
    files = {path.name: path.read_bytes() for path in folder.iterdir() if path.suffix != ".json"}
    sealed = structs.replace(judgement_document(judgement, MADE), files=digests_of(files))
    (folder / "judgement.json").write_bytes(encode(sealed))
    assert read_kept(folder).no_pictures is None
    picture = folder / "left_1.flat.jpg"
    picture.write_bytes((folder / "right_1.flat.jpg").read_bytes())
    with pytest.raises(InconsistentInputs, match=r"left_1\.flat\.jpg does not belong"):
        read_kept(folder)
    assert set(own_files(folder / "judgement.json")) == {folder / name for name in files} - {picture}
    picture.unlink()
    assert read_kept(folder).no_pictures is not None


def test_no_name_in_a_judgement_leads_out_of_its_folder(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_bytes(b"mine")
    (tmp_path / "visit").mkdir()
    record = {"files": digests_of({"../mine.txt": b"mine"})}
    (tmp_path / "visit" / "judgement.json").write_text(json.dumps(record))
    assert own_files(tmp_path / "visit" / "judgement.json") == ()


def test_other_files_are_refused(tmp_path: Path, judgement: Judgement, readings: dict[Flank, Reading]) -> None:
    reading = readings[Flank.LEFT]
    damaged = content(judgement_document(judgement, MADE))
    damaged["shared_shift"]["along"]["value"] = "much"
    contents: list[object] = [content(reading_document(reading.photo, [reading], MADE)), damaged, [], 5]
    for other in contents:
        path = tmp_path / "other.json"
        path.write_text(json.dumps(other), encoding="utf-8")
        with pytest.raises(InconsistentInputs):
            read_judgement(path)
    (tmp_path / "text.json").write_text("hello", encoding="utf-8")
    (tmp_path / "deep.json").write_text("[" * 200_000, encoding="utf-8")
    for path in (tmp_path / "text.json", tmp_path / "deep.json", tmp_path / "none.json", tmp_path):
        with pytest.raises(WrongUse):
            read_judgement(path)


@pytest.mark.parametrize("number", [True, "0.1", 10**400, float("nan"), 5.0, None, [], {}])
@pytest.mark.parametrize("place", [("shared_shift", "along", "value"), ("target", "left_along")])
def test_a_damaged_number_is_refused(
    tmp_path: Path, judgement: Judgement, place: tuple[str, ...], number: object
) -> None:
    damaged = content(judgement_document(judgement, MADE))
    table = damaged
    for key in place[:-1]:
        table = table[key]
    table[place[-1]] = number
    path = tmp_path / "judgement.json"
    path.write_text(json.dumps(damaged), encoding="utf-8")
    with pytest.raises(InconsistentInputs):
        read_judgement(path)


def places_in(document: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The way to everything in a document; of a list to its first entry only."""
    if path:
        yield path
    if isinstance(document, dict):
        for key, value in document.items():
            yield from places_in(value, (*path, key))
    elif isinstance(document, list) and document:
        yield from places_in(document[0], (*path, 0))


@pytest.mark.parametrize("wrong", [None, [], [1], {"a": 1}, "x", True, -1, 10**400], ids=lambda wrong: str(wrong)[:9])
def test_whatever_stands_in_a_judgement_it_is_read_or_refused_in_words(
    folder: Path, judgement: Judgement, wrong: object
) -> None:
    gear: dict[str, float | str] = {"module_mm": 3.15, "teeth": 46, "hand": "right"}
    sheet = replace(judgement, identity=replace(judgement.identity, gear=gear))
    whole, sound = content(judgement_document(sheet, MADE)), as_kept(sheet).state
    places = [path for path in places_in(whole) if not {"outline", "advice", "pose"} & set(path)]
    assert len(places) > 100
    for path in places:
        changed = json.loads(json.dumps(whole))
        table = changed
        for key in path[:-1]:
            table = table[key]
        table[path[-1]] = wrong
        (folder / "judgement.json").write_text(json.dumps(changed))
        with suppress(PatternscanError):
            change_report(compare_states(read_kept(folder).state, sound))


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16"])
def test_a_judgement_redirected_by_a_console_that_marks_its_files_reads_back(
    tmp_path: Path, judgement: Judgement, encoding: str
) -> None:
    path = tmp_path / "judgement.json"
    path.write_bytes(encode(judgement_document(judgement, MADE)).decode().encode(encoding))
    assert read_judgement(path).marking is Marking.TRANSFER


def test_a_folder_gives_the_judgement_and_its_pictures(folder: Path, judgement: Judgement) -> None:
    kept, direct = read_kept(folder), as_kept(judgement)
    assert kept.no_pictures is None
    assert kept.state == read_judgement(folder / "judgement.json")
    assert replace(kept.state, made_at=None) == direct.state
    for flank in Flank:
        (one,), (other,) = kept.teeth(flank), direct.teeth(flank)
        assert (one.tooth, one.flat.shape, one.contact.shape) == ("1", (256, 512, 3), (128, 256))
        assert np.array_equal(one.contact, other.contact)
        rows, columns = np.nonzero(one.contact == 255)  # the print lies near the tip at end A
        assert (columns.mean() / 256, rows.mean() / 128) == pytest.approx((0.25, 0.25), abs=0.06)


def test_the_bare_photo_comes_back_where_it_was_kept_and_is_not_missed_where_not(
    folder: Path, judgement: Judgement
) -> None:
    piece = cut_bare(judgement.left[0].photo, [judgement.left[0].outline])
    path = folder / "left_1.close_up.jpg"
    assert read_kept(folder).left[0].close_up is None
    path.write_bytes(jpeg_bytes(piece))
    close_up = read_kept(folder).left[0].close_up
    assert close_up is not None
    assert np.abs(close_up.astype(float) - np.asarray(piece)).mean() < 3
    path.write_bytes(path.read_bytes()[:900])
    kept = read_kept(folder)
    assert kept.left[0].close_up is None
    assert kept.no_pictures is None


def test_the_film_comes_back(folder: Path) -> None:
    path = folder / "judgement.json"
    path.write_text(json.dumps(json.loads(path.read_text()) | {"film": "thin"}))
    assert read_judgement(folder).film == "thin"


def test_a_folder_without_a_judgement_is_wrong_use(tmp_path: Path) -> None:
    with pytest.raises(WrongUse, match=r"holds no judgement\.json"):
        read_kept(tmp_path)


def test_missing_damaged_or_foreign_pictures_are_said_and_no_failure(folder: Path) -> None:
    flat, contact = folder / "left_1.flat.jpg", folder / "right_1.contact.png"
    Image.new("L", (256, 128), 255).save(contact)
    assert read_kept(folder).no_pictures == "Beside judgement.json right_1.contact.png is the map of another result"
    Image.new("L", (64, 32), 255).save(contact)
    assert "right_1.contact.png has another size" in str(read_kept(folder).no_pictures)
    flat.write_bytes(b"no picture")
    assert "a picture of a flank cannot be read" in str(read_kept(folder).no_pictures)
    flat.unlink()
    kept = read_kept(folder)
    assert kept.no_pictures == "Beside judgement.json left_1.flat.jpg is not there"
    assert kept.left == kept.right == ()
    assert kept.state.shared is not None


def test_what_a_proof_did_is_kept_apart_from_other_cautions(folder: Path) -> None:
    path = folder / "judgement.json"
    content = json.loads(path.read_text())
    codes = ("proof-widened", "glare", "proof-few", "proof-outdated")
    content["cautions"] = [{"code": code, "message": f"{code}.", "remedy": "Look.", "grave": False} for code in codes]
    path.write_text(json.dumps(content))
    assert [one.code for one in read_judgement(folder).proven] == [code for code in codes if code != "glare"]


def test_questions_are_kept_and_the_marking_is_the_first_that_forbids_an_answer(folder: Path) -> None:
    path = folder / "judgement.json"
    content = json.loads(path.read_text())
    forbidding = ("too-small", "marking-doubtful")
    content["cautions"] = [
        {"code": code, "message": f"{code}.", "remedy": "Look.", "grave": code in forbidding}
        for code in ("glare", "bare-to-end", *forbidding, "taken-apart")
    ]
    path.write_text(json.dumps(content))
    state = read_judgement(folder)
    assert [one.code for one in state.asked] == ["bare-to-end", "taken-apart"]
    assert [one.code for one in state.grave_cautions] == ["marking-doubtful", "too-small"]


def test_a_result_of_an_early_version_lacks_only_the_doubt_of_length_and_height(folder: Path) -> None:
    path = folder / "judgement.json"
    early_result = json.loads(path.read_text())
    for early in ("film", "gear", "seen_hand", "acceptance", "estimate", "machine_by_folder", "made_at", "by"):
        del early_result[early]
    for early in ("left_doubt", "right_doubt", "reference"):
        del early_result["target"][early]
    for flank in ("left", "right"):
        early_result["pooled"][flank] |= {"length": 0.3, "height": 0.4}
        (reading,) = early_result[flank]
        del reading["made_at"], reading["by"], reading["photo"]["sha256"], reading["photo"]["grey_cells"]
        (part,) = reading["flanks"]
        del part["mapping"], part["medium"]
        part |= {"length": {"value": 0.3}, "height": {"value": 0.4}}
        part["cautions"] = [{"code": "glare", "message": "A lamp.", "remedy": "Turn it.", "grave": False}]
    early_result["cautions"] = [{"code": "glare", "message": "A lamp.", "remedy": "Turn it.", "grave": True}]
    path.write_text(json.dumps(early_result))
    state = read_judgement(folder)
    assert state.left is not None
    assert (state.left.length, state.left.height) == (None, None)
    assert [one.message for one in state.grave_cautions] == ["A lamp."]
    assert read_kept(folder).no_pictures is None
    change = compare_states(state, state)
    assert change.left is not None
    assert (change.left.length, change.left.height) == (None, None)
    assert "Height of the pattern" not in change_report(change)
    assert content(comparison_document(change, MADE))["left"]["length"] is None
