"""What happened, in the words of the workshop: one short sentence for each event of the log."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from patternscan.frame import percent
from patternscan.judging.advice import Move
from patternscan.plain_text import one_line
from patternscan.reporting.text.job.reply_words import reply_sentence
from patternscan.reporting.text.job.words import BOLT_WORDS, GEOMETRY_WORDS
from patternscan.setting.log import events
from patternscan.setting.log.pattern_parts import FlankPrint
from patternscan.setting.log.words import PLACE_NAMES, Drag, Joint, Occasion, Part
from patternscan.units import count_words, fine_length_words, length_words, torque_words

PART_WORDS = {
    Part.WORM: "worm",
    Part.WHEEL: "worm wheel",
    Part.WORM_BEARINGS: "worm bearings",
    Part.WHEEL_BEARINGS: "wheel shaft bearings",
    Part.WHEEL_SHAFT: "wheel shaft",
    Part.CARRIERS: "eccentric carriers",
    Part.OUTBOARD_BEARING: "outboard bearing",
    Part.SEALS: "seals",
}
JOINT_WORDS = {
    Joint.CARRIER_A: "the carrier at end A",
    Joint.CARRIER_B: "the carrier at end B",
    Joint.WORM: "the worm bearing cover",
    Joint.OUTBOARD: "the outboard stand",
    Joint.HOUSING: "the housing",
    Joint.RIM: "the rim",
}
DRAG_WORDS = {Drag.NONE: "without drag", Drag.LIGHT: "with light drag", Drag.FIRM: "with firm drag"}
OCCASION_WORDS = {
    Occasion.AS_FOUND: "Pattern on the old wheel, as found",
    Occasion.MAKER: "The maker's pattern",
    Occasion.TRIAL: "Pattern",
}
MOVE_NOTES = {
    Move.TOWARD_A: "move the wheel toward end A",
    Move.TOWARD_B: "move the wheel toward end B",
    Move.STAY: "leave the wheel",
    Move.CANNOT_SAY: "no direction could be told",
    Move.NOT_BY_SHIM: "do not shim, the flanks pull to opposite ends",
}


def event_sentence(event: events.Event) -> str:
    """One sentence that tells the event; lengths in mm with the inch beside them."""
    return SENTENCES[type(event)](event)


def _shims_found(event: events.ShimsFound) -> str:
    return (
        f"Found under {PLACE_NAMES[event.place]}: {_both(event.upper_mm, event.lower_mm, fine_length_words)} of shims."
    )


def _shim_change(event: events.ShimChange) -> str:
    return f"Shims under {PLACE_NAMES[event.place]}: {_both(event.upper_mm, event.lower_mm, _added)}."


def _both(upper_mm: float, lower_mm: float, words: Callable[[float], str]) -> str:
    if upper_mm == lower_mm:
        return words(upper_mm)
    return f"{words(upper_mm)} at the upper bolts, {words(lower_mm)} at the lower bolts"


def _added(change_mm: float) -> str:
    if change_mm == 0:
        return "nothing changed"
    return f"{fine_length_words(abs(change_mm))} {'added' if change_mm > 0 else 'removed'}"


def _pieces(event: events.PackPieces) -> str:
    listed = ", ".join(one.words for one in event.pieces)
    return f"Single shims under {PLACE_NAMES[event.place]}{BOLT_WORDS[event.bolts]}: {listed or 'none'}."


def _eccentrics_found(event: events.EccentricsFound) -> str:
    return f"Marks of the eccentrics found at hole {event.hole_a} (end A) and hole {event.hole_b} (end B)."


def _eccentric_change(event: events.EccentricChange) -> str:
    return f"Eccentrics turned: end A {_holes(event.holes_a)}, end B {_holes(event.holes_b)}."


def _holes(holes: int) -> str:
    if holes == 0:
        return "not at all"
    return f"{count_words(abs(holes), 'hole')} {'up' if holes > 0 else 'down'}"


def _end_play(event: events.EndPlay) -> str:
    return f"End play of the {event.shaft} shaft: {length_words(event.reading_mm)}{_conditions(event)}."


def _conditions(event: events.EndPlay | events.Backlash | events.LostMotion) -> str:
    """How it was read, as far as it was noted."""
    drag = "" if event.drag is None else f", {DRAG_WORDS[event.drag]}"
    return f"{drag}{_warm(event.temperature_c)}"


def _warm(temperature_c: float | None) -> str:
    return "" if temperature_c is None else f", at {temperature_c:g} °C"


def _alignment(event: events.Alignment) -> str:
    way = "" if event.stands is None else f", too {event.stands}"
    side = "" if event.side is None else f" on its side toward end {event.side}"
    return f"Outboard bearing out of line by {length_words(event.reading_mm)}{way}{side}{_warm(event.temperature_c)}."


def _backlash(event: events.Backlash) -> str:
    if not event.readings_mm:
        return "Backlash on the dial: no reading."
    listed = ", ".join(f"{reading:.2f}" for reading in event.readings_mm)
    mean = sum(event.readings_mm) / len(event.readings_mm)
    return (
        f"Backlash on the dial, {length_words(event.radius_mm)} from the wheel's axis: {listed} mm, "
        f"mean {length_words(mean)}{_conditions(event)}."
    )


def _lost_motion(event: events.LostMotion) -> str:
    listed = ", ".join(f"{angle:g}" for angle in event.angles_deg)
    return f"Free turn of the worm: {listed} degrees{_conditions(event)}."


def _oil(event: events.Oil) -> str:
    which = "" if event.oil is None else f", {one_line(event.oil)}"
    much = "" if event.litres is None else f", {event.litres:g} litres"
    return f"Oil {event.work}{which}{much}."


def _teeth(event: events.TeethPhotographed) -> str:
    return f"Teeth photographed, counted from the marked one: {', '.join(map(str, event.teeth))}."


def _closed(event: events.Closed) -> str:
    return "Housing closed." if event.witness is None else f"Housing closed, seen by {one_line(event.witness)}."


def _pattern(event: events.Pattern) -> str:
    flanks = [f"{name} {_print(flank)}" for name, flank in (("left", event.left), ("right", event.right)) if flank]
    shared = ""
    if event.shared is not None:
        end = "" if percent(event.shared.value) == "0 %" else f" toward end {'B' if event.shared.value > 0 else 'A'}"
        shared = f"; together {percent(event.shared.value)} off{end}"
    read = ", ".join(flanks) or "no flank could be read"
    return f"{OCCASION_WORDS[event.occasion]}: {read}{shared}: {MOVE_NOTES[event.move]}."


def _print(flank: FlankPrint) -> str:
    return f"{percent(flank.along.value)} from end A ({count_words(flank.teeth, 'tooth', 'teeth')})"


SENTENCES: dict[type[events.Event], Callable[[Any], str]] = {
    events.Secured: lambda event: f"Hung, landed, isolated, locked and tried: {one_line(event.name)}.",
    events.PackPieces: _pieces,
    events.ShimsFound: _shims_found,
    events.ShimChange: _shim_change,
    events.EccentricsFound: _eccentrics_found,
    events.EccentricChange: _eccentric_change,
    events.EndPlay: _end_play,
    events.Backlash: _backlash,
    events.LostMotion: _lost_motion,
    events.Alignment: _alignment,
    events.Measured: lambda event: f"{GEOMETRY_WORDS[event.what]}: {length_words(event.reading_mm)}.",
    events.Accepted: lambda event: f"{GEOMETRY_WORDS[event.what]}: left as it is by {one_line(event.name)}.",
    events.Replaced: lambda event: f"Replaced: {PART_WORDS[event.part]}.",
    events.Pattern: _pattern,
    events.Replied: reply_sentence,
    events.PartNumber: lambda event: f"Number on the {PART_WORDS[event.part]}: {one_line(event.stamped)}.",
    events.Oil: _oil,
    events.Torque: lambda event: f"Bolts of {JOINT_WORDS[event.joint]} tightened to {torque_words(event.torque_nm)}.",
    events.TeethPhotographed: _teeth,
    events.Closed: _closed,
    events.Note: lambda event: f"Note: {one_line(event.text)}",
    events.SignOff: lambda event: f"Signed off by {one_line(event.name)}.",
    events.Struck: lambda event: f"Entry {event.entry} struck out: {one_line(event.because)}",
}
