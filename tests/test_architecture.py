"""The plan of the code as data, and that the code keeps to it."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
HOUSE = ROOT / "patternscan"


def _named(words: str) -> set[str]:
    return set(words.split())


FLOORS: list[dict[str, set[str]]] = [
    {"": _named("__main__")},
    {
        "cli": _named(
            "compare errands folder folder_tables gear_options job_options judge keep_pattern load log next "
            "options outline predict read record shims show standard start"
        )
    },
    {"survey": _named("crew photo_list record spreadsheet summary")},
    {
        "reporting": _named(
            "acceptance_report annotation change_picture change_report check_picture comparison_page delivery "
            "estimate_report flat_flank job_chapters job_charts job_flanks job_page job_pdf job_record "
            "job_tables judgement_page kept_result lettering page pair_picture paper pdf_letters pdf_sheet "
            "pdf_table predicted_picture predicted_report prediction provenance report result web_page "
            "wording"
        )
    },
    {"": _named("inspection")},
    {
        "setting": _named(
            "backlash_rules blank_sheet dial eccentric entries entry_check event_words events found_rules "
            "job_state joblog next_step pattern_rules reading_rules selection sheet sheet_keys shim_rules "
            "shim_sets shims standing stations step turn_effect"
        )
    },
    {
        "judging": _named(
            "acceptance advice change comparability comparison estimate findings identity judged_state "
            "pattern_table response trials"
        )
    },
    {"measuring": _named("interval measurement")},
    {
        "seeing": _named(
            "border camera camera_set colour_groups compound condition contact_net contact_shape contradiction covered "
            "edge_fit edge_pull film film_doubts flank flank_shape hidden joint_look known_wheel mapping outline "
            "outline_evidence outline_refinement outline_search outline_snap photo pose split threads tooth_shape veil "
            "view_places view_pull view_score view_search"
        )
    },
    {"gearing": _named("contact meshing pair wheel_flank worm")},
    {"": _named("cautions errors frame lengths")},
]
"""From the roof down: on each floor the rooms (packages; "" is the house itself) and the modules planned in them."""

LIBRARIES = {
    "click": {"cli"},
    "jinja2": {"reporting"},
    "matplotlib": {"reporting.job_charts", "reporting.job_pdf", "reporting.pdf_letters", "reporting.pdf_sheet"},
    "cv2": {"seeing"},
    "skimage": {"seeing"},
    "PIL": {"seeing.photo", "reporting"},
    "pillow_heif": {"seeing.photo"},
    "distributed": {"survey.crew"},
    "numpy": {
        "gearing",
        "judging.estimate",
        "judging.pattern_table",
        "seeing",
        "measuring",
        "inspection",
        "reporting",
        "synthetic",
    },
}
"""Where each third-party library may be imported: whole rooms or single modules. Others may not be imported at all."""

BESIDE = {"synthetic"}
"""Modules beside the house: they may use what is in it, but nobody in it imports them."""

FOREIGN_PLACES = ("../" + "shared", "bench/" + "dev")
"""Folders outside the project; it has to stand without them."""

MODULE_LINES, FUNCTION_LINES = 300, 50

MODULES = {
    ".".join(path.relative_to(HOUSE).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(HOUSE.rglob("*.py"))
}


def place(module: str) -> int:
    """Number of a module's floor, the roof being 0; -1 when it is not planned."""
    room, _, name = module.rpartition(".")
    if module in BESIDE:
        return 0
    for number, floor in enumerate(FLOORS):
        if name in floor.get(room, set()) or (not room and module in floor):
            return number
    return len(FLOORS) if module == "__init__" else -1


def imports(module: str) -> set[str]:
    """Full names of everything a module imports, wherever in it; ``from a import b`` gives a and a.b."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(MODULES[module].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} imports relatively"
            found |= {str(node.module), *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found


def upward(module: str) -> list[str]:
    """The house's planned modules on higher floors that a module imports."""
    inner = {name.removeprefix("patternscan.") for name in imports(module)} & MODULES.keys()
    return sorted(name for name in inner if -1 < place(name) < place(module))


@pytest.mark.parametrize("module", MODULES)
def test_every_module_is_planned(module: str) -> None:
    assert place(module) >= 0, f"{module} stands on no floor of the plan"


def test_every_planned_module_is_built() -> None:
    planned = {f"{room}.{name}".strip(".") for floor in FLOORS for room, names in floor.items() for name in names}
    assert planned - MODULES.keys() == set()


@pytest.mark.parametrize("module", MODULES)
def test_imports_go_down_only(module: str) -> None:
    assert upward(module) == []


@pytest.mark.parametrize("module", MODULES)
def test_libraries_stay_on_their_floor(module: str) -> None:
    libraries = {name.partition(".")[0] for name in imports(module)} - sys.stdlib_module_names - {"patternscan"}
    rooms = {module, module.partition(".")[0]}
    assert {library for library in libraries if not rooms & LIBRARIES.get(library, set())} == set()


def test_nobody_in_the_house_imports_what_stands_beside_it() -> None:
    beside = {f"patternscan.{name}" for name in BESIDE}
    assert {module for module in MODULES if imports(module) & beside} == set()


@pytest.mark.parametrize("module", MODULES)
def test_modules_and_functions_stay_small(module: str) -> None:
    text = MODULES[module].read_text(encoding="utf-8")
    assert len(text.splitlines()) <= MODULE_LINES
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            assert code_lines(node) <= FUNCTION_LINES, f"{module}.{node.name} is too long"


def code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function's body without its docstring."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return int(body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def test_the_project_stands_without_folders_outside_it() -> None:
    passed_over = {".git", ".venv", "venv", "build", "dist", "__pycache__"}
    kinds = {".py", ".md", ".toml", ".json", ".ipynb", ".yaml", ".html", ".css", ".js", ".svg", ""}
    for folder, inner, names in os.walk(ROOT):
        inner[:] = [name for name in inner if name not in passed_over and not name.endswith("_cache")]
        for path in (Path(folder) / name for name in names if Path(name).suffix in kinds):
            text = path.read_text(encoding="utf-8", errors="replace")
            assert not [place for place in FOREIGN_PLACES if place in text], path


def test_the_door_opens_without_the_heavy_libraries() -> None:
    heavy = "{'cv2', 'skimage', 'scipy', 'matplotlib', 'PIL', 'numpy'}"
    asked = f"import sys, patternscan.cli; print(sorted({heavy} & sys.modules.keys()))"
    loaded = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert loaded.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("module", "imported", "up"),
    [("judging.advice", "cli.judge", True), ("cli.judge", "judging.advice", False), ("frame", "inspection", True)],
)
def test_the_plan_knows_up_from_down(module: str, imported: str, up: bool) -> None:
    assert (place(imported) < place(module)) is up
