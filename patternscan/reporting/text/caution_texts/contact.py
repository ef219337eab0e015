"""Cautions about prints on tape and paper, the compound, how it was marked, and the contact in it."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.frame import Compound

WHICH_SIDE = (
    "Look which side is up: said wrongly, the answer is the wrong way round. A printed card with tags settles it."
)
PLAIN_PHOTO = (
    "Look at the drawn contact. Take the photo in daylight without glare, or use a compound of another colour."
)
THINNER = "Paint the worm thinner and print again."
PAINT_AGAIN = "Paint the flank again, evenly and thinly."
TURN_MORE = "Turn the worm under light drag through full mesh, both ways, and take the photo again."
COLOURS = ", ".join(Compound)
OTHER_COLOUR = "You said {told}, but the compound looks {seen}."
CHECK_COLOUR = "Check the colour, or leave {at_compound} unsaid and read the photo again."

CONTACT_TEXTS: Mapping[str, tuple[str, str]] = {
    "tape-touched": (
        "The tape is said to show the side that touched the tooth; stuck on a card it is seen through.",
        WHICH_SIDE,
    ),
    "paper-through": (
        "The paper is said to be seen through; as a rule it shows the side that touched the tooth.",
        WHICH_SIDE,
    ),
    "lifted": (
        "Read from the print on {medium}, in the frame that was drawn round it: less sure than the flank itself.",
        "Look whether the frame runs along the edges of the flank, and keep the lift.",
    ),
    "lift-faint": (
        "So little compound came off the flank that it is hard to see where it ends.",
        "Press harder, with fresh tape or paper, or photograph the flank itself.",
    ),
    "weak-contrast": ("In this photo it is hard to see where the compound ends and bare metal begins.", PLAIN_PHOTO),
    "contact-unclear": (
        "In this photo it is not plain which part of the flank is the compound and which is bare metal.",
        PLAIN_PHOTO,
    ),
    "compound-uncertain": (
        "The compound looks {seen}, but could be {rival}.",
        f"Name the colour with {{at_compound}} ({COLOURS}) and read the photo again.",
    ),
    "compound-unlike": (OTHER_COLOUR, CHECK_COLOUR),
    "compound-wrong": (OTHER_COLOUR, CHECK_COLOUR),
    "bare-metal": (
        "What looks like {compound} compound may be bare metal mirrored in the next tooth.",
        "Check that this is the marked flank; if it is, use a compound of another colour, such as blue.",
    ),
    "tiny-print": (
        "What looks like compound covers only {share:percent} of the flank: it may be a smear or a reflection.",
        "Check that this is the marked flank, or paint the worm a little thicker and print again.",
    ),
    "marking-doubtful": (
        "The flank looks {seen:marked}, not {told:marked}.",
        "Find out which was painted, the worm or the teeth. If the flank was {seen:marked}, say so {at_marking:{seen}} "
        "and read it again: the wrong way turns the answer round. If not, clean it and mark it again.",
    ),
    "bare-to-end": (
        "The flank is bare up to end {end}, and that counts as contact.",
        "Was it painted right up to end {end}? If not, the answer is wrong: paint the whole flank and mark it again.",
    ),
    "two-places": (
        "Contact shows at two places, {along:percent} and {other:percent} from end A; the place given is between them.",
        "Is one of them a smear, a reflection or lines that the brush left bare? Then clean and mark the flank again, "
        "and photograph it again.",
    ),
    "thick-coat": ("{share:percent} of the flank is marked: its place says little.", THINNER),
    "marked-all-over": (
        "{share:percent} of the flank is marked: its place says next to nothing.",
        THINNER,
    ),
    "rubbed-all-over": ("{share:percent} of the flank is rubbed bare: its place says little.", PAINT_AGAIN),
    "rubbed-bare": ("{share:percent} of the flank is rubbed bare: its place says next to nothing.", PAINT_AGAIN),
    "no-contact": ("Compound was found, but no contact.", TURN_MORE),
    "hardly-rubbed": ("Hardly any paint was rubbed off: only {share:percent} of the flank looks bare.", TURN_MORE),
}
"""What is uncertain, and what to do about it, by the code of the caution."""
