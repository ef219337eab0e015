"""Points of the pattern: to blue and photograph it, and what a crossed one asks for."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.reporting.text.reasons import OFF_ENDS

BLUE = (
    ": clean four teeth or more, paint {marking:paint} with a thin film, mark the place on the sheave, turn by hand "
    "both ways with a little drag, and stop where the {marking:marked} teeth show{port:port}. Photograph both flanks "
    "of {teeth:teeth_round}, {end_a:mark} in view{port:through_port}."
)
APART = (
    "the left flank carries it toward end {left_end}, the right flank toward end {left_end:other_end}, by "
    "{share:percent} of the face width each."
)
CHECKS = (
    "First look whether every photo was given as the flank that it shows: one mixed up looks the same. Then check that "
    "the shafts are square, that both eccentric carriers stand alike, the centre distance and backlash, and that worm "
    "and wheel are a matched pair."
)
CROSSED = f"{APART} Shims cannot cure that. {CHECKS}"
ONE_ANSWER = "One answer is for all of these: if only one of them is not right, give the answer for that one."
"""Said where one question is asked of several flanks or photos."""

PATTERN_POINTS: Mapping[str, str] = {
    "blue": f"Blue the pair{BLUE}",
    "blue-again": f"Blue the pair again{BLUE}",
    "blue-thinly": f"Blue the pair again, thinly{BLUE}",
    "pattern-invalidated": "The last pattern does not count: {by:invalidated} (entry {entry}).",
    "no-flank": "The last pattern has no {flank} flank.",
    "few-teeth": "The last pattern has {teeth:teeth} of the {flank} flank, {wanted} are wanted.",
    "photo-used-before": "The last pattern (entry {entry}) was judged from a photo that entry {earlier} was judged "
    "from, and since then something was changed: strike the wrong entry with {at_log:strike}, and judge the "
    "photos of today.",
    "photo-looks-used": "A photo of the last pattern (entry {entry}) looks cut out of a photo that entry {earlier} was "
    "judged from, and the numbers are the same, though something was changed since. Was an old photo given? Strike "
    "entry {entry} with {at_log:strike}, and judge the photos of today. If it is new, take it again from a little to "
    "the side: two photos from one stand look so too.",
    "cannot-be-used": "The last pattern cannot be used: {told}",
    "asked": "First look at the last pattern: {told}",
    "asked-of-maker": "First look at the maker's pattern: {told}",
    "not-answered": "Not answered: {told}",
    "not-answered-of-maker": "Not answered, of the maker's pattern: {told}",
    "one-answer-for-all": ONE_ANSWER,
    "to-answer": "Log how it is {at_answer:{entry}} {stands} ({stands:reply}) or {falls} ({falls:reply}).",
    "pattern-disowned": "The last pattern (entry {entry}) does not count: {reply:reply}, says {name:plain} (entry "
    "{by}).",
    "maker-elsewhere": "Is the pattern to lie where the maker's lies? The maker's own (entry {entry}) lies "
    "{share:percent} of the face width toward end {end} of where this job wants it. If so, write left_along = "
    "{left:hundredth} and right_along = {right:hundredth} under [target] on the sheet and judge the photos again. Go "
    "by what follows only if not.",
    "maker-disowned": "The maker's pattern (entry {entry}) does not count: {reply:reply}, says {name:plain} (entry "
    "{by}). So no pattern of this job is held against it: judge a sound print of the maker's, if there is one "
    "({at_maker}).",
    "pattern-counts-again": "The last pattern (entry {entry}) does not count: {reply:reply}, says {name:plain} (entry "
    "{by}). So the pattern before it counts again, of entry {earlier}: see that it was taken well, or strike it "
    "({at_log:strike}) and blue the pair again.",
    "maker-counts-again": "The last pattern of the maker's (entry {entry}) does not count: {reply:reply}, says "
    "{name:plain} (entry {by}). So the one before it counts again, of entry {earlier}: see that it is sound, or strike "
    "it ({at_log:strike}).",
    "judge-as-through": "Judge the same photos again, saying that the compound is seen through the tape "
    "({at_seen:through}).",
    "judge-as-touched": "Judge the same photos again, saying that the side is seen that touched the tooth "
    "({at_seen:touched}).",
    "judge-against-own": "Judge the same photos again, held against a print of this machine or against none.",
    "judge-against-another": "Judge the same photos again, held against another print or against none.",
    "trials-wait": "What the changes of shims did is not used until the question about the last pattern is answered.",
    "asked-first-of-trial": "First look at the pattern of entry {entry}, on which the stop below rests:",
    "trial-not-used": "What the shims did by the pattern of entry {entry} is not used until this is answered:",
    "asked-of-trial": "{told}",
    "no-direction": "The last pattern gave no direction; more teeth help.",
    "crossed": f"The pattern is crossed: {CROSSED}",
    "crossed-off-ends": "The pattern is crossed: the left flank carries it to end {left_end}, the right flank to end "
    f"{{left_end:other_end}}, {OFF_ENDS} {CHECKS}",
    "crossed-against-maker": f"The pattern is crossed against the maker's own: {CROSSED}",
    "mixed": f"The flanks also pull apart: {APART} No shim cures that; look again once the shims are done.",
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
}
"""Points by their code."""
