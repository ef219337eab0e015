"""Options that several commands share, defined once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Compound, Flank, Marking

Command = TypeVar("Command", bound=Callable[..., Any])

PATH = click.Path(path_type=Path)
SIDES = click.Choice(["up", "down", "left", "right"])


def several(*options: Callable[[Command], Command]) -> Callable[[Command], Command]:
    """One decorator out of several options, in the order given."""

    def decorate(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return decorate


photo_options: Callable[[Any], Any] = several(
    click.option("--marking", type=click.Choice([m.value for m in Marking]),
                 help="How the compound shows contact: 'transfer' = the painted worm printed onto clean teeth; "
                      "'rub-off' = the painted teeth were rubbed bare. Needed here or on the machine sheet."),
    click.option("--compound", type=click.Choice(["auto", *(c.value for c in Compound)]), default=None,
                 help="Colour of the compound; red covers orange and red lead.  [default: auto]"),
    click.option("--sheet", "sheet_path", type=PATH, help="The machine sheet (a TOML file)."),
    click.option("--snap", is_flag=True,
                 help="Pull roughly marked outlines onto the edges in the photo; it is said by how much at most."),
    click.option("--max-megapixels", type=click.FloatRange(min=0.1), default=250.0, show_default=True,
                 help="Refuse photos larger than this."),
)  # fmt: skip

output_options: Callable[[Any], Any] = several(
    click.option("--json", "as_json", is_flag=True, help="Print the result as JSON and nothing else."),
    click.option("--out", "folder", type=PATH, help="Folder for the report and what belongs to it."),
    click.option("--overwrite", is_flag=True, help="Replace files that are already there."),
)

flank_options: Callable[[Any], Any] = several(
    click.option("--flank", "flank_name", type=click.Choice([f.value for f in Flank]),
                 help="Which flank the photo shows. Look at end face A with the tooth tip up: the right flank is on "
                      "your right hand."),
    click.option("--end-a", type=SIDES, help="Where end A is seen in the upright photo; serves instead of --flank."),
    click.option("--tip", type=SIDES, default="up", show_default=True,
                 help="Where the tooth tip points in the upright photo."),
)  # fmt: skip


def chosen_flank(flank_name: str | None, end_a: str | None, tip: str) -> Flank:
    """The flank from --flank, or from --end-a with --tip; both are checked against each other."""
    if flank_name is None and end_a is None:
        raise WrongUse(
            "It is not said which flank the photo shows.",
            "Give --flank left or right, or --end-a with the side where the letter A is seen.",
        )
    if end_a is None:
        return Flank(str(flank_name))
    from patternscan.seeing.geometry.outline import PictureSide, flank_shown

    shown = flank_shown(PictureSide(tip), PictureSide(end_a))
    if flank_name is not None and shown is not Flank(flank_name):
        raise InconsistentInputs(
            f"With the tip {tip} and end A {end_a} the photo shows a {shown} flank, but --flank says {flank_name}.",
            "Look again which end face carries the letter A; if the photo is mirrored, take it again.",
        )
    return shown


def chosen_marking(given: str | None, on_sheet: Marking | None) -> Marking:
    """The marking from the option or the machine sheet. There is no default: the wrong one turns the answer round."""
    if given is None and on_sheet is None:
        raise WrongUse(
            "It is not said how the teeth were marked.",
            "Give --marking transfer (compound printed onto clean teeth) or --marking rub-off (painted teeth rubbed "
            "bare).",
        )
    if given is not None and on_sheet is not None and given != on_sheet.value:
        raise InconsistentInputs(
            f"--marking says {given}, but the machine sheet says {on_sheet}.",
            "Find out how these teeth were marked and correct the one that is wrong.",
        )
    return Marking(given) if given is not None else on_sheet or Marking.TRANSFER


def chosen_compound(given: str | None, on_sheet: Compound | None) -> Compound | None:
    """The compound from the option or the machine sheet; None means find out which."""
    if given is None:
        return on_sheet
    return None if given == "auto" else Compound(given)
