"""Sentences of all floors hold a place for options and commands; each door says what is called how there."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import click
import pytest

import patternscan
from patternscan.cautions import caution
from patternscan.handles import ON_TERMINAL, Handle, at_door, named
from patternscan.reporting.text.cautions import caution_remedy
from patternscan.reporting.text.web.page_names import name_on_pages
from patternscan.setting.log.kinds import ENTRY_KINDS

PACKAGE = Path(patternscan.__file__).parent
FLOORS = ("gearing", "seeing", "measuring", "judging", "setting", "reporting", "workflow")
NEVER_ON_A_PAGE = (
    "workflow/batch",
    "workflow/inputs/photo_list.py",
    "workflow/predict.py",
    "workflow/proof",
    "workflow/tags.py",
    "workflow/reference.py",
    "workflow/outputs",
    "reporting/documents/truth.py",
    "reporting/documents/kept_proof.py",
    "reporting/text/sharing.py",
    "reporting/text/tags.py",
    "reporting/text/job/asking.py",
    "reporting/text/job/card.py",
    "reporting/text/reports/brief.py",
    "reporting/text/reports/proof.py",
    "reporting/text/web/door_words.py",
)
"""Folders of many photos, the computed pattern, proof, tags, what the terminal alone asks and prints."""
NO_PLACE_FOR_IT = (
    "Give --flank left or right",
    "but --flank says",
    "with --left and one with --right",
    "--film '",
    "--marking transfer",
    "give --stock",
    "give --seen",
    "give --medium",
    "--overwrite to replace",
    "written by 'patternscan judge",
)
"""What a page always gives itself: the flank, photos, how they were marked, and no files of somebody's own."""
COMMANDS = "|".join(one.stem for one in (PACKAGE / "cli").rglob("*.py"))
COMMAND = re.compile(rf"(?<![\w-])--[a-z]|patternscan (?:{COMMANDS})\b")


def sentences() -> Iterator[str]:
    """Every text with a blank in the code of the floors under the doors, but for docstrings."""
    for path in sorted(path for floor in FLOORS for path in (PACKAGE / floor).rglob("*.py")):
        if not path.relative_to(PACKAGE).as_posix().startswith(NEVER_ON_A_PAGE):
            yield from (re.sub(r"\{at_[^}]*\}", "", one) for one in texts(ast.parse(path.read_text())))


def texts(tree: ast.AST) -> Iterator[str]:
    parts = {id(part) for one in ast.walk(tree) if isinstance(one, ast.JoinedStr) for part in one.values}
    parts |= {id(one.value) for one in ast.walk(tree) if isinstance(one, ast.Expr)}
    for one in ast.walk(tree):
        if isinstance(one, ast.JoinedStr):
            yield "".join(str(part.value) if isinstance(part, ast.Constant) else "(some)" for part in one.values)
        elif isinstance(one, ast.Constant) and isinstance(one.value, str) and id(one) not in parts:
            yield one.value


def test_no_sentence_that_a_page_may_say_names_an_option_or_a_command() -> None:
    examples = {kind.example for kind in ENTRY_KINDS}
    allowed = [*examples, *NO_PLACE_FOR_IT]
    found = [one for one in sentences() if " " in one and COMMAND.search(one)]
    named_in = [one for one in found if not any(words.casefold() in one.casefold() for words in allowed)]
    assert not named_in, "say it with a handle (patternscan.handles)"
    assert found


@pytest.mark.parametrize("handle", Handle)
def test_every_handle_has_its_name_at_both_doors(handle: Handle) -> None:
    with at_door(name_on_pages):
        page = named(handle, "secured NAME")
    terminal = named(handle, "secured NAME")
    assert COMMAND.search(page) is None
    assert COMMAND.search(terminal)


def test_what_the_terminal_names_is_there() -> None:
    main = import_module("patternscan.cli").main
    context = click.Context(main)
    commands = [main.get_command(context, name) for name in main.list_commands(context)]
    options = {one for command in commands for parameter in command.params for one in parameter.opts}
    log = main.get_command(context, "log")
    options |= {
        one for name in log.list_commands(context) for p in log.get_command(context, name).params for one in p.opts
    }
    for words in ON_TERMINAL.values():
        assert set(re.findall(r"--[a-z-]+", words)) <= options
        assert set(re.findall(r"'patternscan ([a-z]+)", words)) <= set(main.list_commands(context))


@pytest.mark.parametrize("kind", ENTRY_KINDS, ids=lambda kind: str(kind.word))
def test_an_entry_goes_by_its_form(kind: object) -> None:
    word, title = kind.word, kind.title  # type: ignore[attr-defined]
    assert name_on_pages(Handle.LOG, f"{word} WORDS") == f"'{title}'"


def test_one_sentence_for_both_doors() -> None:
    doubt = caution("compound-uncertain", seen="blue", rival="violet")
    assert caution_remedy(doubt).startswith("Name the colour with --compound (blue,")
    with at_door(name_on_pages):
        assert caution_remedy(doubt).startswith("Name the colour with 'Colour of the compound' (machine sheet) (blue,")
    assert "--compound" in caution_remedy(doubt)
