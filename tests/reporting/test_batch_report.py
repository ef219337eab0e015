"""What came of many machines, in a line for each."""

from __future__ import annotations

from patternscan.reporting.text.reports.batch import ANSWER_FIRST, Row, batch_report


def test_a_machine_whose_answer_hangs_on_a_question_says_so_before_its_direction() -> None:
    machines: list[Row] = [
        {"code": 0, "machine": name, "move": "toward-A", "findings": "", "cautions": codes}
        for name, codes in (("North", "glare bare-to-end"), ("South", "glare"))
    ]
    lines = batch_report([], machines, []).splitlines()
    assert f"- North: {ANSWER_FIRST} Move the wheel toward end A." in lines
    assert "- South: Move the wheel toward end A." in lines
