"""Cautions about two states of a machine, the trials of a job and its log, as a mechanic reads them."""

from __future__ import annotations

from collections.abc import Mapping

TRIAL = "From {from_mm:pack} to {to_mm:pack} the pattern moved {share:percent} of the face width toward end {end}"
CHECK_ENDS = (
    "Stop, and check which end face carries the letter A, whether every photo was given as the flank that it shows, "
    "and which way a shim under this carrier moves the wheel"
)

VISIT_TEXTS: Mapping[str, tuple[str, str]] = {
    "visits-exchanged": (
        "What was given as before the move was judged later than what was given as after it.",
        "If the two were exchanged, compare them the other way round: better and worse then change places.",
    ),
    "visits-taken-otherwise": (
        "By the camera's clock the photos of after the move were taken before those of before it.",
        "If the two were exchanged, compare them the other way round: better and worse then change places. If not, set "
        "the clock of the phone.",
    ),
    "visits-named-otherwise": (
        "By the names of their photos, what was given as before the move is of after it, and the other way round.",
        "If the two were exchanged, compare them the other way round: better and worse then change places.",
    ),
    "film-unknown": (
        "How much was touched depends on how thick the compound lay, and that was not noted.",
        "Judge by the place of the pattern. Paint equally thin each time, and note the film with {at_film}.",
    ),
    "markings-compared": (
        "The teeth were marked in different ways before and after, which shifts a pattern's rim a little.",
        "Mark them in the same way next time.",
    ),
    "media-compared": (
        "The flank itself was photographed on one visit and its print on tape or paper on the other. A print may be "
        "stretched, and not all of it comes off.",
        "Photograph the flank itself on both visits, or lift it on both.",
    ),
    "machine-untold": (
        "Nothing in the two results tells that they are of one machine.",
        "See that both are; give the machine sheet when you judge, with its name.",
    ),
    "ends-exchanged": (
        "The patterns after the move are like those before it with the flanks and the ends exchanged.",
        "Either the wheel went through its middle and as far out again, or the letter A was painted on the other end "
        "face. Look for it in the photos of both visits.",
    ),
    "visit-asked": ("Photos taken {when} the move: {found}", "{remedy}"),
    "visit-photo-declined": ("A photo taken {when} the move could not be read. {found}", "{remedy}"),
    "visit-proof": ("Photos taken {when} the move: {found}", "{remedy}"),
    "runs-out": (
        "The pattern {when} the move runs off an end. It is off by at least as much as the numbers say, and may be "
        "off by more.",
        "The change may be larger too: go on in small steps.",
    ),
    "wrong-way": (
        "The pattern lies further off its place after the move than before.",
        "Stop. Look again which end face carries the letter A and which way the wheel was really moved.",
    ),
    "trial-against-rule": (
        f"{TRIAL}, against the shim rule of the machine sheet.",
        f"{CHECK_ENDS}. If ends and flanks are right, the rule is wrong: write "
        'adding_moves_wheel = "toward-{toward}" on the sheet.',
    ),
    "trial-against-trial": (f"{TRIAL}, against what an earlier trial showed.", f"{CHECK_ENDS}."),
    "log-line-damaged": (
        "Line {line} of the log is damaged or cut off and does not count.",
        "See what was written there and log it again; leave the line as it is.",
    ),
    "pattern-without-entry": (
        "The folder {folder} holds a judgement that is not in the log: its run was stopped, or is still at work.",
        "Unless a judgement is running, delete that folder and judge again.",
    ),
    "log-changed": (
        "Entry {entry} (line {line}) does not follow what stands before it: a line was changed, put in or taken out by "
        "hand.",
        "Compare with a copy of the log. To take back an entry, strike it with {at_log:strike}.",
    ),
}
"""What is uncertain, and what to do about it, by the code of the caution."""
