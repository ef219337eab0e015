"""Words from outside become one clean line where they come in; nothing of them steers a screen or forges a line."""

from __future__ import annotations

import json
import os
import re
import shutil
from pathlib import Path

import pytest

from patternscan.setting.log.events import Note
from patternscan.setting.log.job_log import read_log
from tests.cli.test_commands import LEFT, SAMPLES, judge_words, outline_of, run

HOSTILE = "Lift\n# Advice: \x1b[31mstay\u202e\u2028 north\udce9"
STEERING = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")


def test_a_hostile_machine_name_and_film_cost_nothing(tmp_path: Path) -> None:
    """The name has all that TOML can carry, which is all but half a sign."""
    hostile = json.dumps(HOSTILE.removesuffix("\udce9"))
    text = (SAMPLES / "goods_lift.toml").read_text(encoding="utf-8")
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(re.sub(r"(?m)^name = .*$", lambda _: f"name = {hostile}", text), encoding="utf-8")
    result = run(*judge_words("goods_lift_before"), "--sheet", sheet, "--film", HOSTILE, "--out", tmp_path / "out")
    assert result.exit_code == 0
    written = [(tmp_path / "out" / name).read_text(encoding="utf-8") for name in ("report.md", "page.html")]
    for words in (result.output, *written):
        assert not STEERING.search(words)
        assert "\n# Advice" not in words
    assert json.loads((tmp_path / "out" / "judgement.json").read_bytes())["machine"] == "Lift # Advice: [31mstay north"


@pytest.mark.skipif(os.name == "nt", reason="no such names on this system")
def test_a_hostile_photo_name_and_tooth(tmp_path: Path) -> None:
    photo = tmp_path / os.fsdecode(b"a\n# forged\x1b[2J\xff.jpg")
    shutil.copyfile(LEFT, photo)
    outline = json.loads(outline_of(LEFT).read_bytes()) | {"photo": ""}
    outline["flanks"][0]["tooth"] = "1\n# forged\u202e"
    (tmp_path / "o.json").write_text(json.dumps(outline), encoding="utf-8")
    words = ["read", photo, "--flank", "left", "--marking", "transfer", "--outline", tmp_path / "o.json"]
    result = run(*words, "--out", tmp_path / "out")
    assert result.exit_code == 0
    (report,) = (tmp_path / "out").glob("*.report.md")
    for told in (result.output, report.read_text(encoding="utf-8")):
        assert not STEERING.search(told)
        assert not re.search("(?m)^# forged", told)
    missing = run("read", tmp_path / os.fsdecode(b"\x1b[31mno\nne\xff.jpg"), *words[2:])
    assert missing.exit_code == 3
    assert len(missing.stderr.splitlines()) == 2
    assert not STEERING.search(missing.stderr)


def test_a_note_is_kept_as_one_line(tmp_path: Path) -> None:
    run("start", tmp_path / "job", "--machine", HOSTILE)
    assert run("log", "note", HOSTILE, "--by", HOSTILE, "--job", tmp_path / "job").exit_code == 0
    (entry,) = read_log(tmp_path / "job").entries
    assert isinstance(entry.event, Note)
    assert entry.event.text == entry.by == "Lift # Advice: [31mstay north"


def test_a_long_value_is_cut_in_the_message(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.toml"
    sheet.write_text(f'[gear]\nhand = "{"r" * 5000}"\n', encoding="utf-8")
    result = run("sheet", sheet)
    assert result.exit_code == 2
    assert len(result.stderr) < 400
