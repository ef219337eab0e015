"""``patternscan log``: what was found, read and changed, one command for each kind of event."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.job_options import EntryOptions
from patternscan.cli.records import option, takes
from patternscan.cli.types import LINE, PATH, Length, LooseWord, Word
from patternscan.errors import WrongUse
from patternscan.plain_text import one_line
from patternscan.reporting.text.cautions import caution_message, caution_remedy
from patternscan.reporting.text.job.events import event_sentence
from patternscan.setting.log.entries import kept_entries
from patternscan.setting.log.events import (
    Accepted,
    Alignment,
    Backlash,
    Closed,
    EccentricChange,
    EccentricsFound,
    EndPlay,
    Geometry,
    LostMotion,
    Measured,
    Note,
    Part,
    Replaced,
    Shaft,
    ShimChange,
    ShimPlace,
    ShimsFound,
    SignOff,
    Struck,
)
from patternscan.setting.log.job_log import read_log
from patternscan.workflow.job import radius_on_sheet

PLACES = LooseWord(ShimPlace, {"a": ShimPlace.CARRIER_A, "b": ShimPlace.CARRIER_B})
GEOMETRY = Word(Geometry)
HOLE = click.IntRange(1, 360)
THICKNESS, CHANGE = Length(0, 25), Length(-25, 25)

ALIKE, ALONE = "the same under all bolts", "alone; negative = taken out"


@dataclass(frozen=True, slots=True)
class ShimChangeOptions:
    """How the shims of a place were changed, in mm."""

    add: Annotated[float | None, option("--add", f"Thickness added, {ALIKE}.", type=THICKNESS)]
    remove: Annotated[float | None, option("--remove", f"Thickness taken out, {ALIKE}.", type=THICKNESS)]
    upper: Annotated[float | None, option("--upper", f"Change under the upper bolts {ALONE}.", type=CHANGE)]
    lower: Annotated[float | None, option("--lower", f"Change under the lower bolts {ALONE}.", type=CHANGE)]

    @property
    def upper_and_lower(self) -> tuple[float, float]:
        """Change under the upper and the lower bolts. Raises WrongUse when it is not said, or said twice."""
        given = [change for change in (self.add, self.remove and -self.remove) if change is not None]
        single = self.upper is not None or self.lower is not None
        if len(given) + single != 1:
            raise WrongUse(
                "It is not clear what was changed.",
                "Give either --add or --remove, or --upper and --lower by themselves.",
            )
        changes = (self.upper or 0.0, self.lower or 0.0) if single else (given[0], given[0])
        if changes == (0.0, 0.0):
            raise WrongUse("The change is nothing.", "Log a change only when there was one.")
        return changes


@click.group(short_help="Note in the job's log what was found, read and changed.")
def log() -> None:
    """Note in the job's log what was found, read and changed. Lengths need their unit: 0.10mm, 0.004in or 4thou.

    Nothing in the log is ever changed. An entry that was wrong is struck with 'log strike'.
    """


@log.command(name="shims-found")
@click.argument("place", type=PLACES)
@click.argument("thickness", type=THICKNESS)
@click.option("--lower", type=THICKNESS, help="Thickness under the lower bolts, when it is not the same.")
@takes(EntryOptions, "entry")
def shims_found(place: ShimPlace, thickness: float, lower: float | None, entry: EntryOptions) -> None:
    """Thickness of the shims as found under PLACE, before anything is changed.

    Example: patternscan log shims-found carrier-A 0.50mm
    """
    entry.keep(ShimsFound(place, thickness, thickness if lower is None else lower))


@log.command()
@click.argument("place", type=PLACES)
@takes(ShimChangeOptions, "change")
@takes(EntryOptions, "entry")
def shims(place: ShimPlace, change: ShimChangeOptions, entry: EntryOptions) -> None:
    """A change of the shims under PLACE.

    Example: patternscan log shims carrier-A --add 0.10mm (or --remove 0.10mm)
    """
    entry.keep(ShimChange(place, *change.upper_and_lower))


@log.command(name="eccentrics-found")
@click.argument("hole_a", type=HOLE)
@click.argument("hole_b", type=HOLE)
@takes(EntryOptions, "entry")
def eccentrics_found(hole_a: int, hole_b: int, entry: EntryOptions) -> None:
    """Holes in which the marks of both eccentrics stand as found: first at end A, then at end B.

    Example: patternscan log eccentrics-found 5 5
    """
    entry.keep(EccentricsFound(hole_a, hole_b))


@log.command()
@click.option("--a", "holes_a", type=click.IntRange(-360, 360), required=True, help="Holes at end A; up is positive.")
@click.option("--b", "holes_b", type=click.IntRange(-360, 360), required=True, help="Holes at end B; up is positive.")
@takes(EntryOptions, "entry")
def eccentrics(holes_a: int, holes_b: int, entry: EntryOptions) -> None:
    """Eccentrics turned by so many holes, toward higher numbers. Turn both alike, one hole at a time.

    Example: patternscan log eccentrics --a 1 --b 1
    """
    if holes_a == holes_b == 0:
        raise WrongUse("Neither eccentric was turned.", "Log a change only when there was one.")
    entry.keep(EccentricChange(holes_a, holes_b))


@log.command(name="end-play")
@click.argument("shaft", type=Word(Shaft))
@click.argument("reading", type=Length(0, 5))
@takes(EntryOptions, "entry")
def end_play(shaft: Shaft, reading: float, entry: EntryOptions) -> None:
    """End play of the worm or the wheel shaft as read on the dial.

    Example: patternscan log end-play worm 0.10mm
    """
    entry.keep(EndPlay(shaft, reading))


@log.command()
@click.argument("readings", type=Length(0, 20), nargs=-1, required=True)
@click.option("--radius", type=Length(5, 5000), help="From the wheel's axis to the gauge, if the sheet does not say.")
@takes(EntryOptions, "entry")
def backlash(readings: tuple[float, ...], radius: float | None, entry: EntryOptions) -> None:
    """Backlash as read on the dial, one reading for each position of the wheel.

    Example: patternscan log backlash 0.42mm 0.45mm 0.44mm 0.40mm --radius 260mm
    """
    entry.keep(Backlash(readings, radius or radius_on_sheet(entry.job)))


@log.command(name="lost-motion")
@click.argument("angles", type=click.FloatRange(0, 360), nargs=-1, required=True)
@takes(EntryOptions, "entry")
def lost_motion(angles: tuple[float, ...], entry: EntryOptions) -> None:
    """Free turn of the worm in degrees, the wheel held, one for each position of the wheel.

    Example: patternscan log lost-motion 2.5 2.4 2.6 2.5
    """
    if any(math.isnan(angle) for angle in angles):
        raise WrongUse("An angle is not a number.", "Give degrees, as 2.5.")
    entry.keep(LostMotion(angles))


@log.command()
@click.argument("reading", type=Length(0, 20))
@takes(EntryOptions, "entry")
def alignment(reading: float, entry: EntryOptions) -> None:
    """How far the outboard bearing is out of line.

    Example: patternscan log alignment 0.03mm
    """
    entry.keep(Alignment(reading))


@log.command()
@click.argument("what", type=GEOMETRY)
@click.argument("reading", type=Length(0, 3000))
@takes(EntryOptions, "entry")
def measured(what: Geometry, reading: float, entry: EntryOptions) -> None:
    """How far the shafts are out of square, or the centre distance, measured because a pattern is crossed.

    Example: patternscan log measured squareness 0.03mm
    """
    entry.keep(Measured(what, reading))


@log.command()
@click.argument("what", type=GEOMETRY)
@click.argument("name")
@takes(EntryOptions, "entry")
def accepted(what: Geometry, name: str, entry: EntryOptions) -> None:
    """NAME leaves squareness or centre distance as it is, although the pattern is crossed.

    Example: patternscan log accepted centre-distance "R. Moss"
    """
    entry.keep(Accepted(what, _words(name, "name")))


@log.command()
@click.argument("part", type=Word(Part))
@takes(EntryOptions, "entry")
def replaced(part: Part, entry: EntryOptions) -> None:
    """A part was replaced by a new one.

    Example: patternscan log replaced wheel
    """
    entry.keep(Replaced(part))


@log.command()
@takes(EntryOptions, "entry")
def closed(entry: EntryOptions) -> None:
    """The housing was closed; what follows is seen through the inspection port."""
    entry.keep(Closed())


@log.command()
@click.argument("text", type=LINE)
@takes(EntryOptions, "entry")
def note(text: str, entry: EntryOptions) -> None:
    """Anything worth keeping, in your own words.

    Example: patternscan log note "oil drained"
    """
    entry.keep(Note(_words(text, "note")))


@log.command()
@click.argument("struck", type=click.IntRange(1), metavar="ENTRY")
@click.option("--because", type=LINE, required=True, metavar="TEXT", help="Why it does not count.")
@takes(EntryOptions, "entry")
def strike(struck: int, because: str, entry: EntryOptions) -> None:
    """Strike an earlier entry that was wrong; it stays in the log but counts no more.

    Example: patternscan log strike 7 --because "read the wrong dial"
    """
    entry.keep(Struck(struck, _words(because, "reason")))


@log.command(name="sign-off")
@click.argument("name", type=LINE)
@takes(EntryOptions, "entry")
def sign_off(name: str, entry: EntryOptions) -> None:
    """End the job: NAME takes it over as it is. What is still open is said, and the decision is that person's."""
    entry.keep(SignOff(_words(name, "name")))


@log.command()
@click.option("--job", type=PATH, default=Path(), help="Folder of the job.  [default: where you are]")
def show(job: Path) -> None:
    """Print the whole log, one entry a line."""
    kept = read_log(job)
    counting = kept_entries(kept.entries)
    for entry in kept.entries:
        by = f" ({one_line(entry.by)})" if entry.by else ""
        out = "" if entry in counting else " [struck out]"
        click.echo(f"{entry.number:3d}  {entry.at:%Y-%m-%d %H:%M}{by}  {event_sentence(entry.event)}{out}")
    for caution in kept.damage:
        click.echo(f"{caution_message(caution)} {caution_remedy(caution)}", err=True)


def _words(text: str, name: str) -> str:
    if not text:
        raise WrongUse(f"The {name} is empty.", f"Write the {name} in quotation marks.")
    return text
