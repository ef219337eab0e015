"""Judging against a reference print, and by a published table, on the sample photos."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.test_commands import SAMPLES, document, judge_words, run
from tests.cli.test_compare import changed

SHEET = SAMPLES / "goods_lift.toml"


@pytest.fixture(scope="module")
def reference(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The judgement of an as-found print."""
    folder = tmp_path_factory.mktemp("machine") / "as_found"
    assert run(*judge_words("goods_lift_after"), "--out", folder).exit_code == 0
    return folder


def test_a_reference_takes_the_place_of_the_middle_with_its_doubt(reference: Path) -> None:
    plain = document(run(*judge_words("goods_lift_before"), "--json"))
    held = document(run(*judge_words("goods_lift_before"), "--reference", reference, "--json"))
    found = json.loads((reference / "judgement.json").read_text())
    assert held["target"]["reference"] == "as_found"
    assert held["target"]["left_along"] == pytest.approx(found["pooled"]["left"]["along"]["value"], abs=1e-4)
    shift, middle, doubt = (one["shared_shift"]["along"] for one in (held, plain, found))
    assert shift["value"] == pytest.approx(middle["value"] - doubt["value"], abs=2e-4)
    assert shift["high"] - shift["low"] > middle["high"] - middle["low"]
    assert held["advice"]["move_wheel"] == "toward-B"
    assert held["advice"]["shims"]["amount_mm"] is None


@pytest.mark.parametrize("named", [False, True])
def test_a_reference_that_nothing_ties_to_the_machine_is_doubted(reference: Path, tmp_path: Path, named: bool) -> None:
    own = changed(reference, tmp_path / "own.json", gear={"teeth": 46}) if named else reference
    content = document(run(*judge_words("goods_lift_before"), "--sheet", SHEET, "--reference", own, "--json"))
    told = [(one["code"], one["grave"]) for one in content["cautions"]]
    assert (("reference-untold", False) in told) is not named


def test_what_was_asked_of_the_reference_is_asked_again_where_it_is_the_target(reference: Path, tmp_path: Path) -> None:
    """A maker's print that was painted in part alone puts the target at a wrong place, and with it every answer."""
    bare = {"code": "bare-to-end", "message": "Left flank: It is bare.", "remedy": "Was it painted right up to it?"}
    asked = changed(reference, tmp_path / "asked.json", cautions=[bare])
    result = run(*judge_words("goods_lift_before"), "--reference", asked)
    assert "Photos of the reference: Left flank: It is bare. Was it painted" in " ".join(result.stdout.split())


def test_the_report_says_what_the_target_was(reference: Path) -> None:
    result = run(*judge_words("goods_lift_before"), "--reference", reference / "judgement.json", "--full")
    assert "the pattern of the reference as_found/judgement.json" in result.stdout
    assert "Its own uncertainty is counted in." in result.stdout


def test_a_reference_of_another_wheel_is_refused(reference: Path, tmp_path: Path) -> None:
    words = [*judge_words("goods_lift_before"), "--sheet", SHEET]
    other = changed(reference, tmp_path / "other.json", gear={"teeth": 41})
    result = run(*words, "--reference", other)
    assert result.exit_code == 6
    assert "different wheels" in result.stderr
    named = changed(reference, tmp_path / "named.json", machine="Quarry winch")
    assert run(*words, "--reference", named).exit_code == 6


def test_a_reference_must_show_both_flanks_and_other_photos(reference: Path, tmp_path: Path) -> None:
    words = judge_words("goods_lift_after")
    result = run(*words, "--reference", reference)
    assert result.exit_code == 6
    assert "also one of the reference's own" in result.stderr
    pooled = json.loads((reference / "judgement.json").read_text())["pooled"] | {"right": None}
    result = run(*words, "--reference", changed(reference, tmp_path / "half.json", pooled=pooled))
    assert result.exit_code == 6
    assert "does not show both flanks" in result.stderr


def test_two_targets_are_wrong_use(reference: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.toml"
    sheet.write_text("[target]\nleft_along = 0.6\nright_along = 0.4\n")
    result = run(*judge_words("goods_lift_before"), "--sheet", sheet, "--reference", reference)
    assert result.exit_code == 2
    assert "[target]" in result.stderr


def test_a_table_needs_the_film() -> None:
    result = run(*judge_words("goods_lift_before"), "--table", "jgma-1002")
    assert result.exit_code == 2
    assert "--film" in result.stderr
    assert run(*judge_words("goods_lift_before"), "--table", "jgma-1002", "--film", "  ").exit_code == 2
    assert run(*judge_words("goods_lift_before"), "--table", "iso-10064-4", "--film", "thin").exit_code == 2


def test_the_class_stands_with_its_scope_and_source(tmp_path: Path) -> None:
    words = [*judge_words("goods_lift_before"), "--table", "jgma-1002", "--film", "thin, brushed out"]
    result = run(*words, "--out", tmp_path, "--full")
    assert result.exit_code == 0, result.output
    content = json.loads((tmp_path / "judgement.json").read_text())
    assert content["film"] == "thin, brushed out"
    found = content["acceptance"]
    assert (found["table"], found["from_memory"], found["complete"]) == ("jgma-1002", False, True)
    assert set(found["flanks"]) == {"left", "right"}
    assert "from memory" not in result.stdout.casefold()
    for sentence in (found["scope"], "maker's manual outrank this table", "thin, brushed out"):
        assert sentence in result.stdout


def test_what_belongs_to_one_machine_is_refused_for_many(tmp_path: Path) -> None:
    result = run("judge", SAMPLES, "--marking", "transfer", "--film", "thin", "--out", tmp_path)
    assert result.exit_code == 2
    assert "--film belongs to one machine" in result.stderr
