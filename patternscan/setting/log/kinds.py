"""The one table of what a person can enter into the log: every kind with its questions, in the order of work.

The commands, the questions asked one after the other, forms and the card for the workshop come from it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from patternscan.errors import WrongUse
from patternscan.frame import End
from patternscan.setting.log import events, words
from patternscan.setting.log.answers import Answer, Sort
from patternscan.setting.log.questions import EntryKind, Question, Values
from patternscan.setting.log.replies import QUESTIONS
from patternscan.setting.machine.sheet import Sheet


def _as_told(kind: Callable[..., events.Event]) -> Callable[[Values, Sheet], events.Event]:
    """The answers are the event's own values."""
    return lambda values, _: kind(**values)


def _shims_found(values: Values, _: Sheet) -> events.Event:
    return events.ShimsFound(**{"lower_mm": values["upper_mm"], **values})


def _shim_change(values: Values, _: Sheet) -> events.Event:
    alike = [way * values[name] for name, way in (("add_mm", 1), ("remove_mm", -1)) if name in values]
    single = "upper_mm" in values or "lower_mm" in values
    if len(alike) + single != 1:
        raise WrongUse(
            "It is not clear what was changed.",
            "Say either what was added or what was taken out under all bolts, or what changed under the upper and the "
            "lower bolts.",
        )
    upper, lower = (alike[0], alike[0]) if alike else (values.get("upper_mm", 0.0), values.get("lower_mm", 0.0))
    if upper == lower == 0.0:
        raise WrongUse("The change is nothing.", "Log a change only when there was one.")
    return events.ShimChange(values["place"], upper, lower)


def _eccentric_change(values: Values, _: Sheet) -> events.Event:
    if values["holes_a"] == values["holes_b"] == 0:
        raise WrongUse("Neither eccentric was turned.", "Log a change only when there was one.")
    return events.EccentricChange(**values)


def _backlash(values: Values, sheet: Sheet) -> events.Event:
    radius_mm = values.get("radius_mm", sheet.dial.radius_mm)
    if radius_mm is None:
        raise WrongUse(
            "It is not known how far from the wheel's axis the gauge touched.",
            "Give that distance with the readings, or as radius under [dial] on the machine sheet.",
        )
    return events.Backlash(**{**values, "radius_mm": radius_mm})


def _replied(values: Values, _: Sheet) -> events.Event:
    return events.Replied(question=QUESTIONS[values["reply"]], **values)


