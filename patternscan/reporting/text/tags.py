"""What stands on a sheet of printed tags, and what is told of it."""

from __future__ import annotations

from patternscan.frame import Flank, Lift, Medium
from patternscan.plain_text import one_line

BAR_WORDS = "This bar must measure 50 mm (1.97 in). If not, print again at 100 % (actual size), not fitted to the page."
HOW_TO = (
    "Cut along the broken lines: the white round a tag belongs to it.",
    "Use one size for both ends: the largest that finds room.",
    "The letter must be the one that is painted on that end face; the paint stays, the tag comes off again.",
    "Wipe the end face clean and free of oil. Stick the tag on it just below the blued tooth. "
    "Or stick it on a card and hold the card beside that end, facing the camera.",
    "Never in the mesh, never on a flank. Take every tag off before the worm is turned.",
    "The whole tag must be in the photo, sharp and without glare. One of the two is enough.",
    "Both numbers belong to this one machine. Keep the pair number on its machine sheet.",
    "For a print on tape or paper take a card of the next page.",
)


HOW_TO_PRINT = (
    "Cut out the card of this flank and of what the print was taken off with.",
    "Stick tape on it, compound down, or paper, compound up: end A of the print at the A, its tip edge up.",
    "Draw a thin dark frame round the flank's edges. Photograph or scan the card with both tags.",
    "A print that lies the wrong way round, a mirrored picture and another machine's card are then refused.",
)
TIP_WORD, CARD_BLANKS = "TIP", "Tooth ..........  Date ....................  Film ...................."
LAID = {Medium.TAPE: "TAPE, compound down", Medium.PAPER: "PAPER, compound up"}


def cards_title(machine: str | None, pair: int) -> str:
    """The heading of the sheet of cards."""
    return f"Cards for prints off {one_line(machine)}, pair {pair}" if machine else f"Cards for prints, pair {pair}"


def card_words(flank: Flank, lift: Lift) -> str:
    """What a card is for."""
    return f"{flank.upper()} flank, {LAID[lift.medium]}"


def card_reading_words(flank: Flank, lift: Lift) -> str:
    """What to say when the picture of a card is read, in the words that terminal and pages take alike."""
    return f"When it is read, say: {flank} flank, {lift.medium}, {lift.seen}"


def sheet_title(machine: str | None, pair: int) -> str:
    """The heading of the sheet."""
    return f"Tags for {one_line(machine)}, pair {pair}" if machine else f"Tags, pair {pair}"


def size_words(size_mm: float, cut_mm: float) -> str:
    """Over the tags of one size."""
    return f"{size_mm:g} mm ({size_mm / 25.4:.2f} in); cut out {cut_mm:.0f} mm ({cut_mm / 25.4:.2f} in) wide"


def kept_words(sheet: str | None, pair: int, fresh: bool) -> str:
    """Where the pair's number is kept, or where to write it."""
    if sheet is None:
        return f"Write on the machine sheet, under [tags]: pair = {pair}"
    return f"Written on {sheet}: pair = {pair}" if fresh else f"Pair {pair}, as on {sheet}."
