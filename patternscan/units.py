"""Lengths as a mechanic writes them: millimetres, inches or thousandths of an inch, always with the unit."""

from __future__ import annotations

import math
import re

from patternscan.errors import WrongUse
from patternscan.plain_text import quoted

MM_PER_INCH = 25.4
"""Exact by definition of the international inch (1959)."""
IN_MM = {"mm": 1.0, "in": MM_PER_INCH, "inch": MM_PER_INCH, '"': MM_PER_INCH, "thou": MM_PER_INCH / 1000}
"""What one of each unit is in millimetres."""
WRITTEN = re.compile(r'([+-]?\d*\.?\d+)\s*(mm|inch|in|thou|")', re.ASCII)
DECIMAL_COMMA = re.compile(r"(?<![\d.,]),(?=\d)|(?<=\d),(?=\d{1,2}(?!\d))|(?<=\b0),(?=\d)")
"""A comma in place of the point; not one before three digits, which may part thousands, unless a 0 stands before it."""
TORQUE_WRITTEN = re.compile(r"(\d*\.?\d+)\s*(nm|n m|lbf?[ -]?ft|ft[ -]?lbf?)", re.ASCII)
NM_PER_LBF_FT = 1.3558179483
"""From the pound-force (4.4482216153 N) and the foot (0.3048 m), both exact by definition."""
LONGEST_MM = 5000.0
THIN_MM, VERY_THIN_MM = 0.1, 0.03
"""Below these a shim's thousandths of a millimetre count where it has some, or always."""


def parse_length(text: str) -> float:
    """A length in mm from text such as "0.10 mm", "0.004 in" or "4 thou". Raises WrongUse without a unit.

    >>> parse_length("4 thou")
    0.1016
    """
    pointed = DECIMAL_COMMA.sub(".", " ".join(text.split()).casefold())
    found = WRITTEN.fullmatch(pointed)
    if found is None:
        comma = " with a point, not a comma," if "," in pointed else ""
        raise WrongUse(
            f"{quoted(text)} is not a length with its unit.", f"Write it{comma} as 0.10mm, 0.004in or 4thou."
        )
    length = round(float(found[1]) * IN_MM[found[2]], 6)
    if abs(length) > LONGEST_MM:
        raise WrongUse(f"{quoted(text)} is longer than anything here.", "Check the number and its unit.")
    return length


def parse_torque(text: str) -> float:
    """A torque in Nm from text such as "45 Nm" or "33 lbf ft". Raises WrongUse without a unit.

    >>> round(parse_torque("33 lbf ft"), 1)
    44.7
    """
    found = TORQUE_WRITTEN.fullmatch(DECIMAL_COMMA.sub(".", " ".join(text.split()).casefold()))
    if found is None:
        raise WrongUse(f"{quoted(text)} is not a torque with its unit.", "Write it as 45Nm or 33lbf-ft.")
    return float(found[1]) * (1.0 if found[2].startswith("n") else NM_PER_LBF_FT)


def torque_words(torque_nm: float) -> str:
    """A torque in newton metres with pounds-force feet beside it.

    >>> torque_words(45)
    '45 Nm (33 lbf ft)'
    """
    return f"{torque_nm:.0f} Nm ({torque_nm / NM_PER_LBF_FT:.0f} lbf ft)"


def length_words(length_mm: float) -> str:
    """A length in millimetres with the inch beside it, which has one more decimal where it would be none else.

    >>> length_words(0.1), length_words(0.01)
    ('0.10 mm (0.004 in)', '0.01 mm (0.0004 in)')
    """
    inches = f"{length_mm / MM_PER_INCH:.3f}"
    if float(inches) == 0 and round(length_mm, 2):
        inches = f"{length_mm / MM_PER_INCH:.4f}"
    return f"{length_mm:.2f} mm ({inches} in)"


def fine_length_words(length_mm: float) -> str:
    """The same for shims, which can be thinner than a hundredth tells apart: with more decimals where they are needed.

    >>> fine_length_words(0.0254), fine_length_words(0.1)
    ('0.025 mm (0.0010 in)', '0.10 mm (0.004 in)')
    """
    hundredths = round(length_mm, 3) * 100
    whole = math.isclose(hundredths, round(hundredths), abs_tol=1e-6) and not 0 < abs(length_mm) < VERY_THIN_MM
    if whole or abs(length_mm) >= THIN_MM:
        return length_words(length_mm)
    return f"{length_mm:.3f} mm ({length_mm / MM_PER_INCH:.4f} in)"


def count_words(number: int, one: str, several: str = "") -> str:
    """So many of something.

    >>> count_words(1, "hole"), count_words(-2, "hole"), count_words(3, "tooth", "teeth")
    ('1 hole', '-2 holes', '3 teeth')
    """
    return f"{number} {one if abs(number) == 1 else several or f'{one}s'}"
