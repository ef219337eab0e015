"""Class limits of JGMA 1002-01 (2003) for worm wheels, as quoted in the KHK gear guide, table 8.4."""

from __future__ import annotations

import pytest

from patternscan.judging.acceptance import ContactClass, contact_class

LENGTH_MM, HEIGHT_MM = 60.0, 12.0


@pytest.mark.parametrize(
    ("print_length_mm", "print_height_mm", "expected"),
    [
        # Worked cases, own arithmetic on the published limits.
        (31.0, 4.9, ContactClass.A),  # 51.7 % long, 40.8 % high
        (31.0, 4.5, ContactClass.B),  # 37.5 % high: the worse of the two decides
        (12.0, 2.4, ContactClass.C),  # 20.0 % and 20.0 %
        (11.9, 6.0, None),  # 19.8 % long
    ],
)
def test_worked_cases(print_length_mm: float, print_height_mm: float, expected: ContactClass | None) -> None:
    assert contact_class(print_length_mm / LENGTH_MM, print_height_mm / HEIGHT_MM) is expected
