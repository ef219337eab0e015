"""The job card for the workshop: what is to be filled in by hand, in the order of work, with this machine's limits."""

from __future__ import annotations

import math
from collections.abc import Iterator

from patternscan.reporting.text.job.words import span_words
from patternscan.reporting.text.safety import SAFETY_LINE
from patternscan.reporting.text.table import Table
from patternscan.setting.log.words import PLACE_NAMES, ShimPlace
from patternscan.setting.machine.sheet import Limit, Sheet
from patternscan.setting.state.checks import thickest_at
from patternscan.units import length_words

NO_LIMIT = "limit:"
TRIALS = 5
"""As many trials have a row; most wheels take fewer."""
TYPE_IN = "Type it in later: patternscan log --job FOLDER asks for the values one at a time."
GAP = "\u00a0"
BOTH = f"{GAP * 20}/"
"""Room for two values."""
Row = tuple[str, str, str]


def card_tables(sheet: Sheet) -> tuple[Table, ...]:
    """The tables of the card, each with what is to be done, its limit, and room for the values."""
    head = ("", "Limit", "Value")
    return (
        Table("1  Before any work, each day", ("Hung, landed, isolated, locked, tried", "Date and time"), DAYS),
        Table("2  Gone once it is apart", head, tuple(_as_found(sheet))),
        Table("3  New parts and seat", head, tuple(_parts(sheet))),
        Table("4  Before blueing", head, tuple(_plays(sheet))),
        Table("5  Trials", TRIAL_HEAD, tuple((str(number), *("",) * 5) for number in range(1, TRIALS + 1))),
        Table("6  Closing", head, tuple(_closing(sheet))),
    )


DAYS = tuple((f"Day {number}, name:", "") for number in (1, 2, 3))
TRIAL_HEAD = ("Trial", "Shims A", "Shims B", "Teeth", "End play", "Moved toward")


def card_safety() -> str:
    """What stands on top."""
    return SAFETY_LINE


def _as_found(sheet: Sheet) -> Iterator[Row]:
    yield "Oil drained", "", ""
    for place in ShimPlace:
        yield f"Shims under {PLACE_NAMES[place]}, upper / lower", _thickest(place, sheet), BOTH
    yield "Outboard stand, bolt by bolt: how many, how thick", "", _numbered(4)
    if sheet.eccentrics is not None:
        yield "Marks of the eccentrics: hole at A / at B", "", BOTH
    yield from _plays(sheet)
    yield _backlash(sheet)
    yield "Old pattern photographed: left / right, end mark in view", "", BOTH


def _thickest(place: ShimPlace, sheet: Sheet) -> str:
    most_mm = thickest_at(place, sheet)
    return f"at most {length_words(most_mm)}" if math.isfinite(most_mm) else ""


def _plays(sheet: Sheet) -> Iterator[Row]:
    limits = sheet.limits
    yield "End play of the worm", _limit(limits.worm_end_play), ""
    yield "End play of the wheel shaft", _limit(limits.wheel_end_play), ""
    if limits.outboard_alignment_mm is not None:
        yield "Outboard bearing out of line, high / low", f"at most {length_words(limits.outboard_alignment_mm)}", BOTH


def _backlash(sheet: Sheet) -> Row:
    radius = "" if sheet.dial.radius_mm is None else f", dial {length_words(sheet.dial.radius_mm)} from the axis"
    return f"Backlash round the wheel{radius}", _limit(sheet.limits.backlash), _numbered(sheet.dial.positions)


def _parts(sheet: Sheet) -> Iterator[Row]:
    yield "Number on the old wheel / the new wheel", "", BOTH
    yield "Parts replaced", "", ""
    for name, most_mm in (
        ("Run-out of the wheel's seat", sheet.limits.seat_run_out_mm),
        ("Run-out of the worm", sheet.limits.worm_run_out_mm),
        ("Shafts out of square", sheet.limits.squareness_mm),
    ):
        yield name, NO_LIMIT if most_mm is None else f"at most {length_words(most_mm)}", ""


def _closing(sheet: Sheet) -> Iterator[Row]:
    yield "Bolts tightened, carrier A / carrier B", "Nm:", BOTH
    yield "Closed; seen by", "", ""
    yield "Pattern photographed through the port: left / right", "", BOTH
    yield _backlash(sheet)
    yield "Compound cleaned off, guards back", "", ""
    yield "Oil filled: which, how many litres", "", ""
    yield "Signed", "", ""


def _numbered(count: int) -> str:
    return (GAP * 8).join(f"{number}:" for number in range(1, count + 1))


def _limit(limit: Limit | None) -> str:
    return NO_LIMIT if limit is None else span_words((limit.least_mm, limit.most_mm))
