"""Points before any work: safety, what is noted at strip-down, and how carriers and shims were found."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.reporting.text.safety import SAFETY_LINE

BEGUN_POINTS: Mapping[str, str] = {
    "secure": f"Before any work today: {SAFETY_LINE} Log who says so ({{at_log:secured NAME}}).",
    "strip-down": "Read and note this before anything is taken apart; it is gone once it is apart:",
    "shims-not-noted": "Measure and note the shims at every place that has some: both carriers, the worm's bearing "
    "cover, the outboard bearing.",
    "shims-not-noted-at": "Measure and note the shims under {places:both_places} too.",
    "stand-not-marked": "Mark the shims of the outboard stand bolt by bolt before it comes off, and note how many lie "
    "under each and how thick ({at_log:pieces outboard SHIMS --bolts 1}).",
    "no-shims-noted-at": "No shims are noted under {places:places}: if there are some, measure and note them too.",
    "marks-not-noted": "Note in which holes the marks of both eccentric carriers stand.",
    "old-pattern-not-seen": "Photograph the pattern that the old wheel carries, both flanks with the end mark: the new "
    "one is judged beside it. If the wheel is out already, log it as replaced and go on.",
    "missed": "Not noted before the work began: {what:missed}. Measure now what can still be measured.",
    "carriers-turned-unlike": "The eccentric carriers were turned by {holes_a:holes} (end A) and {holes_b:holes} "
    "(end B): turn one of them until both are turned alike, before any shim.",
    "carriers-found-unlike": "The marks of the eccentric carriers were found at hole {hole_a} (end A) and hole "
    "{hole_b} (end B). Is that the maker's setting, and was the old pattern good? Then leave them. If not, set both as "
    "the maker's manual says before any shim. If the numbers rise opposite ways at the two ends, say so on the sheet.",
    "carriers-stand-unlike": "The marks of the eccentric carriers stand at hole {hole_a} (end A) and hole {hole_b} "
    "(end B): turn one of them until both stand alike, before any shim.",
    "several-holes": "Both eccentric carriers were turned by {holes} holes at once. Turn one hole at a time and look "
    "at backlash and pattern in between.",
    "unequal-turn": "The last turn of the eccentric carriers was not the same at both ends. Turn both alike, the same "
    "way.",
    "upper-bolts-more": "Under {place:place} the upper bolts carry {more_mm:length} more than the lower ones: shim "
    "both alike.",
    "lower-bolts-more": "Under {place:place} the lower bolts carry {more_mm:length} more than the upper ones: shim "
    "both alike.",
    "shims-below-nothing": "More shims were taken from {place:place} than were there: see which entry is wrong.",
    "shims-too-thick": "Under {place:place} lie {pack_mm:length} of shims, more than the {thickest_mm:length} that it "
    "takes.",
}
"""Points by their code."""
