"""Groups of commands that open quickly and fail in plain words."""

from __future__ import annotations

import difflib
import errno
import gc
import os
import re
import signal
import sys
import threading
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import click

from patternscan.errors import CannotWrite, PatternscanError, WrongUse
from patternscan.plain_text import printable, shortened
from patternscan.reporting.text.safety import SAFETY_LINE, SAFETY_TITLE
from patternscan.units import IN_MM

NUMBER = re.compile(r"[+-]?[\d.,]+")
TYPED_WRONG = (
    (re.compile(r"is not a valid integer( range)?\."), "is not a whole number."),
    (re.compile(r"is not a valid float( range)?\."), "is not a number."),
    (re.compile(r"is not in the range ([\d.]+)<=x<=([\d.]+)\."), r"is not from \1 to \2."),
    (re.compile(r"is not in the range x>=([\d.]+)\."), r"is less than \1."),
    (re.compile(r"^Option '(.*)' requires an argument\."), r"Nothing is given behind \1."),
)
"""What click says of a wrong number or an option without its value, and how it is said here."""
TOO_MANY = re.compile(r"Got unexpected extra arguments? \((.*)\)")
COMMAND_FIRST = "Put one before it: 'judge' for photos of both flanks, 'read' for one."
QUOTES = "A name with blanks in it needs quotation marks."
NO_ROOM = frozenset({errno.ENOSPC, errno.EIO, errno.EFBIG})
"""Faults of a file to which the answer is sent by the shell, of which only the system knows the name."""
UNITS = frozenset({*IN_MM, "nm"})
SAFETY_HELP = f"{SAFETY_TITLE}: {SAFETY_LINE} The maker's manual and the local code decide."
"""What the help of every command that leads to shims ends with."""
BY_SIGNAL = 128
"""Exit code after a signal: this and its number, as shells have it; 130 after Ctrl-C."""


@dataclass(frozen=True, slots=True)
class CommandPlace:
    """Where a command is, and what a list of commands says of it."""

    module: str
    name: str
    short_help: str


class PlainGroup(click.Group):
    """A group whose commands are loaded when they are called, and whose failures are two plain sentences."""

    def __init__(self, *args: Any, places: Mapping[str, CommandPlace], **extra: Any) -> None:
        super().__init__(*args, **extra)
        self._places = places

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The names of all commands."""
        return sorted(self._places)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """A command by its name, None when there is none."""
        place = self._places.get(cmd_name)
        if place is None:
            return None
        command: click.Command = getattr(import_module(place.module), place.name)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that is meant; a name that there is none of leads to the nearest one."""
        near = difflib.get_close_matches(args[0], self._places, n=1)
        if near and args[0] not in self._places:
            raise click.UsageError(f"No such command '{args[0]}'. Did you mean '{near[0]}'?", ctx)
        if args[0] not in self._places and "judge" in self._places and os.path.exists(args[0]):
            raise click.UsageError(f"'{args[0]}' is no command. {COMMAND_FIRST}", ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without loading them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, self._places[name].short_help) for name in self.list_commands(ctx)])

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """A number and its unit that a blank parts belong together."""
        return super().parse_args(ctx, _joined(args))

    def main(self, *args: Any, standalone_mode: bool = True, **extra: Any) -> Any:
        """Run as a program; a wrong option ends with two plain sentences and code 2."""
        if standalone_mode:
            _stop_cleanly()
        try:
            code: Any = super().main(*args, **{**extra, "standalone_mode": False})
        except click.exceptions.NoArgsIsHelpError as error:
            error.show()
            code = error.exit_code
        except click.ClickException as error:
            click.echo(printable(_plain(error, _typed(*args, **extra))), err=True)
            click.echo(_right_form(getattr(error, "ctx", None) or self._meant(_typed(*args, **extra))), err=True)
            code = error.exit_code
        except click.Abort:
            click.echo("Stopped.", err=True)
            code = BY_SIGNAL + signal.SIGINT
        if standalone_mode:
            gc.freeze()  # the end would look through all objects for circles, for longer than a photo takes to decode
            sys.exit(code if isinstance(code, int) else 0)
        return code

    def _meant(self, args: Sequence[str]) -> click.Context | None:
        """Where the command stands that was typed, of which some errors know nothing; None where none was."""
        here = click.Context(self, info_name="patternscan")
        name = next((one for one in args if one in self._places), None)
        command = None if name is None else self.get_command(here, name)
        return None if command is None else click.Context(command, here, name)

    def invoke(self, ctx: click.Context) -> object:
        """Run the command; turn every stop into its two sentences and its exit code."""
        try:
            return super().invoke(ctx)
        except PatternscanError as error:
            click.echo(error.found, err=True)
            click.echo(error.remedy, err=True)
            ctx.exit(error.exit_code)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except OSError as error:
            if error.filename is None and error.errno in NO_ROOM:
                _say_no_more()
                click.echo(printable(f"The answer could not be written out: {error.strerror}."), err=True)
                click.echo("Make room, or let it go to the screen.", err=True)
                ctx.exit(CannotWrite.exit_code)
            if error.filename is None:
                raise
            click.echo(printable(f"{error.filename} cannot be used: {error.strerror}."), err=True)
            click.echo("Check its name and place, and who may read and write there.", err=True)
            ctx.exit(WrongUse.exit_code)
        except Exception as error:
            if os.environ.get("PATTERNSCAN_TRACEBACK"):
                raise
            click.echo(f"patternscan itself failed: {type(error).__name__}: {shortened(str(error))}.", err=True)
            click.echo("Please report this with the photo; PATTERNSCAN_TRACEBACK=1 shows where it failed.", err=True)
            ctx.exit(1)


