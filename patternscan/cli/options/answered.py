"""Values that are typed as they are in the log: lengths with their unit, numbers within bounds."""

from __future__ import annotations

from typing import Any

import click

from patternscan.errors import WrongUse
from patternscan.setting.log.answers import Answer, read_answer


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
