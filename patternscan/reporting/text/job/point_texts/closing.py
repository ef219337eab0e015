"""Points of the end of a job: the housing closed, cleaned and signed off."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.reporting.text.safety import SAFETY_LINE, SAFETY_TITLE

CLOSING_POINTS: Mapping[str, str] = {
    "close-housing": "Close the housing and note it with who saw it, then read the pattern and backlash once more "
    "through the inspection port.",
    "through-the-port": "Through the port: hold a torch beside the phone, not in line with it, touch the teeth on the "
    "screen so that the phone meters and focuses on them, and keep the end mark in view.",
    "clean-and-sign": "Clean off all compound, put guards and oil back, then sign off.",
    "signed-off": "Nothing to do: signed off by {name:plain} on {date} (entry {entry}).",
    "signed-off-early": "Signed off by {name:plain} on {date} (entry {entry}), but not everything was in order.",
    "open-at-sign-off": "Signed off, yet this is open:",
    "land-the-load": f"{SAFETY_TITLE}: {SAFETY_LINE}",
}
"""Points by their code."""
