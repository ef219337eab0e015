"""The machine sheet: what is read, and every way it can be wrong."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patternscan.errors import WrongUse
from patternscan.frame import Compound, End, Marking
from patternscan.gearing.pair import Rim
from patternscan.judging.advice import ShimRule
from patternscan.judging.comparison import Target
from patternscan.setting.machine.sheet import Dial, Eccentrics, Gear, Limit, Limits, Sheet, SideShims
from patternscan.setting.machine.sheet_file import read_sheet
from patternscan.setting.machine.stock import parse_stock

FULL = """
[machine]
name = "Goods lift at the old mill"
[gear]
module_mm = 6.3
starts = 2
teeth = 31
worm_diameter_mm = 56.7
pressure_angle_deg = 20
hand = "right"
face_width_mm = 43.8
profile = "zi"
hob_oversize = 0.02
rim = "straight"
[photos]
marking = "transfer"
compound = "blue"
[target]
left_along = 0.55
right_along = 0.45
[shims]
carrier = "A"
adding_moves_wheel = "toward-B"
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "sheet.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_full_sheet(tmp_path: Path) -> None:
    sheet = read_sheet(written(tmp_path, FULL))
    assert sheet == Sheet(
        machine="Goods lift at the old mill",
        gear=Gear(6.3, 2, 31, 56.7, 20, "right", 43.8, "zi", 0.02, "straight"),
        marking=Marking.TRANSFER,
        compound=Compound.BLUE,
        target=Target(0.55, 0.45),
        shims=SideShims(End.A, ShimRule(End.A, End.B)),
    )


JOB = """
[photos]
film = "thin, by brush"
film_um = 8
teeth_per_flank = 4
[shims]
carrier = "B"
adding_moves_wheel = "unknown"
thickest = "1.5 mm"
stock = ["0.10 mm x 4", "0.005 in x 6"]
[eccentrics]
holes = 12
throw = "3 mm"
span = "300 mm"
widest_hole = 3.5
numbers_rise = "anticlockwise"
more_backlash = "lower"
[dial]
radius = "260 mm"
positions = 6
[limits]
worm_end_play = ["4 thou", "6 thou"]
wheel_end_play = ["0.05 mm", "0.15 mm"]
backlash = ["0.15 mm", "0.4 mm"]
outboard_alignment = "0.05 mm"
"""


def test_what_a_setting_job_needs(tmp_path: Path) -> None:
    sheet = read_sheet(written(tmp_path, JOB))
    assert (sheet.film, sheet.film_um, sheet.teeth_per_flank) == ("thin, by brush", 8, 4)
    assert sheet.shims == SideShims(End.B, None, 1.5, parse_stock(["0.10 mm x 4", "0.005 in x 6"]))
    assert sheet.shim_rule is None
    assert sheet.eccentrics == Eccentrics(
        holes=12, throw_mm=3, span_mm=300, widest_hole=3.5, more_backlash=-1, clockwise=False
    )
    assert sheet.dial == Dial(260, 6)
    assert sheet.limits.worm_end_play == Limit(0.1016, 0.1524)  # the inch is 25.4 mm
    assert sheet.limits.outboard_alignment_mm == 0.05


def test_a_rim_is_throated_unless_the_sheet_says_straight(tmp_path: Path) -> None:
    text = FULL.partition("[photos]")[0]
    straight = read_sheet(written(tmp_path, text)).gear
    throated = read_sheet(written(tmp_path, text.replace('rim = "straight"', ""))).gear
    assert (straight.worm_pair().rim, throated.worm_pair().rim) == (Rim.STRAIGHT, Rim.THROATED)
    assert replace(straight.worm_pair(), rim=Rim.THROATED) == throated.worm_pair()
    with pytest.raises(WrongUse, match=r'gear\.rim is .flat., expected "throated" or "straight"'):
        read_sheet(written(tmp_path, '[gear]\nrim = "flat"\n'))


def test_without_limits_on_the_sheet_there_are_none(tmp_path: Path) -> None:
    assert read_sheet(written(tmp_path, "[limits]\n")).limits == Limits(None, None, None, None)


