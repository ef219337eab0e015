"""Points of a single entry: what it brought about, and why it looks like a slip."""

from __future__ import annotations

from collections.abc import Mapping

from patternscan.reporting.text.job.point_texts.readings import GUIDE

ENTRY_POINTS: Mapping[str, str] = {
    "turned-unlike": "The carriers were not turned alike. Turn both alike, the same way, one hole at a time.",
    "alike-now": "Both carriers stand alike now.",
    "turn-not-reckoned": "What the turn did cannot be reckoned. {found} {remedy}",
    "centres-opened": "By the sheet the centres opened by {by_mm:length}.",
    "centres-closed": "By the sheet the centres closed by {by_mm:length}.",
    "backlash-added": f"That should add at most {{backlash_mm:length}} of backlash. {GUIDE}",
    "backlash-taken": "That should take about {backlash_mm:length} of backlash. Measure it again.",
    "shaft-tilted": "The shaft is now tilted by {tilt_deg:degrees}.",
    "shaft-tilted-as-if": "The shaft is now tilted by {tilt_deg:degrees}, as if the wheel stood {axial_mm:length} "
    "further toward end {end}.",
    "shaft-out-of-square": "The shaft is now out of square by {angle_deg:degrees}, which pulls the flanks to opposite "
    "ends.",
    "centres-at-most": "The centres changed by {by_mm:length} at most.",
    "shaft-at-most": "The shaft is now tilted or out of square by {tilt_deg:degrees} at most.",
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
    "far-beyond": "{reading_mm:length} is far beyond what it may be at most, {most_mm:length}.",
    "perhaps-inches": "Was it {meant_mm:length}, in millimetres?",
    "unlike-fellows": "One reading, {reading:length}, is far above the others, which lie round {median:length}.",
    "angle-unlike-fellows": "One reading, {reading:g} degrees, is far above the others, which lie round {median:g}.",
    "other-radius": "The gauge touched {radius_mm:length} from the wheel's axis, but the sheet says "
    "{sheet_mm:length}: readings at two radii cannot be compared as they stand.",
    "thick-pack": "{pack_mm:length} under {place:place} is more than a pack may be there, {most_mm:length}.",
    "unlike-pack": "These shims come to {total_mm:fine}, but the pack noted under {place:place} is {noted_mm:fine}.",
    "other-than-noted": "By the log {noted_mm:fine} of shims lie under {place:place}, but this says {pack_mm:fine}: a "
    "change may have been forgotten in the log, or noted and not made.",
    "tooth-not-there": "Tooth {tooth} is not there: by the sheet the wheel has {teeth}.",
    "against-advice": "{change_mm:change_of}, but the last pattern asks for the opposite: {advised_mm:change}.",
    "large-change": "{change_mm:change_of} under {place:place} is far more than is asked for at once.",
}
"""Points by their code."""