def _say_no_more() -> None:
    """Let what is left of the answer go nowhere, or the end of the program would try it once more."""
    with suppress(OSError, ValueError), open(os.devnull, "wb") as nowhere:
        os.dup2(nowhere.fileno(), sys.stdout.fileno())


def _typed(args: Sequence[str] | None = None, **_: Any) -> Sequence[str]:
    """What was typed after the program's name."""
    return sys.argv[1:] if args is None else args


def _stop_cleanly() -> None:
    """Let a signal that ends the program, or the end of its terminal, unwind it, so that nothing half-written stays."""
    if threading.current_thread() is threading.main_thread():
        for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):
            if hasattr(signal, name):
                signal.signal(getattr(signal, name), _stop)


def _stop(number: int, _: object) -> None:
    click.echo("Stopped.", err=True)
    sys.exit(BY_SIGNAL + number)


def _joined(args: list[str]) -> list[str]:
    """Arguments in which no unit stands apart from its number."""
    joined: list[str] = []
    for arg in args:
        if joined and arg.casefold() in UNITS and NUMBER.fullmatch(joined[-1]):
            joined[-1] += arg
        else:
            joined.append(arg)
    return joined


def _plain(error: click.ClickException, args: Sequence[str]) -> str:
    """What is wrong; a number with a minus is not called an option, nor is a file whose name begins with a dash."""
    if isinstance(error, click.NoSuchOption):
        dashed = next((arg for arg in args if arg.startswith("-") and os.path.lexists(arg)), None)
        if dashed is not None:
            return f"The name {dashed} begins with a dash and was taken for an option. Write it as ./{dashed}."
        if NUMBER.match(error.option_name):
            return "A number with a minus is given where only a plain one fits. Write it without, such as 0.10mm."
    words = error.format_message()
    told = TOO_MANY.match(words)
    if told is not None:
        return f"{told[1]} is more than this command takes. {QUOTES}"
    for pattern, plain in TYPED_WRONG:
        words = pattern.sub(plain, words)
    return words


def _right_form(where: click.Context | None) -> str:
    """The example that the help of the command has, and where the help is; how the teeth were marked is left open."""
    if where is None:
        return "See 'patternscan --help'."
    _, _, example = (where.command.help or "").partition("Example: ")
    words = " ".join(example.partition("\n\n")[0].split()).replace("--marking transfer", "--marking HOW")
    shown = f"For example: {words} - " if words else ""
    return f"{shown}See '{where.command_path} --help'."