@pytest.mark.parametrize(("reading_mm", "within"), [(0.0998, False), (0.1, True), (0.15, True), (0.1502, False)])
def test_a_limit_holds_its_ends(reading_mm: float, within: bool) -> None:
    assert Limit(0.1, 0.15).holds([reading_mm]) is within


def test_an_empty_sheet_changes_nothing(tmp_path: Path) -> None:
    assert read_sheet(written(tmp_path, "")) == Sheet()


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("[gears]\nteeth = 31", "[gears] is not known (did you mean gear?)"),
        ("[gear]\ntooth = 31", "gear.tooth is not known (did you mean teeth?)"),
        ('[gear]\nface_width_mm = "0.94 in"', "expected a number from 3 to 1000 mm (without its unit: 23.876)"),
        ("[gear]\nface_width_mm = 1.5", "expected a number from 3 to 1000 mm (written in inches? 1 in is 25.4 mm)"),
        ("[gear]\nmodule_mm = 630", "gear.module_mm is 630, expected a number from 0.5 to 40 mm"),
        ("[gear]\nstarts = true", "gear.starts is True, expected a whole number from 1 to 12"),
        ("[gear]\nstarts = 2.5", "gear.starts is 2.5, expected a whole number"),
        ("[gear]\nmodule_mm = nan", "gear.module_mm is nan"),
        ('[gear]\nhand = "R"', 'gear.hand is \'R\', expected "right" or "left"'),
        ('[photos]\nmarking = "print"', 'photos.marking is \'print\', expected "transfer" or "rub-off"'),
        ("[target]\nleft_along = 55", "target.left_along is 55, expected a number from 0 to 1"),
        ('[shims]\nadding_moves_wheel = "toward-A"', "[shims] says what adding does but not under which carrier"),
        ("[shims]\nthickest = 2", "shims.thickest is 2, expected a length with its unit"),
        ('[shims]\nstock = ["0.10 mm"]', "expected a list of shims with their number"),
        ('[shims]\nstock = "0.10 mm x 4"', "expected a list of shims with their number"),
        ('[limits]\nbacklash = ["0.5 mm", "0.2 mm"]', "limits.backlash is ['0.5 mm', '0.2 mm'], expected least before"),
        ("[limits]\nbacklash = [0.2, 0.5]", "expected least before most, each with its unit"),
        ('[limits]\nworm_endplay = ["0 mm", "1 mm"]', "(did you mean worm_end_play?)"),
        ('[dial]\nradius = "260"', "dial.radius is '260', expected a length with its unit"),
        ("[eccentrics]\nholes = 12\nwidest_hole = 13.5", "widest_hole is 13.5, but there are only 12 holes"),
        ('[eccentrics]\nmore_backlash = "up"', 'expected "higher" or "lower" or "unknown"'),
        ("gear = 3", "gear is not a table; write [gear] on a line of its own"),
        ("module_mm = 3", "module_mm stands under no table; write [gear] on a line above it"),
        ("modul = 3", "modul stands under no table; write its [table] on a line above it"),
        ("[gear", "cannot be understood"),
        ("[gear]\nmodule_mm = 6,3", "cannot be understood at line 2: 'module_mm = 6,3'"),
        ("[gear]\nmodule_mm = 6.3 mm", "cannot be understood at line 2: 'module_mm = 6.3 mm'"),
        ("[gear]\nhand = \u201cright\u201d", "cannot be understood at line 2: 'hand = \u201cright\u201d'"),
        ("[gear]\n[gear]\n", "cannot be understood at line 2: '[gear]'"),
    ],
)
def test_faults_are_named(tmp_path: Path, text: str, part: str) -> None:
    with pytest.raises(WrongUse) as stop:
        read_sheet(written(tmp_path, text))
    assert part in stop.value.found


def test_a_word_to_choose_is_taken_however_it_is_written(tmp_path: Path) -> None:
    text = '[gear]\nhand = "Right"\nrim = " Straight"\n[photos]\nmarking = "Rub off"\n[shims]\ncarrier = "a"\n'
    sheet = read_sheet(written(tmp_path, text))
    assert (sheet.gear.hand, sheet.gear.rim, sheet.marking) == ("right", "straight", Marking.RUB_OFF)
    assert sheet.shims.carrier is End.A


