"""``patternscan log``: what was found, read and changed, one command for each kind of event."""

from __future__ import annotations

import math
from typing import Any

import click

from patternscan.cli.job_options import Length, entry_options, job_option, keep
from patternscan.errors import WrongUse

PLACES = click.Choice(["carrier-A", "carrier-B", "worm", "outboard"])
HOLE = click.IntRange(1, 360)
THICKNESS, CHANGE = Length(0, 25), Length(-25, 25)


@click.group(short_help="Note in the job's log what was found, read and changed.")
def log() -> None:
    """Note in the job's log what was found, read and changed. Lengths need their unit: 0.10mm, 0.004in or 4thou.

    Nothing in the log is ever changed. An entry that was wrong is struck with 'log strike'.
    """


@log.command(name="shims-found")
@click.argument("place", type=PLACES)
@click.argument("thickness", type=THICKNESS)
@click.option("--lower", type=THICKNESS, help="Thickness under the lower bolts, when it is not the same.")
@entry_options
def shims_found(**options: Any) -> None:
    """Thickness of the shims as found under PLACE, before anything is changed.

    Example: patternscan log shims-found carrier-A 0.50mm
    """
    from patternscan.setting.log.events import ShimPlace, ShimsFound

    lower = options["thickness"] if options["lower"] is None else options["lower"]
    keep(options, ShimsFound(ShimPlace(options["place"]), options["thickness"], lower))


@log.command()
@click.argument("place", type=PLACES)
@click.option("--add", type=THICKNESS, help="Thickness added, the same under all bolts.")
@click.option("--remove", type=THICKNESS, help="Thickness taken out, the same under all bolts.")
@click.option("--upper", type=CHANGE, help="Change under the upper bolts alone; negative = taken out.")
@click.option("--lower", type=CHANGE, help="Change under the lower bolts alone; negative = taken out.")
@entry_options
def shims(**options: Any) -> None:
    """A change of the shims under PLACE.

    Example: patternscan log shims carrier-A --add 0.10mm
    """
    from patternscan.setting.log.events import ShimChange, ShimPlace

    upper, lower = _change(options)
    keep(options, ShimChange(ShimPlace(options["place"]), upper, lower))


@log.command(name="eccentrics-found")
@click.argument("hole_a", type=HOLE)
@click.argument("hole_b", type=HOLE)
@entry_options
def eccentrics_found(**options: Any) -> None:
    """Holes in which the marks of both eccentrics stand as found: first at end A, then at end B."""
    from patternscan.setting.log.events import EccentricsFound

    keep(options, EccentricsFound(options["hole_a"], options["hole_b"]))


@log.command()
@click.option("--a", "holes_a", type=click.IntRange(-360, 360), required=True, help="Holes at end A; up is positive.")
@click.option("--b", "holes_b", type=click.IntRange(-360, 360), required=True, help="Holes at end B; up is positive.")
@entry_options
def eccentrics(**options: Any) -> None:
    """Eccentrics turned by so many holes, toward higher numbers. Turn both alike, one hole at a time.

    Example: patternscan log eccentrics --a 1 --b 1
    """
    from patternscan.setting.log.events import EccentricChange

    if options["holes_a"] == options["holes_b"] == 0:
        raise WrongUse("Neither eccentric was turned.", "Log a change only when there was one.")
    keep(options, EccentricChange(options["holes_a"], options["holes_b"]))


@log.command(name="end-play")
@click.argument("shaft", type=click.Choice(["worm", "wheel"]))
@click.argument("reading", type=Length(0, 5))
@entry_options
def end_play(**options: Any) -> None:
    """End play of the worm or the wheel shaft as read on the dial.

    Example: patternscan log end-play worm 0.10mm
    """
    from patternscan.setting.log.events import EndPlay, Shaft

    keep(options, EndPlay(Shaft(options["shaft"]), options["reading"]))


@log.command()
@click.argument("readings", type=Length(0, 20), nargs=-1, required=True)
@click.option("--radius", type=Length(5, 5000), help="From the wheel's axis to the gauge, if the sheet does not say.")
@entry_options
def backlash(**options: Any) -> None:
    """Backlash as read on the dial, one reading for each position of the wheel.

    Example: patternscan log backlash 0.42mm 0.45mm 0.44mm 0.40mm --radius 260mm
    """
    from patternscan.setting.log.events import Backlash

    keep(options, Backlash(options["readings"], options["radius"] or _radius_on_sheet(options)))


