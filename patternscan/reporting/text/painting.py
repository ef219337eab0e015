"""What the painting page says."""

from __future__ import annotations

TITLE = "Paint where the worm touched"
CONTACT_IS = {
    "transfer": "Contact is where the worm printed compound.",
    "rub-off": "Contact is where the worm rubbed the paint bare.",
}
HOW_TO = (
    "Paint by your own eye, before you ask what the tool sees.",
    "Paint with finger, pen or mouse. Erase what is too much; undo takes back the last stroke.",
    "Where glare or shade hides the flank, paint \u2018cannot be judged\u2019: it then counts for nothing.",
    "Say who you are, save, and lay the file beside the photo. It is never mixed with readings.",
)
"""How the page is used; the tool's own contact is shown only when it is asked for."""
