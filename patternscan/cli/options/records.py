"""Options of a command as one typed record: each field carries the option that fills it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from enum import StrEnum
from functools import wraps
from pathlib import Path
from types import NoneType, UnionType
from typing import Annotated, Any, TypeVar, get_args, get_origin, get_type_hints

import click

from patternscan.cli.options.once import Once
from patternscan.cli.options.types import LINE, PATH, Word

Command = Callable[..., None]
Record = TypeVar("Record")
KINDS: Mapping[type, click.ParamType[Any]] = {Path: PATH, str: LINE}


@dataclass(frozen=True, slots=True)
class Parameter:
    """The option of a field; an argument when it has no flag. ``about`` goes to click and outranks the field's type."""

    flag: str | None
    about: Mapping[str, Any]

    def decorator(self, name: str, kind: Any) -> Callable[[Command], Command]:
        """What gives a command this option, under the name of its field."""
        about = {**_by_kind(kind), **self.about}
        if isinstance(about.get("default"), StrEnum):
            about["default"] = about["default"].value
        if self.flag is None:
            about.pop("multiple", None)
            return click.argument(name, **about)
        if not (about.get("multiple") or about.get("is_flag") or "/" in self.flag):
            about["cls"] = Once
        return click.option(self.flag, name, **about)


def option(flag: str, told: str, **about: Any) -> Parameter:
    """An option of the command, and what its help tells of it."""
    return Parameter(flag, {"help": told, **about})


def argument(**about: Any) -> Parameter:
    """An argument of the command."""
    return Parameter(None, about)


def takes(record: type[Any], name: str = "given") -> Callable[[Command], Command]:
    """Gives a command all options of a record, and passes them to it as that record, under ``name``.

    A field is annotated with its option, as ``Annotated[bool, option("--json", "Print JSON.")]``, or is such a record
    itself. Its type says what may be typed; a tuple may be given several times.
    """

    def decorate(command: Command) -> Command:
        @wraps(command)
        def call(**given: Any) -> None:
            filled = _filled(record, given)
            command(**given, **{name: filled})

        decorated: Command = call
        for decorator in reversed(list(_decorators(record))):
            decorated = decorator(decorated)
        return decorated

    return decorate


def _decorators(record: type[Any]) -> Iterator[Callable[[Command], Command]]:
    """Every option in the order of the fields, those of records inside in their place."""
    hints = get_type_hints(record, include_extras=True)
    for field in fields(record):
        kind = hints[field.name]
        if get_origin(kind) is Annotated:
            inner, parameter = get_args(kind)
            yield parameter.decorator(field.name, inner)
        else:
            yield from _decorators(kind)


def _filled(record: type[Record], given: dict[str, Any]) -> Record:
    """The record; what it takes is taken out of ``given``."""
    hints: Mapping[str, type[Any]] = get_type_hints(record)
    values = {name: _filled(kind, given) if is_dataclass(kind) else given.pop(name) for name, kind in hints.items()}
    return record(**values)


def _by_kind(kind: Any) -> dict[str, Any]:
    """What the type of a field says to click; None beside a type means that nothing needs to be given."""
    if isinstance(kind, UnionType):
        (kind,) = (one for one in get_args(kind) if one is not NoneType)
    if get_origin(kind) is tuple:
        return {"multiple": True, **_by_kind(get_args(kind)[0])}
    if kind is bool:
        return {"is_flag": True}
    if issubclass(kind, StrEnum):
        return {"type": Word(kind)}
    return {"type": KINDS.get(kind, kind)}
