"""The words of the page on which a person marks a flank; ``{name}`` stands for what the page fills in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from patternscan.frame import Lift
from patternscan.handles import Handle, named

EDGE_WORDS: Mapping[str, str] = {
    "root": "root edge",
    "tip": "tip edge",
    "end_a": "edge at end A",
    "end_b": "edge at end B",
}
CORNERS = "Drag its four square corners onto the corners of the flank; the lines between go with them."

SAID: Mapping[str, Sequence[str]] = {
    "tooth": ("Tooth {name}",),
    "tooth-in-photo": ("tooth {name}",),
    "corner": ("Corner: {edge} at end {end}",),
    "point": ("Point {number} of {count} on the {edge}",),
    "whole": ("Move the whole outline",),
    "place": ("{point}: x {x}, y {y} pixels",),
    "crowded": ("This outline has many points. Zoom in, or press \u201cFewer points\u201d, before you correct it.",),
    "choose": ("Tap a point to choose it.",),
    "save": ("Save the outline file",),
    "cannot-save": ("Cannot save yet: {why}",),
    "good": ("The outline can be saved. Check each edge once more, zoomed in.",),
    "corners-done": (
        "The outline can be saved: the lines between the corners are pulled onto the edges when the photo is read.",
        "Surer still with one more point: drag the round one in the middle of the root edge onto it.",
    ),
    "saved": ("Saved as {file}. Put it beside the photo, then run the command under \u201cHow to go on\u201d.",),
    "no-flank": (
        "Say which flank this is.",
        "With the tip up, the left flank shows the painted A on the right, the right flank shows it on the left.",
    ),
    "crosses-itself": ("The {edge} crosses itself.",),
    "cross": ("The {edge} and the {other} cross.",),
    "go-round": ("Drag the points so that the four edges go once round the flank.",),
    "tiny": (
        "The marked flank is tiny: its shortest side is {px} pixels.",
        "Drag the points out to the edges of the flank. If the flank itself is that small, take the photo again from "
        "closer.",
    ),
    "not-trusted": ("The tool found this shape but does not trust it.", CORNERS),
    "refused": ("The outline that was given does not lie on the flank.", CORNERS),
    "start": (
        "This is only a shape to start from.",
        f"{CORNERS} If the tip points another way in the photo, turn the shape first.",
    ),
    "copy": (
        "This is a copy of the other tooth's outline.",
        "Drag the cross in its middle, then the points, onto this tooth.",
    ),
    "sense": (
        "As marked, this is a {seen} flank, but you chose the {told} flank.",
        "Either A and B are swapped: look for the painted A on the wheel. If it is at the end marked B here, press the "
        "button.",
        "Or the photo is mirrored: take it again, not with the selfie camera.",
        "Or it is the {seen} flank after all: choose it below.",
    ),
    "short-no-flank": ("left or right flank?",),
    "short-cross": ("edges cross",),
    "short-tiny": ("the flank is tiny",),
    "short-corners": ("drag the corners onto the flank",),
    "short-copy": ("drag the copy onto its tooth",),
    "short-sense": ("A and B do not fit the flank",),
    "swap": ("Swap A and B",),
    "undo": ("Undo",),
    "turn": ("Turn a quarter \u21bb",),
    "say-left": ("Left flank",),
    "say-right": ("Right flank",),
    "find-edges": (
        "Mark the **whole flank**, not the patch of compound on it.",
        "**End A** is where the flank stops at the wheel face with the painted A. **End B** is the other wheel face.",
        "The **tip** edge is where the flank meets the narrow top of the tooth. Leave the top itself outside.",
        "The **root** edge is where the flank stops and the round bottom of the gap begins. Leave that outside.",
        "**Four corners are enough:** set the square ones; the lines between are pulled onto the edges when the photo "
        "is read.",
        "**One more makes the height surer:** the round point in the middle of the root edge, where the photo shows no "
        "sharp edge.",
        "Set more points only where glare, dirt or a housing hides an edge: run the line on as the edge would go.",
    ),
    "move-points": (
        "Drag a point with finger or mouse. The round glass shows what your finger covers.",
        "The cross in the middle moves the whole outline. Drag beside the outline to move the photo.",
        "Two fingers, the wheel, or + and \u2212 zoom.",
        "Tap an edge twice to add a point there.",
        "Keys: Tab goes to the next point, arrows move it by 1 pixel (with Shift by 10), Insert adds, Delete removes, "
        "Ctrl+Z undoes.",
    ),
    "go-on": (
        "Save the file beside the photo, then run",
        "For **HOW** say how the tooth was marked: **transfer** if the painted worm printed onto the clean tooth, "
        "**rub-off** if the tooth itself was painted and the worm rubbed it bare.",
        "To paint by your own eye where the worm touched, run it with **truth** in place of **read**.",
    ),
}
"""Said by the page, each as one sentence or more; of several the first is the one in bold, or stands alone."""
ON_LIFT: Mapping[str, Sequence[str]] = {
    "find-edges": (
        "Mark the **frame** that was drawn round the flank's edges, not the patch of compound in it.",
        "**End A** is the end beside which the A was written. The **tip** edge is the one at the top of the tooth.",
        "**Four corners are enough** where the frame is plainly drawn: the lines between are pulled onto it when the "
        "picture is read. Else set more points where root and tip are bowed.",
    ),
    "sense": (
        "As marked, this is a {seen} flank, but you chose the {told} flank.",
        "Either A and B are swapped: look for the A that was written on it. If it is at the end marked B here, press "
        "the button.",
        "Or the picture shows the other side than was said: say which side it shows, and make this page again.",
        "Or it is the {seen} flank after all: choose it below.",
    ),
}
LOOKED_AT_FIRST: Mapping[str, str] = {
    "no-tooth": "Look whether it is the right photo. If it is, open",
    "no-flank-there": "Give another place on the flank that is meant. Or open",
}
"""What to do before the flank is marked by hand, by what is at fault."""
GIVE_OUTLINE = "and give the saved file as its outline"
TOUCHED_NO_FLANK = (
    "Say which flank this is.",
    "With the tip up, the left flank shows the written A on the left here, the right flank shows it on the right: the "
    "print is a mirror image.",
)


def said_of(lift: Lift | None) -> Mapping[str, Sequence[str]]:
    """What the page says: of the flank itself, or of its print on tape or paper."""
    if lift is None:
        return SAID
    seen = f"The picture shows the compound through the {lift.medium}: the flank as one looks at it."
    if lift.mirrored:
        seen = (
            f"The picture shows the side of the {lift.medium} that touched the tooth: the flank as in a mirror, A and "
            "B the other way round."
        )
    told = {**SAID, **ON_LIFT, "find-edges": (seen, *ON_LIFT["find-edges"])}
    return {**told, "no-flank": TOUCHED_NO_FLANK} if lift.mirrored else told


def mark_by_hand(pages: Sequence[str], blame: str, *, tip_told: bool, by_folder: bool = False) -> str:
    """What to do where no outline can be trusted, the pages to mark it on being written; ``blame``: what is at fault,
    where that is known; ``tip_told``: a person said where the tip points; ``by_folder``: the photos' folder was given,
    where outlines are taken from beside them.
    """
    tip = f"Look again where the tip points, and say it {named(Handle.TIP)}. Or open"
    begin = LOOKED_AT_FIRST.get(blame, tip if tip_told else "Open")
    go_on = "lay the saved file beside the photo, and give the folder again" if by_folder else GIVE_OUTLINE
    remedy = f"{begin} {' and '.join(pages)} in a browser, mark the flank, {go_on}."
    return f"{remedy} If the tooth is dark or blurred in the photo, light it from the side and take the photo again."
