"""The door: click lives only here. Heavy libraries are imported inside the commands, so that --help is quick."""

from __future__ import annotations

import os
import sys
from typing import Any

import click

from patternscan import __version__
from patternscan.errors import PatternscanError


class PlainGroup(click.Group):
    """A group whose failures are two plain sentences on standard error, never a traceback."""

    def main(self, *args: Any, standalone_mode: bool = True, **extra: Any) -> Any:
        """Run as a program; a wrong option ends with two plain sentences and code 2."""
        try:
            code: Any = super().main(*args, **{**extra, "standalone_mode": False})
        except click.exceptions.NoArgsIsHelpError as error:
            error.show()
            code = error.exit_code
        except click.ClickException as error:
            where = getattr(error, "ctx", None)
            click.echo(error.format_message(), err=True)
            click.echo(f"See '{where.command_path if where else 'patternscan'} --help'.", err=True)
            code = error.exit_code
        except click.Abort:
            click.echo("Stopped.", err=True)
            code = 1
        if standalone_mode:
            sys.exit(code if isinstance(code, int) else 0)
        return code

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
        except Exception as error:
            if os.environ.get("PATTERNSCAN_TRACEBACK"):
                raise
            click.echo(f"patternscan itself failed: {type(error).__name__}: {error}.", err=True)
            click.echo("Please report this with the photo; PATTERNSCAN_TRACEBACK=1 shows where it failed.", err=True)
            ctx.exit(1)


@click.group(cls=PlainGroup, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="patternscan")
def main() -> None:
    """Read photos of blued worm-wheel teeth and say which way to move the wheel.

    Mark the outline of a flank with 'outline', read one flank with 'read', judge both flanks with 'judge',
    and look at two states of a machine with 'compare'. 'predict' computes the pattern from the gear data.

    A whole setting job is kept with 'start' and 'log'; 'next' says what is due, 'record' puts it on paper.

    Isolate the machine and land the load before you work at the gear. The maker's manual and the local code decide.
    """


def _add_commands() -> None:
    from patternscan.cli.compare import compare
    from patternscan.cli.judge import judge
    from patternscan.cli.log import log
    from patternscan.cli.next import next_command
    from patternscan.cli.outline import outline
    from patternscan.cli.predict import predict
    from patternscan.cli.read import read
    from patternscan.cli.record import record
    from patternscan.cli.shims import shims
    from patternscan.cli.start import sheet, start

    for command in (outline, read, judge, compare, predict, sheet, shims, start, log, next_command, record):
        main.add_command(command)


_add_commands()