def test_all_faults_are_named_at_once(tmp_path: Path) -> None:
    with pytest.raises(WrongUse) as stop:
        read_sheet(written(tmp_path, '[gear]\nteeth = 3\nhand = "up"\n[shim]\n'))
    assert all(part in stop.value.found for part in ("gear.teeth", "gear.hand", "[shim]"))


def test_no_sheet_there(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(WrongUse):
            read_sheet(path)


@settings(deadline=None, max_examples=60)
@given(content=st.binary(max_size=60))
def test_any_bytes_are_a_sheet_or_wrong_use(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = tmp_path_factory.mktemp("sheets") / "sheet.toml"
    path.write_bytes(content)
    with contextlib.suppress(WrongUse):
        assert isinstance(read_sheet(path), Sheet)


def test_a_sheet_saved_with_a_mark_in_front(tmp_path: Path) -> None:
    """Some editors put the bytes EF BB BF before the text (Unicode standard, byte order mark)."""
    path = tmp_path / "machine.toml"
    path.write_bytes(b'\xef\xbb\xbf[machine]\nname = "Mill hoist"\n')
    assert read_sheet(path).machine == "Mill hoist"


def test_an_outline_given_for_the_sheet_is_called_no_sheet(tmp_path: Path) -> None:
    path = tmp_path / "left.outline.json"
    path.write_text('{"format": "patternscan-outline"}', encoding="utf-8")
    with pytest.raises(WrongUse, match="is no machine sheet but a file of this tool"):
        read_sheet(path)


def test_a_picture_given_as_sheet_is_called_no_text(tmp_path: Path) -> None:
    path = tmp_path / "machine.toml"
    path.write_bytes(b"\xff\xd8\xff\xe0")
    with pytest.raises(WrongUse, match="is not plain text"):
        read_sheet(path)


@pytest.mark.parametrize(
    ("distance", "worm", "teeth", "module"), [(67, 44, 30, 3.0), (47.25, 19.5, 30, 2.5), (252, 80, 53, 8.0)]
)
def test_the_centre_distance_serves_in_place_of_the_module(
    tmp_path: Path, distance: float, worm: float, teeth: int, module: float
) -> None:
    """First pair: worked example of the KHK gear handbook (from memory); the others by hand, a = (d1 + m z2) / 2."""
    text = f"[gear]\ncentre_distance_mm = {distance}\nworm_diameter_mm = {worm}\nteeth = {teeth}\n"
    assert read_sheet(written(tmp_path, text)).gear.module_mm == pytest.approx(module)
    assert read_sheet(written(tmp_path, text + "module_mm = 2.0\n")).gear.module_mm == 2.0
    alone = read_sheet(written(tmp_path, f"[gear]\ncentre_distance_mm = {distance}\n"))
    assert alone.gear == Gear()


def test_a_centre_distance_that_fits_no_pair_is_a_fault(tmp_path: Path) -> None:
    with pytest.raises(WrongUse, match="centre_distance_mm does not fit"):
        read_sheet(written(tmp_path, "[gear]\ncentre_distance_mm = 20\nworm_diameter_mm = 80\nteeth = 53\n"))


def test_where_end_a_is_and_what_holds_the_shaft(tmp_path: Path) -> None:
    sheet = read_sheet(written(tmp_path, '[machine]\nend_a = "motor side"\n[shims]\ncarrier = "A"\n'))
    assert (sheet.end_a, sheet.shims.alone) == ("motor side", None)
    for word, alone in (("alone", True), ("both", False)):
        text = f'[shims]\ncarrier = "A"\nholds_shaft = "{word}"\n'
        assert read_sheet(written(tmp_path, text)).shims.alone is alone
    with pytest.raises(WrongUse, match="which carrier has the shims"):
        read_sheet(written(tmp_path, '[shims]\nholds_shaft = "both"\n'))
