"""That the code keeps to its plan: floors and rooms, size, nothing from outside the project."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).parent.parent
HOUSE = ROOT / "patternscan"


FOREIGN_PLACES = ("../" + "shared", "bench/" + "dev")
"""Folders outside the project; it has to stand without them."""

MODULE_LINES, FUNCTION_LINES, ROOM_MODULES = 300, 35, 14
OPTIONAL = {"distributed", "pillow_heif"}
"""Libraries of the extras, which may be imported where they are used."""

MODULES = {
    ".".join(path.relative_to(HOUSE).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(HOUSE.rglob("*.py"))
}


def test_the_plan_of_the_floors_is_kept() -> None:
    """The contracts in pyproject.toml: which floor and room may import which, and where each library may be used."""
    checked = subprocess.run(
        [sys.executable, "-c", "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports())"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert checked.returncode == 0, checked.stdout


def test_modules_and_functions_stay_small() -> None:
    texts = {module: path.read_text(encoding="utf-8") for module, path in MODULES.items()}
    assert {module for module, text in texts.items() if len(text.splitlines()) > MODULE_LINES} == set()
    long = {
        f"{module}.{node.name}"
        for module, text in texts.items()
        for node in functions(text)
        if code_lines(node) > FUNCTION_LINES
    }
    assert long == set()


def test_rooms_stay_small() -> None:
    modules = Counter(path.parent for path in MODULES.values() if path.name != "__init__.py")
    assert {room: number for room, number in modules.items() if number > ROOM_MODULES} == {}


def test_imports_stand_at_the_top_but_those_of_extras() -> None:
    inside = {
        (module, name)
        for module, path in MODULES.items()
        for function in functions(path.read_text(encoding="utf-8"))
        for name in imported(function)
        if name.partition(".")[0] not in OPTIONAL
    }
    assert inside == set()


def imported(function: ast.FunctionDef | ast.AsyncFunctionDef) -> set[str]:
    """Full names of what is imported inside a function."""
    found: set[str] = set()
    for node in ast.walk(function):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(str(node.module))
    return found


def functions(text: str) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function in a module, methods and inner ones too."""
    return [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]


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


def test_a_command_loads_only_what_it_needs() -> None:
    """``read`` of one photo writes no page, searches no outline, works through no folder and judges no machine; a job
    sees no pixels.
    """
    read = loaded("read")
    assert read & {"jinja2", "matplotlib", "reportlab", "patternscan.workflow.batch.run"} == set()
    assert read & {"patternscan.workflow.judge", "patternscan.judging.states.change"} == set()
    assert loaded("job.next") & {"jinja2", "matplotlib", "reportlab", "cv2"} == set()


def loaded(command: str) -> set[str]:
    """The modules that are there once a command is loaded."""
    asked = f"import sys, patternscan.cli.{command}; print(*sys.modules)"
    return set(subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True).stdout.split())
