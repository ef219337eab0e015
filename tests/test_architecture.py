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


FOREIGN_PLACES = ("../" + "shared", "bench/" + "dev")
"""Folders outside the project; it has to stand without them."""

MODULE_LINES, FUNCTION_LINES = 300, 50

MODULES = {
    ".".join(path.relative_to(HOUSE).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(HOUSE.rglob("*.py"))
}


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
