"""The one table of what a machine sheet may hold: every key with what it may be, an example, and what it means.

Reading, the checks, the sheet to fill in, the options of the command line and the list for people come from it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from patternscan.errors import WrongUse
from patternscan.frame import Compound, End, Marking
from patternscan.setting.machine.stock import parse_stock
from patternscan.units import parse_length

NOT_KNOWN = "unknown"
"""Written on the sheet where a machine's answer has still to be found out."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """What a value may be, in words; ``convert`` gives what the program works with, and raises ValueError or WrongUse.

    Numbers keep their unit; lengths with a written unit become mm. ``choices`` are the words to choose from, if any.
    """

    words: str
    convert: Callable[[Any], Any]
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Field:
    """A key of the sheet. ``example`` is its value as TOML; ``name`` is what the program calls it, if not the key.

    ``guess`` is the usual value (common practice), put in place of one that is not known; None where none is guessed.
    """

    key: str
    allowed: Allowed
    example: str
    meaning: str = ""
    name: str = ""
    guess: str | float | None = None

    @property
    def told(self) -> str:
        """What it means, and what is taken when it is not known."""
        return self.meaning if self.guess is None else f"{self.meaning}; when not known: {self.guess_words}"

    @property
    def guess_words(self) -> str:
        """The guess as a person would write it."""
        return f"{self.guess:g}" if isinstance(self.guess, float) else str(self.guess)


@dataclass(frozen=True, slots=True)
class Table:
    """A table of the sheet with its keys in the order in which they are written."""

    name: str
    fields: tuple[Field, ...]
    meaning: str = ""

    def __getitem__(self, key: str) -> Field:
        return next(field for field in self.fields if field.key == key)


def _number(low: float, high: float, unit: str = "") -> Allowed:
    def convert(value: Any) -> Any:
        return _right(isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high, value)

    return Allowed(f"a number from {low:g} to {high:g}{unit}", convert)


def _whole(low: int, high: int) -> Allowed:
    def convert(value: Any) -> Any:
        return _right(isinstance(value, int) and not isinstance(value, bool) and low <= value <= high, value)

    return Allowed(f"a whole number from {low} to {high}", convert)


def _one_of(meant: Mapping[str, Any] | type[StrEnum]) -> Allowed:
    values = meant if isinstance(meant, Mapping) else {word.value: word for word in meant}

    def convert(value: Any) -> Any:
        return values[_right(isinstance(value, str) and value in values, value)]

    return Allowed(" or ".join(f'"{word}"' for word in values), convert, tuple(values))


def _length(least_mm: float, most_mm: float) -> Allowed:
    def convert(value: Any) -> Any:
        length_mm = parse_length(_right(isinstance(value, str), value))
        return _right(least_mm <= length_mm <= most_mm, length_mm)

    return Allowed(
        f'a length with its unit, {least_mm:g} to {most_mm:g} mm, as "0.10 mm", "0.004 in" or "4 thou"', convert
    )


def _limits(least_mm: float, most_mm: float) -> Allowed:
    def convert(value: Any) -> Any:
        texts = _right(
            isinstance(value, list) and len(value) == 2 and all(isinstance(one, str) for one in value), value
        )
        least, most = map(parse_length, texts)
        return _right(least_mm <= least <= most <= most_mm, (least, most))

    return Allowed(
        f'least before most, each with its unit, as ["0.08 mm", "0.13 mm"], {least_mm:g} to {most_mm:g} mm',
        convert,
    )


def _right(right: bool, value: Any) -> Any:
    if not right:
        raise ValueError(value)
    return value


_TEXT = Allowed("some text", lambda value: _right(isinstance(value, str) and bool(value.strip()), value))
_STOCK = Allowed(
    'a list of shims with their number, as ["0.10 mm x 4", "0.005 in x 6"]',
    lambda value: parse_stock(
        _right(isinstance(value, list) and all(isinstance(one, str) for one in value), value),
    ),
)
_FRACTION = Allowed("a number from 0 to 1", lambda value: float(_number(0, 1).convert(value)))
_END_TOWARD = {"toward-A": End.A, "toward-B": End.B, NOT_KNOWN: None}

MACHINE = Table(
    "machine",
    (
        Field("name", _TEXT, "{NAME}", "", "machine"),
        Field(
            "end_a",
            _TEXT,
            '"the motor\'s side"',
            "where end A is; paint the letter A on that face of every new wheel too",
        ),
    ),
)
GEAR = Table(
    "gear",
    (
        Field("module_mm", _number(0.5, 40, " mm"), "6.3", "axial module"),
        Field(
            "centre_distance_mm", _number(10, 3000, " mm"), "126", "in place of the module, when the plate gives that"
        ),
        Field("starts", _whole(1, 12), "2", "starts (threads) of the worm"),
        Field("teeth", _whole(10, 400), "31", "teeth of the wheel"),
        Field("worm_diameter_mm", _number(5, 1000, " mm"), "56.7", "pitch diameter of the worm"),
        Field(
            "pressure_angle_deg",
            _number(10, 35, " degrees"),
            "20",
            "pressure angle: axial for za, normal for zi and zn",
            guess=20.0,
        ),
        Field("hand", _one_of({"right": "right", "left": "left"}), '"right"', "hand of the worm, right or left"),
        Field("face_width_mm", _number(3, 1000, " mm"), "43.8", "face width of the wheel"),
        Field(
            "profile",
            _one_of({"za": "za", "zi": "zi", "zn": "zn"}),
            '"zi"',
            "form of the thread: za = straight in the axial section, zi = involute, zn = straight in the normal "
            "section",
            guess="zi",
        ),
        Field(
            "hob_oversize",
            _number(0, 0.2, " (0.02 is 2 %)"),
            "0.02",
            "how much larger than the worm the hob was: 0.02 is 2 %",
            guess=0.04,
        ),
        Field(
            "rim",
            _one_of({"throated": "throated", "straight": "straight"}),
            '"throated"',
            '"straight" when the rim was turned to a plain cylinder, not throated',
        ),
    ),
    "from the maker's plate or drawing; with it places and millimetres are told better",
)
PHOTOS = Table(
    "photos",
    (
        Field(
            "marking",
            _one_of(Marking),
            '"transfer"',
            'compound printed onto clean teeth; or "rub-off": painted teeth rubbed bare',
        ),
        Field("compound", _one_of(Compound), '"blue"', " or ".join(f'"{colour}"' for colour in Compound)),
        Field("film", _TEXT, '"thin, by brush"', "how the compound was laid on, in your own words"),
        Field(
            "film_um",
            _number(0.5, 100, " thousandths of a millimetre"),
            "10",
            "its thickness in thousandths of a millimetre, when known",
        ),
        Field("teeth_per_flank", _whole(1, 20), "3", "teeth to blue and photograph"),
    ),
)
TARGET = Table(
    "target",
    (
        Field("left_along", _FRACTION, "0.5", "0 = end A, 1 = end B", "left"),
        Field("right_along", _FRACTION, "0.5", "", "right"),
    ),
    "where the pattern should sit, when the maker does not want it in the middle",
)
SHIMS = Table(
    "shims",
    (
        Field("carrier", _one_of(End), '"A"', "the carrier that holds them"),
        Field(
            "adding_moves_wheel",
            _one_of(_END_TOWARD),
            '"unknown"',
            '"toward-A" or "toward-B" once it is known',
            "toward",
        ),
        Field(
            "holds_shaft",
            _one_of({"alone": True, "both": False}),
            '"both"',
            '"alone" when this carrier by itself holds the shaft endways',
            "alone",
        ),
        Field("thickest", _length(0.01, 50), '"2.0 mm"', "the thickest pack that this carrier takes", "thickest_mm"),
        Field("stock", _STOCK, '["0.10 mm x 4", "0.005 in x 6"]', "shims on hand"),
    ),
    "the shims that move the wheel from side to side",
)
ECCENTRICS = Table(
    "eccentrics",
    (
        Field("holes", _whole(2, 120), "12", "holes round the whole circle, numbered from 1"),
        Field("throw", _length(0.05, 50), '"3.0 mm"', "how far the bore lies off the seat", "throw_mm"),
        Field("span", _length(10, 5000), '"300 mm"', "from carrier to carrier", "span_mm"),
        Field("widest_hole", _number(1, 121), "1", "the hole at which the centres are widest, when known"),
        Field(
            "numbers_rise",
            _one_of({"clockwise": True, "anticlockwise": False}),
            '"clockwise"',
            'or "anticlockwise", seen from end A with the worm below',
            "clockwise",
        ),
        Field(
            "more_backlash",
            _one_of({"higher": 1, "lower": -1, NOT_KNOWN: None}),
            '"unknown"',
            '"higher" or "lower": which way the mark moves for more backlash',
        ),
    ),
    "eccentric carriers, where the machine has them",
)
DIAL = Table(
    "dial",
    (
        Field("radius", _length(5, 5000), '"260 mm"', "from the wheel's axis to where the gauge touches", "radius_mm"),
        Field("positions", _whole(1, 24), "4", "positions of the wheel at which it is read"),
    ),
    "reading of backlash",
)
LIMITS = Table(
    "limits",
    (
        Field("worm_end_play", _limits(0, 5), '["0.08 mm", "0.13 mm"]'),
        Field("wheel_end_play", _limits(0, 5), '["0.05 mm", "0.15 mm"]'),
        Field("backlash", _limits(0, 10), '["0.15 mm", "0.40 mm"]'),
        Field("outboard_alignment", _length(0.001, 10), '"0.05 mm"', "most", "outboard_alignment_mm"),
    ),
    "the maker's limits, least and most; none is ever taken from elsewhere",
)
TABLES = {table.name: table for table in (MACHINE, GEAR, PHOTOS, TARGET, SHIMS, ECCENTRICS, DIAL, LIMITS)}
"""All of a sheet. Limits are the maker's: the check is on sense only."""


def fault_of(field: Field, value: Any) -> str | None:
    """What was expected instead of the value; None when it is right."""
    try:
        field.allowed.convert(value)
    except (ValueError, WrongUse):
        return field.allowed.words
    return None