WORDS = Answer(Sort.WORDS)
PLACE = Question(
    "place",
    "Where do the shims lie?",
    Answer(
        Sort.CHOICE, choices=words.ShimPlace, short={"a": words.ShimPlace.CARRIER_A, "b": words.ShimPlace.CARRIER_B}
    ),
)
PART = Question("part", "Which part?", Answer(Sort.CHOICE, choices=words.Part))
NAME = Question("name", "Who says so? (name)", WORDS)
THICKNESS, CHANGE = Answer(Sort.LENGTH, 0, 25, "mm"), Answer(Sort.LENGTH, -25, 25, "mm")
HOLE, HOLES = Answer(Sort.WHOLE, 1, 360), Answer(Sort.WHOLE, -360, 360)
DRAG = Question(
    "drag",
    "How hard were the parts held back meanwhile?",
    Answer(Sort.CHOICE, choices=words.Drag),
    "--drag",
    needed=False,
)
TEMPERATURE = Question(
    "temperature_c",
    "How warm was the gear, in degrees Celsius?",
    Answer(Sort.NUMBER, -40, 150, "degrees Celsius"),
    "--temperature",
    needed=False,
)
# fmt: off
ENTRY_KINDS: tuple[EntryKind, ...] = (
    EntryKind("secured", "Landed, isolated and tried",
        "Somebody has hung the car and landed the counterweight (or the load), isolated, locked, and tried that it "
        "stays dead: by name, and anew each day.",
        'secured "R. Moss"', (NAME,), _as_told(events.Secured)),
    EntryKind("shims-found", "Shims as found",
        "Thickness of the shims as found at one place, before anything is changed; or measured again later.",
        "shims-found carrier-A 0.50mm",
        (PLACE,
         Question("upper_mm", "How thick is the pack?", THICKNESS, shown="THICKNESS"),
         Question("lower_mm", "How thick is it under the lower bolts, when it is not the same?", THICKNESS, "--lower",
                  needed=False)),
        _shims_found),
    EntryKind("pieces", "The single shims of a pack",
        "The single shims that lie at one place, with how many of each. Mark those of the outboard stand bolt by bolt "
        "before it comes off.",
        'pieces carrier-A "0.50mm x 1" "0.10mm x 2"',
        (PLACE,
         Question("pieces", "Which shims lie there, each kind with its count?", Answer(Sort.SHIMS), shown="SHIMS",
                  many=True),
         Question("bolts", "Under which bolts? (1 to 6 for those of the outboard stand)",
                  Answer(Sort.CHOICE, choices=words.Bolts), "--bolts", needed=False)),
        lambda values, _: events.PackPieces(**{"bolts": words.Bolts.ALL, **values})),
    EntryKind("eccentrics-found", "Marks of the eccentrics as found",
        "Holes in which the marks of both eccentrics stand as found: first at end A, then at end B.",
        "eccentrics-found 5 5",
        (Question("hole_a", "In which hole stands the mark at end A?", HOLE),
         Question("hole_b", "In which hole stands the mark at end B?", HOLE)),
        _as_told(events.EccentricsFound)),
    EntryKind("number", "Part or serial number",
        "The number that is stamped on a part, old or new.",
        'number wheel "W-46-315"',
        (PART, Question("stamped", "Which number is stamped on it?", WORDS, shown="NUMBER")),
        _as_told(events.PartNumber)),
    EntryKind("end-play", "End play of a shaft",
        "End play of the worm or the wheel shaft as read on the dial.",
        "end-play worm 0.10mm",
        (Question("shaft", "Of which shaft?", Answer(Sort.CHOICE, choices=words.Shaft)),
         Question("reading_mm", "What does the dial read?", Answer(Sort.LENGTH, 0, 5, "mm"), shown="READING"),
         DRAG, TEMPERATURE),
        _as_told(events.EndPlay)),
    EntryKind("alignment", "Outboard bearing",
        "How far the outboard bearing is out of line; its shims are told too when it is said how it stands.",
        "alignment 0.03mm --stands high",
        (Question("reading_mm", "How far is it out of line?", Answer(Sort.LENGTH, 0, 20, "mm"), shown="READING"),
         Question("stands", "Does it stand too high or too low?", Answer(Sort.CHOICE, choices=words.Height), "--stands",
                  needed=False),
         Question("side", "On which side of its stand, toward end A or B of the wheel, if not on both?",
                  Answer(Sort.CHOICE, choices=End), "--side", needed=False),
         TEMPERATURE),
        _as_told(events.Alignment)),
    EntryKind("backlash", "Backlash on the dial",
        "Backlash as read on the dial, one reading for each position of the wheel.",
        "backlash 0.42mm 0.45mm 0.44mm 0.40mm --radius 260mm",
        (Question("readings_mm", "What does the dial read at this place of the wheel?",
                  Answer(Sort.LENGTH, 0, 20, "mm"), shown="READINGS", many=True),
         Question("radius_mm", "How far from the wheel's axis does the gauge touch, if the sheet does not say?",
                  Answer(Sort.LENGTH, 5, 5000, "mm"), "--radius", needed=False),
         DRAG, TEMPERATURE),
        _backlash),
    EntryKind("lost-motion", "Free turn of the worm",
        "Free turn of the worm in degrees, the wheel held, one for each position of the wheel.",
        "lost-motion 2.5 2.4 2.6 2.5",
        (Question("angles_deg", "How far does the worm turn freely at this place of the wheel, in degrees?",
                  Answer(Sort.NUMBER, 0, 360, "degrees"), shown="ANGLES", many=True),
         DRAG, TEMPERATURE),
        _as_told(events.LostMotion)),
    EntryKind("measured", "Measured on housing, seat or worm",
        "How far the shafts are out of square, the centre distance, or how far the wheel's seat or the worm runs out.",
        "measured squareness 0.03mm",
        (Question("what", "What was measured?", Answer(Sort.CHOICE, choices=words.Geometry)),
         Question("reading_mm", "How much is it?", Answer(Sort.LENGTH, 0, 3000, "mm"), shown="READING")),
        _as_told(events.Measured)),
    EntryKind("accepted", "Left as it is",
        "Somebody leaves squareness or centre distance as it is, by name, although the pattern is crossed.",
        'accepted centre-distance "R. Moss"',
        (Question("what", "What is left as it is?", Answer(Sort.CHOICE, choices=words.Geometry)), NAME),
        _as_told(events.Accepted)),
    EntryKind("oil", "Oil",
        "Oil was drained or filled.",
        'oil filled --oil "CLP 460" --litres 12',
        (Question("work", "Was it drained or filled?", Answer(Sort.CHOICE, choices=words.OilWork)),
         Question("oil", "Which oil?", WORDS, "--oil", needed=False),
         Question("litres", "How many litres?", Answer(Sort.NUMBER, 0, 1000, "litres"), "--litres", needed=False)),
        _as_told(events.Oil)),
    EntryKind("replaced", "Part replaced", "A part was replaced by a new one.", "replaced wheel",
        (PART,), _as_told(events.Replaced)),
    EntryKind("shims", "Shims changed", "A change of the shims at one place.",
        "shims carrier-A --add 0.10mm (or --remove 0.10mm)",
        (PLACE,
         Question("add_mm", "How much was added, the same under all bolts?", THICKNESS, "--add", needed=False),
         Question("remove_mm", "How much was taken out, the same under all bolts?", THICKNESS, "--remove",
                  needed=False, unless=("add_mm",)),
         Question("upper_mm", "How much was added under the upper bolts alone? (negative: taken out)", CHANGE,
                  "--upper", needed=False, unless=("add_mm", "remove_mm")),
         Question("lower_mm", "How much was added under the lower bolts alone? (negative: taken out)", CHANGE,
                  "--lower", needed=False, unless=("add_mm", "remove_mm"))),
        _shim_change),
    EntryKind("eccentrics", "Eccentrics turned",
        "Eccentrics turned by so many holes, toward higher numbers. Turn both alike, one hole at a time.",
        "eccentrics --a 1 --b 1",
        (Question("holes_a", "By how many holes at end A? (toward higher numbers is positive)", HOLES, "--a"),
         Question("holes_b", "By how many holes at end B? (toward higher numbers is positive)", HOLES, "--b")),
        _eccentric_change),
    EntryKind("torque", "Bolts tightened",
        "The torque to which the bolts of a joint were tightened.",
        "torque carrier-A 45Nm",
        (Question("joint", "Which bolts?", Answer(Sort.CHOICE, choices=words.Joint)),
         Question("torque_nm", "To which torque?", Answer(Sort.TORQUE, 1, 5000, "Nm"), shown="TORQUE")),
        _as_told(events.Torque)),
    EntryKind("teeth", "Teeth photographed",
        "Numbers of the teeth that were blued and photographed, counted round the wheel from a marked one.",
        "teeth 1 16 31",
        (Question("teeth", "Which tooth was photographed? (its number, counted from a marked one)",
                  Answer(Sort.WHOLE, 1, 400), many=True),),
        _as_told(events.TeethPhotographed)),
    EntryKind("answer", "Answer about a pattern",
        "Somebody answers, by name, what a pattern asks back and no photo tells. It stands then, or counts no more. "
        "What is asked stands first among what is due, with the entry and the two words that answer it.",
        'answer 7 rubbed-off "R. Moss"',
        (Question("entry", "Which pattern is it about? (the number of its entry)", Answer(Sort.WHOLE, 1, 10**6)),
         Question("reply", "How is it?", Answer(Sort.CHOICE, choices=words.Reply), shown="WORD"),
         NAME),
        _replied),
    EntryKind("closed", "Housing closed",
        "The housing was closed; what follows is seen through the inspection port.",
        'closed --witness "E. Larkin"',
        (Question("witness", "Who saw it? (name)", WORDS, "--witness", needed=False),),
        _as_told(events.Closed)),
    EntryKind("note", "Note", "Anything worth keeping, in your own words.", 'note "oil drained"',
        (Question("text", "What is worth keeping?", WORDS),), _as_told(events.Note)),
    EntryKind("strike", "Strike an entry",
        "Strike an earlier entry that was wrong; it stays in the log but counts no more.",
        'strike 7 --because "read the wrong dial"',
        (Question("entry", "Which entry was wrong? (its number)", Answer(Sort.WHOLE, 1, 10**6)),
         Question("because", "Why does it not count?", WORDS, "--because")),
        _as_told(events.Struck)),
    EntryKind("sign-off", "Sign off",
        "End the job: somebody takes it over as it is, by name. What is still open is said, and the decision is that "
        "person's.",
        'sign-off "E. Larkin"',
        (replace(NAME, asked="Who takes it over? (name)"),), _as_told(events.SignOff)),
)
# fmt: on
"""All but patterns, which are judged from photos."""
KIND_OF = {kind.word: kind for kind in ENTRY_KINDS}


def entry_event(word: str, values: Values, sheet: Sheet) -> events.Event:
    """The event of the answers to a kind's questions. Raises WrongUse for answers that do not fit each other."""
    kind = KIND_OF[word]
    missing = [one.asked for one in kind.questions if one.needed and values.get(one.name) in (None, ())]
    if missing:
        raise WrongUse(f"Not answered: {missing[0]}", "Answer it.")
    return kind.event({name: value for name, value in values.items() if value is not None and value != ()}, sheet)
