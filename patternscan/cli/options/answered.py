"""Values that are typed as the log and the machine sheet take them."""

from __future__ import annotations

import math
import re
from typing import Any

import click

from patternscan.errors import WrongUse
from patternscan.plain_text import shortened
from patternscan.setting.log.answers import Answer, read_answer
from patternscan.setting.machine.allowed import Allowed

ALMOST = re.compile(r"[+-]?\d+,\d+|[+-]?\d*[.,]?\d+\s*[a-z\"]+", re.I)
"""A number with a comma or with its unit."""
PLAIN = "Write it with a point and without its unit, such as 3.15."


class Answered(click.ParamType[Any]):
    """What may be typed is what such a question of the log may be answered with."""

    def __init__(self, answer: Answer) -> None:
        self.answer, self.name = answer, answer.sort.value

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The value that is meant; what cannot be right ends with a plain sentence."""
        try:
            return read_answer(str(value), self.answer)
        except WrongUse as fault:
            self.fail(str(fault), param, ctx)


class AllowedNumber(click.ParamType[float]):
    """What may be typed is a number as a key of the machine sheet may hold one."""

    name = "number"

    def __init__(self, allowed: Allowed) -> None:
        self.allowed = allowed

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number as it was typed, whole where it is whole."""
        try:
            number = float(value)
            number = int(number) if number.is_integer() else number
        except ValueError:
            number = math.nan
        if not self.allowed.holds(number):
            form = f" {PLAIN}" if ALMOST.fullmatch(str(value).strip()) else ""
            self.fail(f"{shortened(str(value))} is given, expected {self.allowed.words}.{form}", param, ctx)
        return number
