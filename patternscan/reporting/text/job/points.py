"""The points of a setting job's actions and effects, each in a sentence by its code."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from patternscan.cautions import Caution, Statement
from patternscan.reasons import Reason
from patternscan.reporting.text.cautions import caution_message
from patternscan.reporting.text.job.words import CHECKS, JOB_FORMS
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.safety import SAFETY_LINE, SAFETY_TITLE
from patternscan.reporting.text.wording import filled
from patternscan.units import length_words

GUIDE = (
    "This is a guide, not a promise: the formula holds for teeth that touch at the pitch circle, but "
    "when the centres are opened the worm often still touches at the leaving ends of the teeth, and only about half "
    "of the computed backlash may come. Open a little, measure again, and blue again."
)
BLUE = (
    ": clean four teeth or more, paint {marking:paint} with a thin film, mark the place on the sheave, turn by hand "
    "both ways with a little drag, and stop where the {marking:marked} teeth show{port:port}. Photograph both flanks "
    "of {teeth:teeth_round}, {end_a:mark} in view{port:through_port}."
)
APART = (
    "the left flank carries it toward end {left_end}, the right flank toward end {left_end:other_end}, by "
    "{share:percent} of the face width each."
)
CROSSED = (
    f"{APART} Shims cannot cure that. First look whether every photo was given as the "
    "flank that it shows: one mixed up looks the same. Then check that the shafts are square, that both eccentric "
    "carriers stand alike, the centre distance and backlash, and that worm and wheel are a matched pair."
)
TURN = "Turn both eccentric carriers by one hole, the same way,"
THEN = "then the outboard bearing, the pattern and backlash again."
STAYS = "so that the end play stays."
FROM_MANUAL = (
    "not on the sheet, so no one can say here whether the readings are right: take them from the maker's manual."
)
POINTS: Mapping[str, str] = {
    # before any work
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
    # carriers and packs
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
    # readings
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
    # pattern
    "blue": f"Blue the pair{BLUE}",
    "blue-again": f"Blue the pair again{BLUE}",
    "blue-thinly": f"Blue the pair again, thinly{BLUE}",
    "pattern-invalidated": "The last pattern does not count: {by:invalidated} (entry {entry}).",
    "no-flank": "The last pattern has no {flank} flank.",
    "few-teeth": "The last pattern has {teeth:teeth} of the {flank} flank, {wanted} are wanted.",
    "photo-used-before": "The last pattern (entry {entry}) was judged from a photo that entry {earlier} was judged "
    "from, and since then something was changed: strike the wrong entry with {at_log:strike}, and judge the "
    "photos of today.",
    "photograph-again": "Photograph again: {told}",
    "no-direction": "The last pattern gave no direction; more teeth help.",
    "crossed": f"The pattern is crossed: {CROSSED}",
    "crossed-against-maker": f"The pattern is crossed against the maker's own: {CROSSED}",
    "crossed-early": f"The flanks also pull apart: {APART} That tells nothing yet; look again once the shims are done.",
    "crossed-settled": f"The pattern is crossed: {APART} That was looked into:",
    "measured": "{what:geometry}: {reading_mm:length}.",
    "accepted": "{what:geometry}: left as it is by {name:plain}.",
    "centres-cross": "Backlash says so too: the centres stand about {by_mm:fine} too {wide:wide}.",
    "centres-do-not-cross": "Backlash tells otherwise: by it the centres are off by {least_mm:signed} to "
    "{most_mm:signed}, and it would take {asked_mm:signed}.",
    "angle-crosses": "So look at the angle of the shafts: {angle_deg:degrees} would do it.",
    "log-geometry": "Log {what:subjects} as measured ({at_log:measured}), or by name what is left as it is "
    "({at_log:accepted}).",
    "maker-may-want-it": "It is a fault only if the maker's own pattern was not like this; if it was, judge that one "
    "as the maker's own ({at_maker}) or put its places under [target] on the sheet.",
    "in-its-place": "Taken together, both flanks carry the pattern in its place along the face.",
    # side shims
    "move-wheel": "Move the wheel toward end {end}.",
    "no-carrier-known": "The sheet does not say which carrier holds the side shims, so no amount can be given.",
    "trials-disagree": "The last pattern points toward end {end}, the trials together do not: blue again before any "
    "shim.",
    "no-amount-yet": "The pattern asks for the wheel to move toward end {end}, but not yet by how much.",
    "under-carrier": "Under {place:place}, at the upper and the lower bolts alike,",
    "gear-data-worth": "A wheel takes about 3 changes of shims without gear data on the sheet, about 2 with them.",
    "step-may-be": "By the readings anything from {least_mm:fine} to {most_mm:fine} may be right.",
    "from-stock": "From the shims on hand, for the upper and the lower bolts each:",
    "pack": "{total_mm:length}: {shims}.",
    "too-few-shims": "But only {pack_mm:length} of shims lie under {place:place}.",
    "no-room": "But {place:place} takes no more than {thickest_mm:length}; {pack_mm:length} lie there.",
    "swap": "{place:capital_place}{bolts:bolts}: take out {out}; put in {into}.",
    "swap-out": "{place:capital_place}{bolts:bolts}: take out {out}.",
    "swap-in": "{place:capital_place}{bolts:bolts}: put in {into}.",
    "out-first": "First take out under {place:place}, then put in on the other side: put in first, it clamps the "
    "bearings.",
    "other-side-opposite": f"Change those under {{place:place}} by as much the other way, {STAYS}",
    "other-side-less": f"Take the same from {{place:place}}, {STAYS}",
    "other-side-more": f"Put the same under {{place:place}}, {STAYS}",
    "shim-effect": "By the trials, {by_mm:length} more under {place:place} moves the pattern {share:percent} of the "
    "face width ({least:whole} to {most:percent}) toward end {end}.",
    "write-rule": 'So it moves the wheel toward end {end}: write adding_moves_wheel = "toward-{end}" on the sheet.',
    # backlash
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
    # the end
    "close-housing": "Close the housing and note it with who saw it, then read the pattern and backlash once more "
    "through the inspection port.",
    "through-the-port": "Through the port: hold a torch beside the phone, not in line with it, touch the teeth on the "
    "screen so that the phone meters and focuses on them, and keep the end mark in view.",
    "clean-and-sign": "Clean off all compound, put guards and oil back, then sign off.",
    "signed-off": "Nothing to do: signed off by {name:plain} on {date} (entry {entry}).",
    "signed-off-early": "Signed off by {name:plain} on {date} (entry {entry}), but not everything was in order.",
    "open-at-sign-off": "At sign-off this was still open:",
    "land-the-load": f"{SAFETY_TITLE}: {SAFETY_LINE}",
    # what an event brought about
    "turned-unlike": "The carriers were not turned alike. Turn both alike, the same way, one hole at a time.",
    "turn-not-reckoned": "What the turn did cannot be reckoned. {found} {remedy}",
    "centres-opened": "By the sheet the centres opened by {by_mm:length}.",
    "centres-closed": "By the sheet the centres closed by {by_mm:length}.",
    "backlash-added": f"That should add at most {{backlash_mm:length}} of backlash. {GUIDE}",
    "backlash-taken": "That should take about {backlash_mm:length} of backlash. Measure it again.",
    "shaft-tilted": "The shaft is now tilted by {tilt_deg:degrees}.",
    "shaft-tilted-as-if": "The shaft is now tilted by {tilt_deg:degrees}, as if the wheel stood {axial_mm:length} "
    "further toward end {end}.",
    "shaft-out-of-square": "The shaft went out of square by {angle_deg:degrees}, which pulls the flanks to opposite "
    "ends.",
    "centres-at-most": "The centres changed by {by_mm:length} at most.",
    "shaft-at-most": "The shaft was tilted or turned out of square by {tilt_deg:degrees} at most.",
    "dead-centre-unknown": "Nobody has noted at which hole the centres are widest, so only the most that this turn can "
    "do is known. Turn each carrier through its range, note the hole with the largest backlash, and enter it in the "
    "machine sheet.",
    "sheet-contradicts-itself": "The machine sheet contradicts itself: 'widest_hole' and 'more_backlash' do not agree "
    "on which way opens the centres. Find out which is right before you turn further.",
    "at-pitch-radius": "At the pitch radius that is {readings_mm:span}.",
    "at-limit-radius": "Where the maker's limit counts, {radius_mm:length} from the axis, that is {readings_mm:span}.",
    "teeth-at-radius": "Where the maker's limit counts, {radius_mm:length} from the axis, and without the worm's end "
    "play of {play_mm:length}, that is {readings_mm:span}.",
    "end-play-too-large": "The worm's end play, {play_mm:length}, is more than that: one of them is wrong, or the worm "
    "did not slide.",
    "left-for-teeth": "Up to {play_mm:length} of it is the worm's end play; without it {teeth_mm:span} is left for the "
    "teeth.",
    "still-open": "Still open at sign-off:",
    # what looks like a slip
    "far-beyond": "{reading_mm:length} is far beyond what it may be at most, {most_mm:length}.",
    "perhaps-inches": "Was it {meant_mm:length}, in millimetres?",
    "unlike-fellows": "One reading, {reading:length}, is far above the others, which lie round {median:length}.",
    "angle-unlike-fellows": "One reading, {reading:g} degrees, is far above the others, which lie round {median:g}.",
    "other-radius": "The gauge touched {radius_mm:length} from the wheel's axis, but the sheet says "
    "{sheet_mm:length}: readings at two radii cannot be compared as they stand.",
    "thick-pack": "{pack_mm:length} under {place:place} is more than a pack may be there, {most_mm:length}.",
    "unlike-pack": "These shims come to {total_mm:fine}, but the pack noted under {place:place} is {noted_mm:fine}.",
    "tooth-not-there": "Tooth {tooth} is not there: by the sheet the wheel has {teeth}.",
    "against-advice": "{change_mm:change_of}, but the last pattern asks for the opposite: {advised_mm:change}.",
    "large-change": "{change_mm:change_of} under {place:place} is far more than is asked for at once.",
}
"""Points by their code."""


def points_sentence(points: Iterable[Statement]) -> str:
    """The points one after the other; one that ends with a comma or a colon runs on into the next."""
    words = ""
    for one in points:
        sentence = point_sentence(one)
        runs_on = words.endswith(",")
        words += f" {sentence[:1].lower() if runs_on else sentence[:1]}{sentence[1:]}"
    return words.strip()


def point_sentence(point: Statement) -> str:
    """One point."""
    if isinstance(point, Reason):
        return reason_sentence(point)
    if isinstance(point, Caution):
        return caution_message(point)
    if point.code in ("above-limit", "below-limit"):
        return _miss(point)
    if point.code == "no-pack":
        return _no_pack(dict(point.values))
    return filled(POINTS[point.code], point, JOB_FORMS)


def _miss(point: Statement) -> str:
    value: dict[str, Any] = dict(point.values)
    reading, limit = length_words(value["reading_mm"]), length_words(value["limit_mm"])
    just = "just " if reading == limit else ""
    side = "more than the maker's most" if point.code == "above-limit" else "less than the maker's least"
    return f"The {CHECKS[value['check']].name} is {reading}, {just}{side}, {limit}."


def _no_pack(value: dict[str, Any]) -> str:
    nearest = [
        f"nearest {side} is {length_words(value[f'{side}_mm'])}: {value[side]}"
        for side in ("below", "above")
        if value[side] is not None
    ]
    listed = "; ".join(nearest) or "there are no shims to choose from"
    return f"{length_words(value['wanted_mm'])} cannot be made from these shims. {listed[:1].upper()}{listed[1:]}."
