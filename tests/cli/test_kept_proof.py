"""``proof --keep`` and ``--proof``: ranges made wider by what one's own photos showed."""

from __future__ import annotations

import json
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import msgspec
import pytest
from PIL import Image

from patternscan.errors import WrongUse
from patternscan.frame import Flank, Made, Marking
from patternscan.judging.proof.figures import Figures, QuantityFigures
from patternscan.reporting.documents.kept_proof import KeptProofDocument, kept_proof_document
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET
from patternscan.web.door.code import Doorkeeper
from patternscan.web.door.site import Site
from patternscan.web.work.pool import Pool
from patternscan.workflow.inputs.settings import load_settings
from tests.cli.test_commands import LEFT, document, judge_words, read_words, run
from tests.cli.test_proof import lay_down
from tests.judging.test_kept_proof import figures
from tests.judging.test_proof import painted
from tests.reporting.builders import drawn_reading
from tests.reporting.contents import valid


def keep(path: Path, along: QuantityFigures, up: QuantityFigures, coverage: QuantityFigures, net: str = "") -> Path:
    """The file of a proof with these figures of along, up and coverage."""
    told = Figures(12, 12, 12, None, along, up, coverage)
    path.write_bytes(msgspec.json.encode(kept_proof_document(told, Made.now(), net or CONTACT_NET.sha256)))
    return path


@pytest.fixture(scope="module")
def as_it_is() -> dict[str, Any]:
    """The reading without any proof."""
    return dict(document(run(*read_words(LEFT, "left"), "--json"))["flanks"][0])


def test_a_reading_is_wider_by_as_much_and_nothing_moves(as_it_is: dict[str, Any], tmp_path: Path) -> None:
    kept = keep(tmp_path / "kept.json", figures(12, 0.05, 3), figures(12), figures(12, 0.02, 3))
    result = run(*read_words(LEFT, "left"), "--json", "--proof", kept)
    (flank,) = document(result)["flanks"]
    assert flank["widened"] == {"machines": 12, "along": 0.05, "up": 0.0, "coverage": 0.02}
    assert "widened" not in as_it_is
    for now, before, step in (
        (flank["centroid"]["along"], as_it_is["centroid"]["along"], 0.05),
        (flank["centroid"]["up"], as_it_is["centroid"]["up"], 0.0),
        (flank["coverage"], as_it_is["coverage"], 0.02),
    ):
        assert now["value"] == before["value"]
        assert [before["low"] - now["low"], now["high"] - before["high"]] == pytest.approx([step] * 2, abs=2e-4)
    assert {one["code"] for one in flank["cautions"]} - {one["code"] for one in as_it_is["cautions"]} == {
        "proof-widened"
    }
    told = run(*read_words(LEFT, "left"), "--proof", kept, "--full").stdout
    assert "By what 12 machines of your own showed" in told
    assert "along the face by 5.0 %, from root to tip by 0.0 %, part touched by 2.0 %" in told


def test_a_proof_that_asks_for_nothing_is_told_too(tmp_path: Path) -> None:
    kept = keep(tmp_path / "kept.json", figures(12), figures(12), figures(12))
    told = run(*read_words(LEFT, "left"), "--proof", kept, "--full").stdout
    assert "Your own photos of 12 machines gave no reason to make the ranges wider." in told
    assert "made wider on either side" not in told


def test_few_machines_that_missed_take_the_direction_away(tmp_path: Path) -> None:
    kept = keep(tmp_path / "kept.json", figures(8, 0.1, 6), figures(8), figures(8))
    judged = document(run(*judge_words("goods_lift_before"), "--json", "--proof", kept))
    assert judged["advice"]["move_wheel"] == "cannot-say"
    told = [one["code"] for one in judged["cautions"]]
    assert [told.count(code) for code in ("proof-missed", "proof-few")] == [1, 1]


def test_a_proof_of_another_net_is_told_and_widens(tmp_path: Path) -> None:
    kept = keep(tmp_path / "kept.json", figures(12, 0.05, 3), figures(12), figures(12), net="f" * 64)
    (flank,) = document(run(*read_words(LEFT, "left"), "--json", "--proof", kept))["flanks"]
    assert flank["widened"]["along"] == 0.05
    assert [one["code"] for one in flank["cautions"]][:2] == ["proof-widened", "proof-outdated"]


@pytest.mark.parametrize("content", [b"", b"{}", b"\xff", b'{"format": "patternscan-proof"}'])
def test_a_damaged_file_is_refused(content: bytes, tmp_path: Path) -> None:
    path = tmp_path / "kept.json"
    path.write_bytes(content)
    for words in (("--proof", path), ("--proof", tmp_path / "gone.json")):
        result = run(*read_words(LEFT, "left"), *words)
        assert result.exit_code == WrongUse.exit_code
        found, remedy = result.stderr.splitlines()
        assert "kept proof" in found
        assert "--keep" in remedy


def test_a_faulty_proof_is_refused_before_pages_are_served(tmp_path: Path) -> None:
    result = run("serve", tmp_path / "site", "--no-browser", "--proof", tmp_path / "none.json")
    assert result.exit_code == WrongUse.exit_code
    assert "none.json" in result.stderr


def test_the_pages_read_with_it(tmp_path: Path) -> None:
    kept = keep(tmp_path / "kept.json", figures(12, 0.05, 3), figures(12), figures(12, 0.02, 3))
    site = Site(tmp_path, Doorkeeper("1"), Pool(lambda: ThreadPoolExecutor(1)), kept)
    draft = site.drafts.folder(site.drafts.begin("R. Moss").key).read()
    settings = load_settings(site.settings(replace(draft, marking=Marking.TRANSFER)))
    assert settings.widening is not None
    assert settings.widening.along == 0.05


def test_what_is_kept_names_nothing_and_comes_back(tmp_path: Path) -> None:
    place = tmp_path / "barn_hoist"
    place.mkdir()
    Image.fromarray(drawn_reading(Flank.LEFT).photo.pixels).save(place / "left.png")
    lay_down(place, painted(Flank.LEFT))
    kept = tmp_path / "kept.json"
    result = run("proof", place, "--quick", "--keep", kept)
    assert result.exit_code == 0, result.output
    content = valid(kept.read_text(encoding="utf-8"))
    assert (content["net"], content["along"]["held"]["machines"]) == (CONTACT_NET.sha256, 1)
    assert content["along"]["margin"] is None
    assert not [name for name in ("barn", "left", "Moss") if name in kept.read_text(encoding="utf-8")]
    assert run("proof", place, "--quick", "--keep", kept).exit_code == 7
    assert json.loads(kept.read_bytes()) == content
    assert msgspec.json.decode(kept.read_bytes(), type=KeptProofDocument).along is not None


def test_a_folder_is_read_anew_with_another_proof(tmp_path: Path) -> None:
    (tmp_path / "photos.csv").write_text(
        f"photo,flank,outline\n{LEFT},left,{LEFT.with_suffix('.outline.json')}\n", encoding="utf-8"
    )
    words = ("read", tmp_path / "photos.csv", "--marking", "transfer", "--out", tmp_path / "out", "--overwrite")
    widths = []
    for beyond in (0.05, 0.1):
        kept = keep(tmp_path / "kept.json", figures(12, beyond, 3), figures(12), figures(12))
        assert run(*words, "--proof", kept).exit_code == 0
        (reading,) = (tmp_path / "out" / "photos").rglob("*.reading.json")
        along = json.loads(reading.read_bytes())["flanks"][0]["centroid"]["along"]
        widths.append(along["high"] - along["low"])
    assert widths[1] - widths[0] == pytest.approx(0.1, abs=1e-3)
