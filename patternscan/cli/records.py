"""Options of a command as one typed record: each field carries the option that fills it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import wraps
from typing import Any, TypeVar, get_type_hints

import click

Command = Callable[..., None]
Record = TypeVar("Record")


@dataclass(frozen=True, slots=True)
class Parameter:
    """The option or argument of a field, by the field's name."""

    decorator: Callable[[str], Callable[[Command], Command]]


def option(*flags: str, **about: Any) -> Parameter:
    """An option of the command; ``about`` goes to click."""
    return Parameter(lambda name: click.option(*flags, name, **about))


def argument(**about: Any) -> Parameter:
    """An argument of the command; ``about`` goes to click."""
    return Parameter(lambda name: click.argument(name, **about))


def takes(record: type[Any], name: str = "given") -> Callable[[Command], Command]:
    """Gives a command all options of a record, and passes them to it as that record, under ``name``.

    A field is annotated with its option, as ``Annotated[bool, option("--json")]``, or is such a record itself.
    """

    def decorate(command: Command) -> Command:
        @wraps(command)
        def call(**given: Any) -> None:
            filled = _filled(record, given)
            command(**given, **{name: filled})

        decorated: Command = call
        for field, parameter in reversed(list(_parameters(record))):
            decorated = parameter.decorator(field)(decorated)
        return decorated

    return decorate


def _parameters(record: type[Any]) -> Iterator[tuple[str, Parameter]]:
    """Every option with the name of its field, those of records inside in their place."""
    hints = get_type_hints(record, include_extras=True)
    for field in fields(record):
        kind = hints[field.name]
        if is_dataclass(kind) and isinstance(kind, type):
            yield from _parameters(kind)
        else:
            yield field.name, next(one for one in kind.__metadata__ if isinstance(one, Parameter))


def _filled(record: type[Record], given: dict[str, Any]) -> Record:
    """The record; what it takes is taken out of ``given``."""
    hints: Mapping[str, type[Any]] = get_type_hints(record)
    values = {name: _filled(kind, given) if is_dataclass(kind) else given.pop(name) for name, kind in hints.items()}
    return record(**values)
