"""What the painting page says."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.frame import Marking

CONTACT_IS = {
    Marking.TRANSFER: "Contact is where the worm printed compound.",
    Marking.RUB_OFF: "Contact is where the worm rubbed the paint bare.",
}
HOW_TO = (
    "Paint by your own eye, before you ask what the tool sees: what you change afterwards is not saved.",
    "Paint with finger, pen or mouse, laid flat or in the photo. Undo takes back the last stroke.",
    "Where glare or shade hides the flank, paint \u2018cannot be judged\u2019: it then counts for nothing.",
    "Say who you are, and save. What you paint is never mixed with readings.",
)
"""How the page is used; the tool's own contact is shown only when it is asked for."""


def painting_words(marking: Marking) -> dict[str, str | Sequence[str]]:
    """What the page says, by where it stands."""
    return {
        "title": "Paint where the worm touched",
        "contact_is": CONTACT_IS[marking],
        "flat": "The bare flank laid flat: tip on top, end A on the left.",
        "how_to": HOW_TO,
        "save": "Save the truth file",
    }
