"""What a setting job asks for, in sentences, and why: the reason is that of the rule, in whatever job it applies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from patternscan.cautions import Statement
from patternscan.handles import Handle, named
from patternscan.reporting.text.job.points import points_sentence
from patternscan.reporting.text.job.reply_words import REPLY_WORDS
from patternscan.reporting.text.job.words import capital
from patternscan.setting.log.words import Reply
from patternscan.setting.rules.action import Action, Priority

REASONS: Mapping[str, str] = {
    "secure": "A load that was landed yesterday may hang again today, and nobody but you has tried the switch.",
    "before-strip-down": "What was not noted before the work began cannot be seen again.",
    "shims-elsewhere": "Every place can hold shims, and only the ones noted can be put back as they were.",
    "eccentrics-unlike": "Carriers that stand unlike tilt the shaft, and shims can hide that but not cure it.",
    "eccentrics-found-unlike": "Some makers set the carriers unlike on purpose, and only the old pattern tells.",
    "bolts-unlike": "Unlike shims under the bolts of one carrier tilt it.",
    "unequal-turn": "Both eccentric carriers are turned alike and the same way, or the shaft tilts.",
    "several-holes": "One hole can change backlash by more than the whole limit.",
    "impossible-shims": "Shims cannot be less than nothing or thicker than the carrier takes.",
    "not-noted": "What was not noted before the work began cannot be compared with later.",
    **dict.fromkeys(
        ("worm-end-play-missing", "worm-end-play-void", "worm-end-play-beyond", "worm-end-play-within"),
        "End play of the worm blurs the pattern and adds to the backlash in full, so it is set first.",
    ),
    **dict.fromkeys(
        ("wheel-end-play-missing", "wheel-end-play-void", "wheel-end-play-beyond", "wheel-end-play-within"),
        "A wheel shaft that floats puts the pattern now here, now there, so its end play is set before blueing.",
    ),
    **dict.fromkeys(
        (f"outboard-alignment-{case}" for case in ("missing", "void", "beyond", "within")),
        "An outboard bearing out of line bends the shaft, and the pattern with it.",
    ),
    "outboard-unseen": "Turning the carriers moves the shaft in its outboard bearing too.",
    "limits-missing": "Only the maker's own limits count, and none is built in here.",
    "pattern-missing": "The pattern shows where the wheel sits against the worm.",
    "pattern-void": "Every change moves the pattern.",
    "pattern-reference-gone": "How far off a pattern lies is only as true as the print that it was held against.",
    "pattern-incomplete": "One flank alone points the right way only about two times in three, and one tooth is not "
    "the whole wheel.",
    "pattern-old-photos": "A photo shows the pattern of one state only.",
    "pattern-disowned": "Advice rests on what the worm did, and on nothing else.",
    "maker-elsewhere": "Where the maker wants the pattern outranks the middle.",
    "maker-disowned": "What the maker cut on purpose looks like a fault, and a fault like what the maker cut.",
    "counts-again": "Whatever was wrong with the later print may be wrong with the earlier one too.",
    "stop-asked": "A pattern that was read wrongly may be all that went the wrong way.",
    "trials-asked": "What a shim does is learned from patterns, and a wrong one teaches the wrong way.",
    "pattern-poor": "A photo that may be read wrongly points nowhere.",
    "pattern-asked": "No photo tells it, and if it is not so, all that follows may be wrong.",
    "pattern-unclear": "Shims are not changed on a guess.",
    "pattern-centred": "The wheel sits where its pattern asks for.",
    "crossed-early": "The shims come first: far off the middle, or off an end, a crossing comes and goes.",
    "crossed-settled": "What was measured or accepted by name is no longer open.",
    "crossed": "A side shim moves both flanks to the same end; it cannot bring together what lies at opposite ends.",
    "stop-wrong-way": "A pattern that moves the wrong way means that an end or the shim rule is mixed up.",
    "stop-no-gain": "Where shims show no gain, something may keep the wheel from moving with them.",
    "read-apart": "As long as nothing is changed, the pattern comes again at the same place.",
    "stop-too-far": "A pattern that jumps means that an end or a flank is mixed up, or that more was changed.",
    "shim-step": "The wheel moves toward the end that carries the pattern.",
    "near-enough": "A change that moves the pattern further than it is off brings it no nearer.",
    "wrong-way-yet-centred": "A pattern that moved the wrong way means that an end or the shim rule is mixed up.",
    "shim-effect": "Only this machine's own trials tell how far its pattern moves.",
    **dict.fromkeys(
        ("backlash-missing", "backlash-void", "backlash-within"),
        "Backlash depends on where the wheel sits, so it comes after the pattern.",
    ),
    "backlash-places": "A wheel that runs out has more backlash here and less there.",
    "backlash-no-number": "Limits hold at the pitch radius, the dial stands elsewhere.",
    "backlash-beyond": "Too little backlash binds and runs hot, too much knocks; both carriers go alike, one hole at "
    "a time.",
    "backlash-none": "Teeth without any play bind, whatever the limit is.",
    "backlash-uneven": "Spread round the wheel is not cured by setting.",
    "close-up": "All readings count and none lies beyond a limit that the sheet gives; tightening can still move the "
    "parts.",
    "sign-off": "All readings count, taken after closing; compound left inside spoils the oil.",
    "not-answered": "No photo tells it, and if it is not so, the pattern on which the job was signed off is wrong.",
    "fell-since": "The job was signed off by a pattern that no longer counts.",
    "signed-off": "A signed job is done until something is changed.",
    "still-open": "A job ends when every reading counts.",
    "land-the-load": "Neither brake nor lock holds anything once the gear is open.",
}
"""Reasons of the trade by the code of the rule; one flank alone: own simulation of 453 misaligned pairs."""


LISTS = frozenset({"strip-down"})
"""Points that begin a list."""
ANSWERED_BY = "to-answer"
"""The point that tells the two answers to a question."""
SAYS_SAFETY = "secure"
"""The action that says by itself what the caution about the load says."""


def action_sentence(action: Action) -> str:
    """What to do in this job."""
    return points_sentence(action.points)


def safety_sentences(actions: Sequence[Action]) -> list[str]:
    """What is said of safety beside the first action, nothing where that says it itself."""
    first, *rest = actions
    cautions = [action_sentence(one) for one in rest if one.priority is Priority.CAUTION]
    return [] if first.code == SAYS_SAFETY else cautions


def action_lines(action: Action) -> Iterator[str]:
    """The same for a screen: what is a list has a line for each thing to do."""
    return points_lines(action.points)


def points_lines(points: Sequence[Statement]) -> Iterator[str]:
    """Points for a screen, with a line for each after one that begins a list, and for each answer to a question."""
    head = next((number for number, one in enumerate(points[:2], 1) if one.code in LISTS), len(points))
    asks = next((number for number, one in enumerate(points) if one.code == ANSWERED_BY), None)
    if asks is not None:
        yield points_sentence(points[:asks])
        yield from _answer_lines(points[asks])
        yield from points_lines(points[asks + 1 :]) if points[asks + 1 :] else ()
        return
    yield points_sentence(points[:head])
    yield from (f"- {points_sentence([one])}" for one in points[head:])


def _answer_lines(to_answer: Statement) -> Iterator[str]:
    """A line for each of the two answers to a question, with how it is logged."""
    for reply in (Reply(str(to_answer[way])) for way in ("stands", "falls")):
        logged = named(Handle.LOG, f"answer {to_answer['entry']} {reply} NAME")
        yield f"- {capital(REPLY_WORDS[reply])}: {logged}."


def action_reason(action: Action) -> str:
    """Why, in one sentence."""
    return REASONS[action.code]
