"""What a person types: words however written, lengths with their unit, numbers within bounds."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any

import click

from patternscan.plain_text import letters_of, one_line, shortened
from patternscan.seeing.geometry.told_medium import WORDS, ToldMedium


class NamedPath(click.Path):
    """A path that is not empty, as the name in a shell's variable is that was never set: it would mean where one is."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """The path that is meant."""
        if not str(value):
            self.fail("The name is empty.", param, ctx)
        return super().convert(value, param, ctx)


PATH, FOLDER = (NamedPath(path_type=Path, readable=False) for _ in range(2))
PATH.name, FOLDER.name = "file", "folder"
"""Who may not read it is told so where it is read, with the code of that stop."""


class Line(click.ParamType[str]):
    """A person's words, made one clean line."""

    name = "text"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:  # noqa: ARG002
        """The words on one line."""
        return one_line(str(value))


LINE = Line()


class Choice(click.Choice[str]):
    """Words to choose from; ``meaning`` says what they mean, to a person who typed none of them."""

    def __init__(self, words: Iterable[str], meaning: str = "") -> None:
        super().__init__([*words], case_sensitive=False)
        self.meaning = meaning

    def get_invalid_choice_message(self, value: Any, ctx: click.Context | None) -> str:
        """Which words there are, and what they mean."""
        told = super().get_invalid_choice_message(value, ctx)
        return f"{told} {self.meaning}" if self.meaning else told


class Word(Choice):
    """A word of an enumeration, by its value."""

    def __init__(self, words: type[StrEnum], meaning: str = "") -> None:
        super().__init__([word.value for word in words], meaning)
        self.words = words

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> StrEnum:
        """The member that is meant."""
        return self.words(super().convert(str(value), param, ctx))


class LooseWord(Word):
    """A word of an enumeration, however it is written: rub-off, rub off, RUBOFF; ``short`` are other ways to say it."""

    def __init__(self, words: type[StrEnum], short: Mapping[str, StrEnum] | None = None, meaning: str = "") -> None:
        super().__init__(words, meaning)
        self.meant = {**{letters_of(one): one for one in words}, **(short or {})}

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> StrEnum:
        """The member that is meant."""
        return super().convert(self.meant.get(letters_of(str(value)), value), param, ctx)


class MediumWord(click.ParamType[ToldMedium]):
    """What was photographed and which side of it, in one word."""

    name = "medium"

    def get_metavar(self, param: click.Parameter, ctx: click.Context) -> str:  # noqa: ARG002
        """The words there are."""
        return f"[{'|'.join(WORDS)}]"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> ToldMedium:
        """What is meant by the word."""
        return value if isinstance(value, ToldMedium) else WORDS[Choice(WORDS).convert(str(value), param, ctx)]


class Pixel(click.ParamType[tuple[float, float]]):
    """A place in a photo as X,Y in pixels."""

    name = "X,Y"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[float, float]:
        """The place; what is none ends with a plain sentence."""
        numbers = re.fullmatch(r"\s*(\d{1,6}(?:\.\d+)?)\s*,\s*(\d{1,6}(?:\.\d+)?)\s*", str(value))
        if numbers is None:
            self.fail(f"{shortened(str(value))} is no place in a photo; write it as 1200,850.", param, ctx)
        return float(numbers[1]), float(numbers[2])


PIXEL = Pixel()
