"""The door: click lives only here. A command parses, calls, prints and ends; it is loaded when it is called."""

from __future__ import annotations

import click

from patternscan.cli.group import SAFETY_HELP, CommandPlace, PlainGroup
from patternscan.version import __version__

COMMANDS = {
    name: CommandPlace(f"patternscan.cli.{module}", attribute, short_help)
    for name, module, attribute, short_help in (
        ("outline", "outline", "outline", "Find the outline of a flank and write a page to correct it."),
        ("read", "read", "read", "Read the contact pattern of one flank."),
        ("judge", "judge", "judge", "Judge both flanks and advise which way to move the wheel."),
        ("compare", "compare", "compare", "Compare two judgements, before and after a move."),
        ("predict", "predict", "predict", "Compute the pattern from the gear data, before and after a move."),
        ("sheet", "job.start", "sheet", "Check a machine sheet, or write one to fill in."),
        ("shims", "job.shims", "shims", "Find a shim pack of a thickness from the shims on hand."),
        ("start", "job.start", "start", "Begin a setting job: a folder with a machine sheet and a log."),
        ("log", "job.log", "log", "Note in the job's log what was found, read and changed."),
        ("next", "job.next", "next_command", "Say what a setting job asks for now, and why."),
        ("tags", "tags", "tags", "Print tags that tell end A from end B in a photo."),
        ("truth", "truth", "truth", "Write a page to paint what is true of a photo."),
        ("proof", "proof", "proof", "Say how right the readings are on your own photos."),
        ("record", "job.record", "record", "Write the record of a setting job, as a page and as a PDF."),
        ("serve", "serve", "serve", "Serve pages: photograph with the phone, read the answer there."),
    )
}


@click.group(
    cls=PlainGroup,
    places=COMMANDS,
    epilog=SAFETY_HELP,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, prog_name="patternscan")
def main() -> None:
    """Read photos of blued worm-wheel teeth and say which way to move the wheel.

    Mark the outline of a flank with 'outline', read one flank with 'read', judge both flanks with 'judge',
    and look at two states of a machine with 'compare'. 'predict' computes the pattern from the gear data.

    A whole setting job is kept with 'start' and 'log'; 'next' says what is due, 'record' puts it on paper.
    'serve' does all this on the phone.
    """
