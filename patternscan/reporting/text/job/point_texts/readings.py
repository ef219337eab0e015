"""Points of readings: what to read again, within or beyond which limit, and how backlash is set."""

from __future__ import annotations

from collections.abc import Mapping

GUIDE = (
    "This is a guide, not a promise: the formula holds for teeth that touch at the pitch circle, but "
    "when the centres are opened the worm often still touches at the leaving ends of the teeth, and only about half "
    "of the computed backlash may come. Open a little, measure again, and blue again."
)
TURN = "Turn both eccentric carriers by one hole, the same way,"
THEN = "then the outboard bearing, the pattern and backlash again."
FROM_MANUAL = (
    "not on the sheet, so no one can say here whether the readings are right: take them from the maker's manual."
)

READING_POINTS: Mapping[str, str] = {
    "read": "Read the {check:check}{port:port}{places:at_places}: {check:how}.",
    "read-again": "Read the {check:check} again{port:port}{places:at_places}{check:beside}:",
    "invalidated": "{by:invalidated} (entry {entry}).",
    "log-other-side": "If as much went to the other side, log that too.",
    "say-holds-shaft": 'If {place:place} by itself holds the shaft endways, write holds_shaft = "alone" under '
    "[shims] on the sheet.",
    "how-to-set": "{check:setting}.",
    "worm-shims-out": "Take {by_mm:fine} in all out from under the worm's bearing cover ({least_mm:fine} to "
    "{most_mm:fine} brings it within the limit).",
    "worm-shims-in": "Put {by_mm:fine} in all under the worm's bearing cover ({least_mm:fine} to {most_mm:fine} brings "
    "it within the limit).",
    "stand-shims-out": "It stands too high: take {by_mm:fine} out from under the bolts of its stand{side:on_side}.",
    "stand-shims-in": "It stands too low: put {by_mm:fine} under the bolts of its stand{side:on_side}.",
    "say-how-it-stands": "Log it again, and how it stands ({at_log:alignment READING --stands high}), to be told "
    "its shims.",
    "within-limit": "The {check:check} is {readings_mm:span}, within the maker's {limit_mm:span}.",
    "no-limit": f"The maker's limit for {{checks:checks}} is {FROM_MANUAL}",
    "no-limits": f"The maker's limits for {{checks:checks}} are {FROM_MANUAL}",
    "outboard-unseen": "If the machine has an outboard bearing, read its alignment and look at its shims: the carriers "
    "were turned.",
    "few-places": "Read backlash again at {wanted} places round the wheel; the last reading has only {taken}.",
    "not-comparable": "Backlash cannot be compared with the maker's limit: give module and number of teeth (and for a "
    "reading at the worm its starts) on the sheet, and the dial's radius with the reading.",
    "holds-end-play": "Up to {play_mm:length} of it is the worm's end play.",
    "no-setting-helps": "It changes round the wheel by more than the limits allow: no setting brings it right all "
    "round.",
    "set-centres": "Set the centre distance as the maker's manual says, then read the pattern and backlash again.",
    "turn-carriers": f"{TURN} to the next {{hole}} hole for {{wanted}} backlash; {THEN}",
    "turn-carriers-apart": "Turn both eccentric carriers by one hole, the same way: at end A to the next {hole} hole, "
    f"at end B to the next {{hole_b}} one, for {{wanted}} backlash; {THEN}",
    "turn-carriers-either-way": f"{TURN} for {{wanted}} backlash (the sheet does not say which way that is: read "
    f"backlash right after); {THEN}",
    "turn-carriers-contradicted": f"{TURN} for {{wanted}} backlash (widest_hole and more_backlash on the sheet do not "
    f"agree: find out which is right); {THEN}",
    "open-centres": f"The centres have to open by {{by_mm:fine}} at least. {GUIDE}",
    "close-centres": "The centres have to close by about {by_mm:fine}.",
    "teeth-bind": "There is no backlash at all at {places:some_places} round the wheel: the teeth bind there. Do not "
    "run it.",
    "uneven-backlash": "Backlash differs by {spread_mm:length} round the wheel ({readings_mm:span}). Backlash that "
    "changes round the wheel comes from a wheel that runs out or from unequal teeth; shims and eccentric carriers "
    "cannot cure it, and the least place counts for tightness, the largest for wear.",
}
"""Points by their code."""
