"""Points of the side shims: which way the wheel goes, and what comes out and goes in."""

from __future__ import annotations

from collections.abc import Mapping

STAYS = "so that the end play stays."

SHIM_POINTS: Mapping[str, str] = {
    "move-wheel": "Move the wheel toward end {end}.",
    "no-carrier-known": "The sheet does not say which carrier holds the side shims, so no amount can be given.",
    "trials-disagree": "The last pattern points toward end {end}, the trials together do not: blue again before any "
    "shim.",
    "no-amount-yet": "The pattern asks for the wheel to move toward end {end}, but not yet by how much.",
    "read-apart": "Entries {earlier} and {entry} were read with nothing changed in between, yet the patterns lie "
    "{share:percent} of the face width apart. Look at the photos of both: where the painted A is, and whether each was "
    "given as the flank that it shows. Strike the one that was mixed up. If something was changed and is not noted, "
    "strike entry {entry}, note the change, and judge its photos again.",
    "tilted-yet": "Then blue again before any shim: a shaft that is tilted carries the pattern to one end too, so this "
    "pattern does not tell where the wheel sits.",
    "loose-yet": "Then blue again before any shim: the pattern tells where the wheel sits only once the end play is "
    "set.",
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
}
"""Points by their code."""
