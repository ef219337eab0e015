"""Safety in the one wording that every report, page and command has; it stands before any advice on shims.

General practice with hoisting machines: the local code and the maker's manual go before it.
"""

from __future__ import annotations

SAFETY_TITLE = "Safety first"
SAFETY_LINE = (
    "Hang the car and land the counterweight (a drum hoist: land the load), then isolate, lock and try. "
    "Turn by hand only."
)
"""What a screen has room for. One of car and counterweight alone still pulls on the sheave of a traction machine."""
SAFETY = (
    "Landing needs power, so it comes first: hang the car and land the counterweight until the ropes lie slack on the "
    "sheave (a drum hoist: land the load). One of the two alone is not enough.",
    "Then switch off, isolate, lock and tag, and try that it stays dead. Gravity stays: neither brake nor lock holds "
    "anything once the gear or the brake is open.",
    "Support the shaft and the sheave before a carrier is loosened; nobody beneath.",
    "The worm turns only with the brake released: one person at the brake, one giving the word. Turn by hand or with "
    "the barring tool, never by motor; hold the worm by brake or clamp, never by hand. No fingers, rags or sleeves in "
    "the mesh.",
    "When done, clean all compound off, put the guards back and refill the oil.",
    "This is general practice. The local code and the maker's manual decide, and a competent person on the spot.",
)
LIMIT = (
    "The maker's manual and the local code decide. This advises on the place of the pattern, not on return to service."
)


def safety_lines() -> list[str]:
    """The one line as a paragraph of its own, to stand before any advice."""
    return [f"**{SAFETY_TITLE}:** {SAFETY_LINE}"]
