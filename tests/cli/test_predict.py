"""``patternscan predict``: what it prints and writes, that options and sheet agree, how it stops."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from patternscan.cli import main
from patternscan.seeing.image.no_photo import DRAWN_HERE
from tests.reporting.contents import valid

SHEET = Path(__file__).parents[2] / "sample_images" / "goods_lift.toml"
BARN = {
    "--module": 6.3, "--starts": 1, "--teeth": 40, "--worm-diameter": 63, "--face-width": 45,
    "--hand": "right", "--profile": "zi", "--oversize": 0.03, "--pressure-angle": 20,
}  # fmt: skip
"""An invented pair of one start."""
BARN_SHEET = """[gear]
module_mm = 6.3
starts = 1
teeth = 40
worm_diameter_mm = 63
face_width_mm = 45
hand = "right"
profile = "zi"
hob_oversize = 0.03
pressure_angle_deg = 20
"""


def run(*words: object) -> Result:
    result = CliRunner().invoke(main, ["predict", *map(str, words)])
    assert "Traceback" not in result.output
    return result


def pair_words(**changes: object) -> list[object]:
    """The options of the barn pair; ``face_width=40`` changes one, None leaves it out."""
    pair = BARN | {f"--{name.replace('_', '-')}": value for name, value in changes.items()}
    return [word for option, value in pair.items() if value is not None for word in (option, value)]


def computed(*words: object) -> dict[str, Any]:
    """The document but for its time; standard output must hold nothing else."""
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    return untimed(result.stdout)


def untimed(document: str) -> dict[str, Any]:
    """What a document holds beside the time when it was made, which it must tell with its offset."""
    content = valid(document)
    assert datetime.fromisoformat(content.pop("made_at")).utcoffset() is not None
    return content


def test_the_result_names_both_flanks() -> None:
    content = computed(*pair_words())
    assert (content["format"], content["version"]) == ("patternscan-prediction", 1)
    for flank in ("left", "right"):
        assert set(content[flank]) == {"along", "up", "coverage"}
        assert all(0 < number < 1 for number in content[flank].values())
    assert content["film_um"] == 10
    assert content["assumed"] == {}
    assert content["move"] is None
    assert any("cylindrical" in limit for limit in content["limits"])


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_wheel_toward_a_carries_both_patterns_toward_b(hand: str) -> None:
    # Common practice, as in the repair manuals of worm reducers: the pattern goes against the wheel, on both flanks.
    middle = computed(*pair_words(hand=hand))
    for shift, sign in ((0.1, 1), (-0.1, -1)):
        moved = computed(*pair_words(hand=hand), "--wheel-toward-a", shift)
        for flank in ("left", "right"):
            assert sign * (moved[flank]["along"] - middle[flank]["along"]) > 0.05


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_positive_shaft_angle_carries_left_toward_a_and_right_toward_b(hand: str) -> None:
    # Gear makers' guides name crossed contact as the sign of a shaft angle error (common practice); the sense follows
    # from the frame: the worm turned clockwise, seen from the wheel.
    square = computed(*pair_words(hand=hand))
    turned = computed(*pair_words(hand=hand), "--shaft-angle-error", 0.05)
    assert turned["left"]["along"] < square["left"]["along"] - 0.02
    assert turned["right"]["along"] > square["right"]["along"] + 0.02


@pytest.mark.parametrize(("hand", "left_goes"), [("right", -1), ("left", 1)])
def test_axes_too_far_apart_carry_each_flank_to_its_leaving_end(hand: str, left_goes: int) -> None:
    # Screw rule: a right-hand worm pushes teeth along u x n, u the way its surface runs, n from worm to wheel. So
    # when it drives the right flank its surface runs toward end B, its leaving end; a left-hand worm the other way.
    near, far = computed(*pair_words(hand=hand)), computed(*pair_words(hand=hand), "--centre-error", 0.2)
    assert left_goes * (far["left"]["along"] - near["left"]["along"]) > 0.01
    assert left_goes * (far["right"]["along"] - near["right"]["along"]) < -0.01


def test_the_half_turn_swaps_the_flanks_and_the_ends() -> None:
    # Turning the whole set by 180 degrees about the common perpendicular maps it onto itself: left becomes right, A
    # becomes B, and a wheel toward A stands toward B. An error of centre distance or shaft angle stays as it is.
    errors = ["--centre-error", 0.05, "--shaft-angle-error", -0.02]
    one, other = (computed(*pair_words(), *errors, "--wheel-toward-a", shift) for shift in (0.08, -0.08))
    for flank, opposite in (("left", "right"), ("right", "left")):
        assert one[flank]["along"] + other[opposite]["along"] == pytest.approx(1, abs=2e-3)
        assert one[flank]["up"] == pytest.approx(other[opposite]["up"], abs=2e-3)
        assert one[flank]["coverage"] == pytest.approx(other[opposite]["coverage"], abs=2e-3)
    assert one["shared_shift"]["along"] == pytest.approx(-other["shared_shift"]["along"], abs=2e-3)
    assert one["opposed_shift"]["along"] == pytest.approx(other["opposed_shift"]["along"], abs=2e-3)


def test_sheet_and_options_agree_and_options_go_first(tmp_path: Path) -> None:
    sheet = tmp_path / "barn.toml"
    sheet.write_text(BARN_SHEET)
    by_option, by_sheet = computed(*pair_words()), computed("--sheet", sheet)
    assert by_sheet == by_option
    changed = computed("--sheet", sheet, "--oversize", 0.06)
    assert changed["pair"] == by_sheet["pair"] | {"hob_oversize": 0.06}
    assert changed == computed(*pair_words(oversize=0.06))


def test_what_is_not_known_is_assumed_and_said() -> None:
    words = pair_words(oversize=None, profile=None, pressure_angle=None)
    assert computed(*words)["assumed"] == {"pressure_angle_deg": 20.0, "profile": "zi", "hob_oversize": 0.04}
    assert "Not given, so assumed: pressure angle 20 degrees, thread form ZI, hob 4 % larger" in run(*words).stdout


def test_what_is_missing_is_named_with_both_ways_to_give_it() -> None:
    result = run(*pair_words(hand=None, module=None))
    assert result.exit_code == 2
    assert result.stdout == ""
    found, remedy = result.stderr.strip().splitlines()
    assert "the module (--module or module_mm)" in found
    assert "the hand (--hand or hand)" in found
    assert "--teeth" not in found
    assert "--sheet" in remedy


def test_a_move_is_shown_before_and_after() -> None:
    content = computed(*pair_words(), "--wheel-toward-a", 0.15, "--move-wheel", -0.1)
    assert content["move"]["wheel_toward_a_mm"] == -0.1
    assert content["placement"]["wheel_toward_a_mm"] == 0.15
    alone = computed(*pair_words(), "--wheel-toward-a", 0.05)
    after = content["move"]["after"]
    assert after["placement"]["wheel_toward_a_mm"] == 0.05
    assert {flank: after[flank] for flank in ("left", "right")} == {flank: alone[flank] for flank in ("left", "right")}
    assert abs(after["shared_shift"]["along"]) < abs(content["shared_shift"]["along"])


def test_everything_is_written_or_nothing(tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = run(*pair_words(), "--move-wheel", 0.1, "--out", out)
    assert result.exit_code == 0, result.output
    assert {path.name for path in out.iterdir()} == {"prediction.json", "prediction.md", "prediction.png"}
    assert (out / "prediction.md").read_text(encoding="utf-8").strip() == result.stdout.strip()
    kept = untimed((out / "prediction.json").read_text())
    assert set(kept.pop("files")) == {"prediction.md", "prediction.png"}
    assert kept == computed(*pair_words(), "--move-wheel", 0.1)
    with Image.open(out / "prediction.png") as picture:
        assert picture.format == "PNG"
        assert picture.info == {"Comment": DRAWN_HERE}
    (out / "prediction.json").unlink()
    before = {path: path.read_bytes() for path in out.iterdir()}
    assert run(*pair_words(), "--out", out).exit_code == 7
    assert {path: path.read_bytes() for path in out.iterdir()} == before
    assert run(*pair_words(), "--out", out, "--overwrite").exit_code == 0


def test_json_goes_alone_to_standard_output_beside_files(tmp_path: Path) -> None:
    assert computed(*pair_words(), "--out", tmp_path / "out")["format"] == "patternscan-prediction"


def test_the_sheet_is_never_written_over(tmp_path: Path) -> None:
    sheet = tmp_path / "prediction.json"
    sheet.write_text(BARN_SHEET)
    assert run("--sheet", sheet, "--out", tmp_path, "--overwrite").exit_code == 7
    assert [path.name for path in tmp_path.iterdir()] == ["prediction.json"]
    assert sheet.read_text() == BARN_SHEET


def test_no_contact_is_null() -> None:
    # Teeth and threads are two modules high (common practice): axes three modules too far apart cannot touch.
    words = pair_words(module=1, worm_diameter=10, face_width=7)
    content = computed(*words, "--centre-error", 3)
    for flank in ("left", "right"):
        assert content[flank] == {"along": None, "up": None, "coverage": 0.0}
    assert content["shared_shift"] == content["opposed_shift"] == {"along": None}
    assert content["backlash_change_mm"] is None
    assert "no contact" in run(*words, "--centre-error", 3, "--move-wheel", 0.1).stdout


@pytest.mark.parametrize("option", ["--module", "--starts", "--teeth", "--worm-diameter", "--pressure-angle",
                                    "--face-width", "--oversize", "--film", "--wheel-toward-a", "--centre-error",
                                    "--shaft-angle-error", "--move-wheel"])  # fmt: skip
@pytest.mark.parametrize("value", ["nan", "inf", "-inf", "1e300", "-1e9", "wide", "", "6,3", "1.0.0"])
def test_numbers_that_are_none_or_too_large_are_refused(option: str, value: str) -> None:
    result = run(*pair_words(), option, value)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert len(result.stderr.strip().splitlines()) == 2
    assert option in result.stderr


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["--teeth", "40.5"], 2),
        (["--starts", "0"], 2),
        (["--hand", "upper"], 2),
        (["--profile", "zk"], 2),
        (["--film", "0"], 2),
        (["--face-width", "90"], 2),
        (["--worm-diameter", "20"], 2),
        (["--module", "1", "--worm-diameter", "10", "--face-width", "7", "--wheel-toward-a", "4"], 2),
        (["--module", "1", "--worm-diameter", "10", "--face-width", "7", "--move-wheel", "-4"], 2),
        (["--module", "1", "--worm-diameter", "10", "--face-width", "7", "--centre-error", "-1.5"], 2),
        (["--sheet", "no_such.toml"], 2),
        (["--reading", "no_such.json"], 2),
        (["photo.jpg"], 2),
    ],
)
def test_every_stop_is_two_sentences_and_writes_nothing(tmp_path: Path, words: list[str], code: int) -> None:
    result = run(*pair_words(), *words, "--out", tmp_path / "out")
    assert result.exit_code == code, result.output
    assert result.stdout == ""
    assert len(result.stderr.strip().splitlines()) == 2
    assert not (tmp_path / "out").exists()


def judgement(machine: str | None = None) -> dict[str, Any]:
    """A judgement of plain numbers, as 'judge --json' writes them."""

    def number(value: float) -> dict[str, float]:
        return {"value": value, "low": value - 0.04, "high": value + 0.04}

    def flank(along: float) -> dict[str, Any]:
        return {"teeth": 1, "along": number(along), "up": number(0.55), "coverage": number(0.3)}

    return {
        "format": "patternscan-judgement",
        "version": 1,
        "tool": "patternscan 0.1.0",
        "machine": machine,
        "left": [],
        "right": [],
        "pooled": {"left": flank(0.66), "right": flank(0.71)},
        "target": {"left_along": 0.5, "right_along": 0.5},
        "shared_shift": {"along": number(0.18)},
        "opposed_shift": {"along": number(-0.02)},
        "advice": {
            "move_wheel": "toward-B",
            "shims": {"carrier": None, "change": "unknown", "amount_mm": None},
            "because": "Both flanks carry the pattern toward end B.",
            "findings": [],
        },
        "cautions": [],
    }


def test_a_reading_is_set_beside_the_computed_pattern(tmp_path: Path) -> None:
    reading = tmp_path / "judgement.json"
    reading.write_text(json.dumps(judgement()))
    content = computed(*pair_words(), "--reading", reading)
    assert content["measured"]["left"]["along"] == pytest.approx(judgement()["pooled"]["left"]["along"], abs=1e-4)
    result = run(*pair_words(), "--reading", reading, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert "read 66 % (62 to 70 %) from end A" in result.stdout


def test_a_reading_of_another_machine_is_refused(tmp_path: Path) -> None:
    reading = tmp_path / "judgement.json"
    reading.write_text(json.dumps(judgement("Barn hoist")))
    result = run("--sheet", SHEET, "--reading", reading, "--out", tmp_path / "out")
    assert result.exit_code == 6
    assert "Barn hoist" in result.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("content", ["{}", "[]", "not json"])
def test_a_reading_must_be_a_judgement(tmp_path: Path, content: str) -> None:
    reading = tmp_path / "other.json"
    reading.write_text(content)
    assert run(*pair_words(), "--reading", reading).exit_code in (2, 6)


def test_help_says_how_in_plain_words() -> None:
    result = run("--help")
    assert result.exit_code == 0
    words = " ".join(result.output.split())
    assert "Example: patternscan predict " in words
    for option in (*BARN, "--film", "--wheel-toward-a", "--centre-error", "--shaft-angle-error", "--move-wheel"):
        assert option in words


@pytest.mark.parametrize(("words", "film_um"), [([], 8), (["--film", "12"], 12)])
def test_the_film_comes_from_the_sheet_unless_it_is_given(tmp_path: Path, words: list[str], film_um: float) -> None:
    sheet = tmp_path / "barn.toml"
    sheet.write_text(BARN_SHEET + "[photos]\nfilm_um = 8\n", encoding="utf-8")
    assert computed("--sheet", sheet, *words)["film_um"] == film_um
