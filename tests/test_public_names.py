"""The names that the package offers: each is there, documented, and loaded only when it is used."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import patternscan


@pytest.mark.parametrize("name", patternscan.__all__)
def test_every_public_name_is_there_and_explained(name: str) -> None:
    thing = getattr(patternscan, name)
    assert name == "__version__" or thing.__doc__
    assert name in dir(patternscan)


def test_what_is_listed_typed_and_loaded_are_the_same_names() -> None:
    tree = ast.parse(Path(str(patternscan.__file__)).read_text(encoding="utf-8"))
    typed = next(node for node in tree.body if isinstance(node, ast.If))
    imported = {
        (f"{node.module}".removeprefix("patternscan."), alias.name)
        for node in typed.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    loaded = {(home, name) for home, names in patternscan._HOMES.items() for name in names}
    assert imported == loaded
    assert set(patternscan.__all__) == {name for _, name in loaded} | {"__version__"}


def test_no_other_name_is_made_up() -> None:
    with pytest.raises(AttributeError, match="no attribute 'nonsense'"):
        patternscan.nonsense  # type: ignore[attr-defined]  # noqa: B018


def test_the_package_itself_loads_no_heavy_library() -> None:
    code = "import sys, patternscan; print(sorted({'numpy', 'cv2', 'PIL', 'click'} & sys.modules.keys()))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"
