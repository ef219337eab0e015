"""An option that holds one thing: given twice with two, neither is passed over in silence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click


class Once(click.Option):
    """An option that may be repeated only with the same value."""

    def add_to_parser(self, parser: Any, ctx: click.Context) -> None:  # noqa: ARG002
        """Let the parser keep all that was typed, where it would keep the last."""
        parser.add_option(obj=self, opts=self.opts, dest=self.name, action="append", nargs=self.nargs)

    def handle_parse_result(
        self, ctx: click.Context, opts: Mapping[str, Any], args: list[str]
    ) -> tuple[Any, list[str]]:
        """The one value that was typed. Raises click's UsageError for two."""
        typed = list(dict.fromkeys(opts.get(self.name, ())))
        if len(typed) > 1:
            raise click.UsageError(f"{self.opts[0]} is given twice, as {typed[0]} and as {typed[1]}. Which?", ctx)
        return super().handle_parse_result(ctx, {**opts, self.name: typed[0]} if typed else opts, args)
