"""What pyproject.toml declares is what the code imports, no less and no more."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
DECLARED: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
OWN = {"patternscan", "tests", "sample_images"}
BY_NAME = {"pillow-heif"}
"""Imported by its name, since a sister of it will do as well (``seeing.image.photo``)."""


def distributions(requirements: list[Any]) -> set[str]:
    """Names of the distributions that requirements ask for, as the package index writes them."""
    names = (re.split(r"[<>=!~\[; ]", one, maxsplit=1)[0] for one in requirements if isinstance(one, str))
    return {re.sub(r"[-_.]+", "-", name).lower() for name in names}


def imported(*folders: Path) -> Iterator[str]:
    """Top-level names that modules under these folders import, but for the standard library's and our own."""
    for path in (path for folder in folders for path in folder.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                yield from (alias.name.split(".")[0] for alias in node.names)
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                yield node.module.split(".")[0]


def imported_distributions(*folders: Path) -> dict[str, set[str]]:
    """For each foreign module that is imported, the distributions that may bring it."""
    foreign, known = set(imported(*folders)) - sys.stdlib_module_names - OWN, packages_distributions()
    return {name: {one.lower().replace("_", "-") for one in known.get(name, [name])} for name in foreign}


def test_what_is_declared_is_imported_and_what_is_imported_is_declared() -> None:
    extras = [one for extra in DECLARED["project"]["optional-dependencies"].values() for one in extra]
    declared = distributions([*DECLARED["project"]["dependencies"], *extras])
    used = [ROOT / "patternscan" / folder.name for folder in (ROOT / "patternscan").iterdir() if folder.is_dir()]
    brought = imported_distributions(*(folder for folder in used if folder.name != "training"))
    assert not {name for name, by in brought.items() if not by & declared}, "imported, but not declared"
    assert not declared - BY_NAME - set().union(*brought.values()), "declared, but not imported"


def test_what_tests_import_is_declared_for_them() -> None:
    declared = distributions([*DECLARED["dependency-groups"]["test"], *DECLARED["project"]["dependencies"]])
    brought = imported_distributions(ROOT / "tests")
    assert not {name for name, by in brought.items() if not by & declared}


def test_training_imports_nothing_that_is_not_declared() -> None:
    known = distributions([*DECLARED["dependency-groups"]["training"], *DECLARED["project"]["dependencies"]])
    brought = imported_distributions(ROOT / "patternscan" / "training")
    assert not {name for name, by in brought.items() if not by & known}
