"""Cautions about the outline and the gear data: whether they are those of the tooth in the photo."""

from __future__ import annotations

from collections.abc import Mapping

MARK_IT = "Look at the drawn outline. If it is not on the edges of the flank, mark it {at_outline}."
CHECK_SHEET = (
    "Look whether the sheet is this machine's; check its module, worm diameter, pressure angle, face width and hand, "
    "and whether the four edges of the outline are the flank's own."
)
FROM_OUTLINE = "Places were worked out from the outline, without the gear data."
OTHER_SHEET = "The sheet's gear data do not fit the photos: is it this machine's sheet?"
SHEET_NOTES: Mapping[str, str] = {
    "gear-data-unlike": OTHER_SHEET,
    "gear-data-no-view": OTHER_SHEET,
    "gear-data-loose": "The sheet's gear data hardly fit the photos: is it this machine's sheet?",
    "gear-data-impossible": "No worm pair has the sheet's gear data: check them.",
    "other-rim-seen": "The rim on the sheet is not the one in the photos: look at the rim.",
}
"""What the short answer says of gear data that are not this wheel's; the report says it in full."""

OUTLINE_TEXTS: Mapping[str, tuple[str, str]] = {
    "outline-found": ("The outline was found by the tool, not marked by a person.", MARK_IT),
    "outline-found-unsure": (
        "The outline was found by the tool, not marked by a person, and the tool is not sure of it.",
        MARK_IT,
    ),
    "outline-fitted": (
        "The outline was pulled onto the edges in the photo, by at most {share:tenths} of the face width.",
        "Look at the drawn outline. If it left the edges of the flank, mark more points where they bend, and read it "
        "again as it is marked.",
    ),
    "outline-not-fitted": (
        "The outline was left as it was given: there are no clear edges of such a flank near it.",
        "Look at the drawn outline. Mark the edges again, with more points where they bend.",
    ),
    "outline-bent": (
        "Only the corners of the flank were marked, and no clear edges are near: they were bent as on a usual wheel.",
        "Look at the drawn outline. Mark points along the root and tip edges too, where they bend.",
    ),
    "outline-rough": (
        "The outline is off the edges that the gear data give, by {misfit:tenths} of the face width overall.",
        "Look at the drawn outline, above all where an edge is hidden or cut off, and at the gear data on the sheet.",
    ),
    "end-unseen": (
        "By the gear data the flank goes on beyond the outline at end {end}, where something hides it or the outline "
        "stops short. Places were worked out from the other edges.",
        "Look whether end {end} is seen in the photo, and at the face width on the sheet. Take the photo again with "
        "both ends in view.",
    ),
    "end-off-edges": (
        "No edge of the tooth is seen in the photo where the outline has end {end}.",
        "Look whether the outline stops right at the end of the flank there, and mark it again if not. If that end is "
        "hidden or dark, take the photo again with both ends seen.",
    ),
    "end-off-shape": (
        "By the shape of the tooth the flank does not stop where the outline has end {end}.",
        "Look whether the outline stops right at the end of the flank there, not short of it nor on something beyond, "
        "and mark it again if not.",
    ),
    "height-off-shape": (
        "By the shape of the tooth its {edge} is not where the outline has it: how high the pattern lies and how much "
        "is touched are less sure.",
        "Look whether the outline runs along the {edge} of the flank, and mark it again if not.",
    ),
    "gear-data-unlike": (
        "The outline does not fit a flank with these gear data: {misfit:tenths} of the face width lies between them. "
        f"{FROM_OUTLINE}",
        CHECK_SHEET,
    ),
    "gear-data-no-view": (f"The outline does not fit a flank with these gear data. {FROM_OUTLINE}", CHECK_SHEET),
    "gear-data-loose": (
        "The outlines of both flanks fit these gear data only roughly: {misfit:tenths} of the face width lies between "
        "them.",
        CHECK_SHEET,
    ),
    "gear-data-impossible": (f"{{found}} {FROM_OUTLINE}", "{remedy}"),
    "other-rim-seen": (
        "The rim of the wheel was taken as {told}, but the tooth in the photo looks like one with a {seen} rim. Places "
        "were worked out for a {seen} rim.",
        'Look at the rim. If it is {seen}, write rim = "{seen}" under [gear] on the sheet; else check the outline.',
    ),
    "outline-unlike": (
        "The outline has not the shape of a tooth of a worm wheel. Places were worked out between its edges as they "
        "were marked.",
        "Look whether each edge of the outline lies on an edge of the flank, all along, and mark it again where not.",
    ),
    "other-hand-seen": (
        "The sheet says {told} hand, but the tooth in the photo looks like one of a {seen}-hand wheel. " + FROM_OUTLINE,
        "Check the hand on the sheet. If it is right, the photo is mirrored: take it again, and look for the painted "
        "letter A.",
    ),
}
"""What is uncertain, and what to do about it, by the code of the caution."""