@log.command(name="lost-motion")
@click.argument("angles", type=click.FloatRange(0, 360), nargs=-1, required=True)
@entry_options
def lost_motion(**options: Any) -> None:
    """Free turn of the worm in degrees, the wheel held, one for each position of the wheel."""
    from patternscan.setting.log.events import LostMotion

    if any(math.isnan(angle) for angle in options["angles"]):
        raise WrongUse("An angle is not a number.", "Give degrees, as 2.5.")
    keep(options, LostMotion(options["angles"]))


@log.command()
@click.argument("reading", type=Length(0, 20))
@entry_options
def alignment(**options: Any) -> None:
    """How far the outboard bearing is out of line."""
    from patternscan.setting.log.events import Alignment

    keep(options, Alignment(options["reading"]))


@log.command()
@click.argument("part", type=click.Choice(["worm", "wheel", "worm-bearings", "wheel-bearings"]))
@entry_options
def replaced(**options: Any) -> None:
    """A part was replaced by a new one."""
    from patternscan.setting.log.events import Part, Replaced

    keep(options, Replaced(Part(options["part"])))


@log.command()
@entry_options
def closed(**options: Any) -> None:
    """The housing was closed; what follows is seen through the inspection port."""
    from patternscan.setting.log.events import Closed

    keep(options, Closed())


@log.command()
@click.argument("text")
@entry_options
def note(**options: Any) -> None:
    """Anything worth keeping, in your own words."""
    from patternscan.setting.log.events import Note

    keep(options, Note(_words(options["text"], "note")))


@log.command()
@click.argument("entry", type=click.IntRange(1))
@click.option("--because", required=True, metavar="TEXT", help="Why it does not count.")
@entry_options
def strike(**options: Any) -> None:
    """Strike an earlier entry that was wrong; it stays in the log but counts no more.

    Example: patternscan log strike 7 --because "read the wrong dial"
    """
    from patternscan.setting.log.events import Struck

    keep(options, Struck(options["entry"], _words(options["because"], "reason")))


@log.command(name="sign-off")
@click.argument("name")
@entry_options
def sign_off(**options: Any) -> None:
    """End the job: NAME takes it over as it is. What is still open is said, and the decision is that person's."""
    from patternscan.setting.log.events import SignOff

    keep(options, SignOff(_words(options["name"], "name")))


@log.command()
@job_option
def show(**options: Any) -> None:
    """Print the whole log, one entry a line."""
    from patternscan.setting.log.event_words import event_words, one_line
    from patternscan.setting.log.job_log import read_log
    from patternscan.setting.state.job_state import kept_entries

    kept = read_log(options["job"])
    counting = kept_entries(kept.entries)
    for entry in kept.entries:
        by = f" ({one_line(entry.by)})" if entry.by else ""
        out = "" if entry in counting else " [struck out]"
        click.echo(f"{entry.number:3d}  {entry.at:%Y-%m-%d %H:%M}{by}  {event_words(entry.event)}{out}")
    for caution in kept.damage:
        click.echo(f"{caution.message} {caution.remedy}", err=True)


def _change(options: dict[str, Any]) -> tuple[float, float]:
    """Change under the upper and the lower bolts. Raises WrongUse when it is not said, or said twice."""
    alike = [options["add"], None if options["remove"] is None else -options["remove"]]
    given = [change for change in alike if change is not None]
    single = [options["upper"], options["lower"]]
    if len(given) + any(change is not None for change in single) != 1:
        raise WrongUse(
            "It is not clear what was changed.", "Give either --add or --remove, or --upper and --lower by themselves."
        )
    upper, lower = (given[0], given[0]) if given else (single[0] or 0.0, single[1] or 0.0)
    if upper == lower == 0:
        raise WrongUse("The change is nothing.", "Log a change only when there was one.")
    return upper, lower


def _radius_on_sheet(options: dict[str, Any]) -> float:
    from patternscan.setting.log.job_log import read_job

    radius_mm = read_job(options["job"])[0].dial.radius_mm
    if radius_mm is None:
        raise WrongUse(
            "It is not known how far from the wheel's axis the gauge touched.",
            "Give --radius, or [dial] radius in the machine sheet.",
        )
    return radius_mm


def _words(text: str, name: str) -> str:
    if not text.strip():
        raise WrongUse(f"The {name} is empty.", f"Write the {name} in quotation marks.")
    return text
