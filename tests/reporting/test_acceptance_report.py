"""What is said of a table's class: the class with its doubt, the film, the scope, and who outranks it."""

from __future__ import annotations

import pytest

from patternscan.frame import Flank
from patternscan.judging.acceptance import TABLES, Acceptance, find_classes
from patternscan.judging.comparison import PooledFlank, Target, compare_flanks
from patternscan.measuring.interval import Interval
from patternscan.reporting.text.reports.acceptance import SCOPES, SOURCES, TITLES, acceptance_lines, acceptance_section


def accepted(table: str, right: bool = True, film: str = "thin") -> Acceptance:
    """A left flank of 52 % length and 35 % height, a right flank that is short."""
    half = Interval.around(0.5, 0.05)
    flanks = [
        PooledFlank(flank, 1, half, half, half, length, Interval(0.35, 0.32, 0.41), None)
        for flank, length in ((Flank.LEFT, Interval(0.52, 0.48, 0.56)), (Flank.RIGHT, Interval(0.15, 0.1, 0.25)))
    ]
    return find_classes(compare_flanks(flanks[0], flanks[1] if right else None, Target()), table, film)


def test_each_flank_has_length_height_and_the_worse_of_the_two() -> None:
    # JGMA 1002-01, as quoted in the KHK gear guide, table 8.4: A from 50 and 40 %, B from 35 and 30 %, C from 20 %.
    lines = acceptance_lines(accepted("jgma-1002"))
    assert lines[0] == "Both flanks together: below class C, the worse of the two flanks."
    assert lines[1] == (
        "Left flank: length 52 % (48 to 56 %) of the face width, class A; height 35 % (32 to 41 %) of the flank, "
        "class B; the worse of the two counts: class B. Within "
        "the range of the reading it may be anything from class B to class A."
    )
    assert "below class C" in lines[2]


@pytest.mark.parametrize("table", TABLES)
def test_film_scope_source_and_the_maker_are_always_named(table: str) -> None:
    text = "\n".join(acceptance_lines(accepted(table, film="thin *brushed*")))
    assert r"thin \*brushed\*" in text  # CommonMark 0.31, 2.4: a backslash before a sign makes it plain
    assert SCOPES[table] in text
    assert SOURCES[table] in text
    assert "maker's manual outrank this table" in text


def test_one_flank_alone_gets_no_class_for_the_pair() -> None:
    assert "no class, because a flank was not read" in acceptance_lines(accepted("jgma-1002", right=False))[0]


def test_every_table_has_its_words() -> None:
    assert TABLES.keys() == TITLES.keys() == SCOPES.keys() == SOURCES.keys()


def test_no_table_no_section() -> None:
    assert acceptance_section(None) == {}
    assert list(acceptance_section(accepted("jgma-1002"))) == ["By the table JGMA 1002-01 (2003), worm wheels"]
