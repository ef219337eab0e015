"""The machine sheet filled in on the phone: read back, kept with its comments, by two people at once."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from patternscan.reporting.text.web import sheet_words
from patternscan.setting.machine.fields import TABLES
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.workflow.job.folder import start_job
from tests.web.served import Phone, heading, phone

SHEET = "/machines/lift/sheet"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    start_job(tmp_path / "lift", "Goods lift")
    return tmp_path / "lift" / "machine.toml"


@pytest.fixture
def here(path: Path) -> Iterator[Phone]:
    with phone(path.parent.parent) as one:
        yield one


def seen(table: str) -> dict[str, str]:
    """What a form gives back of what the sheet said when it was shown, here of a blank one."""
    said = {"name": "Goods lift"} if table == "machine" else {}
    return {f"{one.key}.seen": json.dumps(said.get(one.key)) for one in TABLES[table].fields}


def kept(here: Phone, table: str, **form: Any) -> str:
    """Send a form, confirm what is read back; gives the heading that comes then."""
    form = {**seen(table), **form}
    assert heading(here.post(f"{SHEET}/{table}", **form)) == sheet_words.WHAT_CHANGES
    return heading(here.post(f"{SHEET}/{table}", **form, keep="1"))


@pytest.mark.parametrize(
    ("table", "key", "named"),
    [
        ("gear", "centre_distance_mm", "Centre distance"),
        ("target", "right_along", "0 = end A"),
        ("shims", "carrier", "side shims"),
        ("eccentrics", "span", "Distance"),
        ("dial", "radius", "Distance"),
        ("limits", "backlash_radius", "backlash limit"),
        ("limits", "backlash_of", "backlash limit"),
    ],
)
def test_a_field_says_what_it_is_of_without_its_key(table: str, key: str, named: str) -> None:
    """On the phone no key stands beside it, as it does on the sheet itself."""
    assert named in sheet_words.field_asked(table, key)


@pytest.mark.parametrize("table", list(TABLES))
def test_every_table_has_a_form(here: Phone, table: str) -> None:
    answer = here.get(f"{SHEET}/{table}")
    assert answer.status_code == 200
    assert all(f'name="{field.key}"' in answer.text for field in TABLES[table].fields)


def test_a_blank_sheet_is_filled_with_its_comments_kept(here: Phone, path: Path) -> None:
    before = path.read_text().splitlines()
    page = here.post(f"{SHEET}/shims", **seen("shims"), thickest="0,08", **{"thickest.unit": "in"}).text
    assert "2.03 mm (0.080 in)" in page
    assert read_sheet(path).shims.thickest_mm is None, "nothing is kept before it was confirmed"
    assert kept(here, "shims", thickest="0,08", **{"thickest.unit": "in"}) == sheet_words.SHEET
    after = path.read_text().splitlines()
    (changed,) = [line for line in after if line not in before]
    assert changed.startswith('thickest = "0,08 in" ')
    assert changed.endswith("# the thickest pack that this carrier takes")
    assert read_sheet(path).shims.thickest_mm == pytest.approx(2.032)


def test_shims_and_limits_in_their_rows(here: Phone, path: Path) -> None:
    kept(here, "shims", stock=["0.10", "0.05"], **{"stock.count": ["4", "1"], "stock.unit": "mm"})
    kept(here, "limits", backlash=["6", "16"], **{"backlash.unit": "thou"})
    sheet = read_sheet(path)
    assert sheet.shims.stock.words == "0.10 mm (0.004 in) x 4, 0.05 mm (0.002 in) x 1"
    assert sheet.limits.backlash is not None
    assert sheet.limits.backlash.least_mm == pytest.approx(0.1524)
    form = here.get(f"{SHEET}/shims").text
    assert form.index('value="0.10"') < form.index('value="4"') < form.index('value="0.05"')


def test_two_people_lose_nothing(here: Phone, path: Path) -> None:
    one = {**seen("gear"), "teeth": "31", "keep": "1"}
    other = {**seen("gear"), "starts": "2", "keep": "1"}
    clash = {**seen("gear"), "teeth": "30", "keep": "1"}
    assert here.post(f"{SHEET}/gear", **one).status_code == 200
    assert here.post(f"{SHEET}/gear", **other).status_code == 200
    answer = here.post(f"{SHEET}/gear", **clash)
    assert answer.status_code == 400
    assert "meanwhile written 31" in answer.text
    assert (read_sheet(path).gear.teeth, read_sheet(path).gear.starts) == (31, 2)


@pytest.mark.parametrize(
    ("table", "form", "told"),
    [
        ("gear", {"teeth": "many"}, "does not fit"),
        ("shims", {"holds_shaft": "alone"}, "not which carrier"),
        ("gear", {}, sheet_words.NOTHING_NEW[0]),
        ("photos", {"marking": "painted"}, "does not fit"),
    ],
)
def test_what_does_not_fit_is_said_and_the_form_stays_filled(
    here: Phone, path: Path, table: str, form: dict[str, str], told: str
) -> None:
    before = path.read_bytes()
    answer = here.post(f"{SHEET}/{table}", **seen(table), **form, keep="1")
    assert answer.status_code == 400
    assert told in answer.text
    assert all(f'value="{value}"' in answer.text for value in form.values() if value != "painted")
    assert path.read_bytes() == before


def test_a_faulty_sheet_is_told(here: Phone, path: Path) -> None:
    path.write_text("[gear]\nteeth = 'many'\n")
    assert "gear.teeth" in here.get(f"{SHEET}/").text
    assert 'value="many"' in here.get(f"{SHEET}/gear").text
    path.write_text("[gear\n")
    assert here.get(f"{SHEET}/gear").status_code == 400
