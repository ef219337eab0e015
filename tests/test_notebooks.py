"""Every notebook runs from top to bottom, and is kept without its outputs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

NOTEBOOKS = sorted((Path(__file__).parent.parent / "notebooks").glob("*.ipynb"))


def opened(path: Path) -> Any:
    return nbformat.read(path, as_version=4)  # type: ignore[no-untyped-call]


def test_there_is_a_notebook() -> None:
    assert NOTEBOOKS


@pytest.mark.notebook
@pytest.mark.filterwarnings("default")  # the notebook machinery's own warnings are none of ours
@pytest.mark.study
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_runs_and_every_stage_has_a_picture(path: Path) -> None:
    notebook = opened(path)
    NotebookClient(notebook, timeout=300, resources={"metadata": {"path": str(path.parent)}}).execute()
    outputs = [output for cell in notebook.cells if cell.cell_type == "code" for output in cell.outputs]
    pictures = [output for output in outputs if "image/png" in output.get("data", {})]
    stages = [cell for cell in notebook.cells if cell.cell_type == "markdown" and cell.source.startswith("## ")]
    assert len(pictures) >= len(stages)
    assert [output.text for output in outputs if output.get("name") == "stderr"] == []


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_is_kept_without_outputs(path: Path) -> None:
    code = [cell for cell in opened(path).cells if cell.cell_type == "code"]
    assert all(not cell.outputs and cell.execution_count is None for cell in code)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_notebook_uses_public_names_alone(path: Path) -> None:
    code = "\n".join(cell.source for cell in opened(path).cells if cell.cell_type == "code")
    assert "from patternscan import" in code
    assert "patternscan." not in code
