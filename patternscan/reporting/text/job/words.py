"""How the checks, places and numbers of a setting job are worded inside its sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from patternscan.frame import percent
from patternscan.plain_text import one_line
from patternscan.reporting.text.job.reply_words import REPLY_WORDS
from patternscan.reporting.text.wording import FORMS, listed
from patternscan.setting.log.words import PLACE_NAMES, Bolts, Geometry
from patternscan.setting.state.checks import Check
from patternscan.units import MM_PER_INCH, count_words, fine_length_words, length_words


@dataclass(frozen=True, slots=True)
class CheckWords:
    """What a check is called, how it is read and how it is set; ``beside``: what else is looked at on reading again."""

    name: str
    how: str
    setting: str = ""
    beside: str = ""


CHECKS: Mapping[Check, CheckWords] = {
    Check.WORM_END_PLAY: CheckWords(
        "end play of the worm",
        "put the dial on the end of the worm shaft, turn the worm a little, push it both ways",
        "Set it with the worm's own shims, then read it again",
    ),
    Check.WHEEL_END_PLAY: CheckWords(
        "end play of the wheel shaft",
        "put the dial on the end of the wheel shaft, push the shaft both ways",
        "Set it as the maker's manual says; where both carriers have shims, change both alike, then read it again",
    ),
    Check.ALIGNMENT: CheckWords(
        "alignment of the outboard bearing",
        "measure how far the bearing is out of line, and look at its shims",
        "Bring it into line with its own shims, then read it again",
        " and look at its shims",
    ),
    Check.BACKLASH: CheckWords(
        "backlash",
        "with the load secured, hold the worm by brake or clamp, rock the wheel both ways with the dial at the same "
        "radius each time",
    ),
}
INVALIDATED: Mapping[str, str] = {
    "side-shims-changed": "side shims were changed, so the wheel sits elsewhere",
    "side-shims-unbalanced": "the side shims of both sides together are no longer as thick as before",
    "worm-shims-changed": "worm shims were changed, so the worm has another end play and may lie elsewhere",
    "outboard-shims-changed": "shims at the outboard bearing were changed, so the shaft may lie otherwise",
    "carriers-turned": "the eccentric carriers were turned, so the shaft has moved",
    "worm-replaced": "the worm was replaced",
    "worm-bearings-replaced": "the worm's bearings were replaced",
    "wheel-replaced": "the wheel was replaced",
    "wheel-bearings-replaced": "the wheel shaft's bearings were replaced",
    "wheel-shaft-replaced": "the wheel shaft was replaced",
    "carriers-replaced": "the eccentric carriers were replaced",
    "outboard-bearing-replaced": "the outboard bearing was replaced",
    "changed-unnoted": "something was changed, as was answered about a later pattern",
    "end-play-set": "it was read with an end play beyond its limit, which was set since",
    "reference-gone": "what it was held against counts no more",
    "housing-closed": "the housing was closed, and tightening it can move the parts",
}
"""Why a reading counts no more, by the code of what invalidated it."""
MISSED = {place: f"the shims under {name}" for place, name in PLACE_NAMES.items()} | {
    "marks": "where the marks of the eccentric carriers stood",
    "old-pattern": "the pattern of the old wheel",
}


def span_words(lengths_mm: Sequence[float]) -> str:
    """Least to largest in mm, with inches beside them; one number when they print the same.

    >>> span_words([0.08, 0.13])
    '0.08 to 0.13 mm (0.003 to 0.005 in)'
    """
    least, most = min(lengths_mm), max(lengths_mm)
    if length_words(least) == length_words(most):
        return length_words(most)
    thin, thick = (f"{length / MM_PER_INCH:.3f}" for length in (least, most))
    return f"{least:.2f} to {most:.2f} mm ({thin if thin == thick else f'{thin} to {thick}'} in)"


def capital(words: str) -> str:
    """The words with a capital at their beginning."""
    return words[:1].upper() + words[1:]


PORT_LIGHT = ": hold a torch beside the phone, and touch the teeth on the screen so that it meters on them"
BOLT_WORDS = {
    Bolts.ALL: "",
    Bolts.UPPER: ", upper bolts",
    Bolts.LOWER: ", lower bolts",
    **{bolt: f", bolt {bolt}" for bolt in Bolts if bolt.isdecimal()},
}
"""Under which bolts of a place a pack lies."""
GEOMETRY_WORDS = {
    Geometry.SQUARENESS: "Shafts out of square",
    Geometry.CENTRE_DISTANCE: "Centre distance",
    Geometry.SEAT_RUN_OUT: "Run-out of the wheel's seat",
    Geometry.WORM_RUN_OUT: "Run-out of the worm",
}
"""What is measured on housing, seat and worm, as a line of the log begins."""
JOB_FORMS: Mapping[str, Callable[[Any], str]] = {
    **FORMS,
    "length": length_words,
    "span": span_words,
    "signed": lambda length_mm: f"{'wider' if length_mm > 0 else 'closer'} {fine_length_words(abs(length_mm))}",
    "wide": lambda wide: "wide" if wide else "close",
    "degrees": lambda angle: f"{angle:.3f} degrees",
    "plain": one_line,
    "place": PLACE_NAMES.__getitem__,
    "capital_place": lambda place: capital(PLACE_NAMES[place]),
    "bolts": BOLT_WORDS.__getitem__,
    "on_side": lambda side: ", on both sides" if side is None else f" on its side toward end {side}",
    "places": lambda places: ", ".join(PLACE_NAMES[place] for place in places),
    "both_places": lambda places: " and ".join(PLACE_NAMES[place] for place in places),
    "missed": lambda missed: "; ".join(MISSED[what] for what in missed),
    "holes": lambda holes: count_words(holes, "hole"),
    "checks": lambda checks: listed([CHECKS[check].name for check in checks]),
    "check": lambda check: CHECKS[check].name,
    "how": lambda check: CHECKS[check].how,
    "setting": lambda check: CHECKS[check].setting,
    "beside": lambda check: CHECKS[check].beside,
    "invalidated": INVALIDATED.__getitem__,
    "paint": {
        None: "the two in the middle up to both ends (to print: the worm's thread)",
        "rub-off": "the two in the middle up to both ends",
        "transfer": "the worm's thread where it meets them",
    }.__getitem__,
    "marked": {None: "marked", "rub-off": "painted", "transfer": "printed"}.__getitem__,
    "through_port": lambda port: PORT_LIGHT if port else "",
    "port": lambda port: " through the inspection port" if port else "",
    "at_places": lambda places: f" at {places} places round the wheel" if places > 1 else "",
    "some_places": lambda places: "one place" if places == 1 else f"{places} places",
    "teeth": lambda teeth: count_words(teeth, "tooth", "teeth"),
    "teeth_round": lambda teeth: "one tooth" if teeth == 1 else f"{teeth} teeth spread round the wheel",
    "mark": lambda end_a: "the end mark" if end_a is None else f"the letter A (end A: {one_line(end_a)})",
    "g": lambda number: f"{number:g}",
    "change_of": lambda mm: f"{fine_length_words(abs(mm))} {'more' if mm > 0 else 'less'}",
    "reply": REPLY_WORDS.__getitem__,
    "geometry": GEOMETRY_WORDS.__getitem__,
    "subjects": " and ".join,
    "hundredth": lambda number: f"{number:.2f}",
    "whole_percent": lambda share: f"{share * 100:.0f}",
    "percent": percent,
}
"""What may stand after the colon of a gap in a sentence about a job."""
