"""What a page says names no commands and options: the sentences of all floors, as they stand in the code."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import patternscan
from patternscan.reporting.text.web.phone_words import named_kind, on_form, on_phone

PACKAGE = Path(patternscan.__file__).parent
FLOORS = ("gearing", "seeing", "measuring", "judging", "setting", "reporting", "workflow")
NEVER_ON_A_PAGE = (
    "workflow/batch",
    "workflow/predict.py",
    "workflow/proof",
    "workflow/truth.py",
    "workflow/tags.py",
    "workflow/reference.py",
    "workflow/outputs",
    "reporting/documents/truth.py",
    "reporting/documents/kept_proof.py",
    "reporting/text/sharing.py",
    "reporting/text/job/asking.py",
    "reporting/text/job/card.py",
    "reporting/text/reports/brief.py",
    "reporting/text/web",
)
"""Folders of many photos, the computed pattern, proof, tags, what the terminal alone asks and prints."""
NO_PLACE_FOR_IT = ("Give --flank left or right", "but --flank says", "with --left and one with --right", "--film '")
"""What a page always gives: the flank, a photo, and no table of classes."""
COMMANDS = "|".join(one.stem for one in (PACKAGE / "cli").glob("*.py"))
COMMAND = re.compile(rf"(?<![\w-])--[a-z]|patternscan (?:{COMMANDS})\b")


def sentences() -> Iterator[str]:
    """Every text with a blank in the code of the floors under the pages, but for docstrings."""
    for path in sorted(path for floor in FLOORS for path in (PACKAGE / floor).rglob("*.py")):
        if not path.relative_to(PACKAGE).as_posix().startswith(NEVER_ON_A_PAGE):
            yield from texts(ast.parse(path.read_text()))


def texts(tree: ast.AST) -> Iterator[str]:
    parts = {id(part) for one in ast.walk(tree) if isinstance(one, ast.JoinedStr) for part in one.values}
    parts |= {id(one.value) for one in ast.walk(tree) if isinstance(one, ast.Expr)}
    for one in ast.walk(tree):
        if isinstance(one, ast.JoinedStr):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "(some)" for part in one.values)
        elif isinstance(one, ast.Constant) and isinstance(one.value, str) and id(one) not in parts:
            yield one.value


NAMING = [
    one
    for one in dict.fromkeys(sentences())
    if " " in one and COMMAND.search(one) and not any(words in one for words in NO_PLACE_FOR_IT)
]


def test_there_are_such_sentences() -> None:
    assert len(NAMING) > 20


@pytest.mark.parametrize("sentence", NAMING)
def test_no_page_names_a_command(sentence: str) -> None:
    said = on_phone(sentence)
    assert COMMAND.search(said) is None, f"say in phone_words what a page says in place of: {said}"


@pytest.mark.parametrize("words", ["Take the photo again.", "He wrote -- twice.", "A net -x.", ""])
def test_other_words_stay_as_they_are(words: str) -> None:
    assert on_phone(words) == words


def test_a_form_has_no_stand_ins() -> None:
    assert on_form("log PLACE with --stands high or low") == "Log the place with stands high or low"


def test_the_kind_that_a_sentence_names() -> None:
    assert named_kind("First log what was found: patternscan log shims-found carrier-A THICKNESS.") == "shims-found"
    assert named_kind("Take the photo again.") is None
