"""Words of a machine's pages: what its job asks for, entries by forms, shims, history, record."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.setting.log.answers import Sort

NOW = "Now"
WHY = "Why"
THEN = "Then"
MIND = "Mind"
IN_ORDER = "In order"
NEW_READING = "New reading"
NOTE = "Note what was found or done"
WHAT = "What is it?"
HISTORY = "All entries"
RECORD = "Record as a page"
RECORD_PDF = "Record as PDF"
MAKING = "The record is being written"
MOMENT = "One moment."
READY = "Ready: it was saved."
ARCHIVE = "Everything of this machine as one file"
SHIMS = "Make up a pack"
THICKNESS = "How thick is it to be?"
FIND = "Find the shims"
NO_STOCK = "The machine sheet names no shims on hand yet: note them there first."
ANSWERS = "Readings"
BY = "Who did or read it?"
WHO = "Who says so?"
READ_BACK = "Is this right?"
NOT_KEPT_YET = "It is not kept yet."
KEEP = "Right: keep it"
KEEP_ALL_THE_SAME = "It is right all the same: keep it"
CHANGE = "Change it"
LOOK_BACK = "Read it back"
LOOKS_ODD = "This looks like a slip"
KEPT = "Kept as entry {number}"
ADD_PHOTO = "Add a photo of dial, plate or part"
PHOTOS = "Photos kept with it"
PREPARING = "being prepared"
ON = "Go on"
STRIKE = "Strike it"
FIRST = "First note this"
MORE = "More to say, if you like"
NOT_SAID = "not said"
PLACE_OF = "Place {number}"
COUNT = "How many"
UNITS: Mapping[Sort, tuple[str, ...]] = {
    Sort.LENGTH: ("mm", "in", "thou"),
    Sort.TORQUE: ("Nm", "lbf-ft"),
    Sort.SHIMS: ("mm", "in", "thou"),
}
"""The units that a form offers."""
