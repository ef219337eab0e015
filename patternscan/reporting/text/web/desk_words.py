"""Words of the engineer's desk."""

from patternscan.reporting.text.painting import HOW_TO

TITLE = "Engineer's desk"
WAITING = "Waiting for an opinion"
LATEST = "Machines, newest first"
ALL_READINGS = "All readings"
OPINION = "What do you make of it?"
OPINION_WHO = "Your name"
SEND = "Put it beside the reading"
NO_WORDS = ("Nothing is written there.", "Write what you make of it.")
PHOTO = "The photo with the outline"
CHECK = "What the tool saw, beside the bare flank"
BEFORE_AFTER = "Before and after, one over the other"
SLIDE = "Before to after"
BEFORE = "Before"
FLANKS = {"left": "Left flank", "right": "Right flank"}
AFTER = "After"
COMPARING = "Both states are being compared"
NOT_COMPARED = "They cannot be compared"
COURSE = "The course of the job"
PAINT = "Paint the contact yourself"
PAINTED_BY = "{count} painted by hand"
LAYING_OUT = "The flank is being laid flat"
TAKE_PAINT = "Keep it beside the photo"
PAINTED_HERE = (*HOW_TO[:-1], "It is kept beside the photo under your name, and is never mixed with readings.")
LOOK_AT = "Look at both photos large"
