"""The one table of what a machine sheet may hold: every key with what it may be, an example, and what it means.

Reading, the checks, the sheet to fill in, the options of the command line and the list for people come from it.
"""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.frame import Compound, End, Marking, Medium, Seen
from patternscan.seeing.tags.tag_pair import LAST_PAIR
from patternscan.setting.machine.allowed import (
    FRACTION,
    STOCK,
    TEXT,
    Allowed,
    length,
    limits,
    number,
    one_of,
    whole,
    word,
)

NOT_KNOWN = "unknown"
"""Written on the sheet where a machine's answer has still to be found out."""


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


# fmt: off
MACHINE = Table("machine", (
    Field("name", TEXT, "{NAME}", "what the machine is called", "machine"),
    Field("end_a", TEXT, '"the motor\'s side"',
          "where end A is; paint the letter A on that face of every new wheel too"),
))
GEAR = Table("gear", (
    Field("module_mm", number(0.5, 40, " mm"), "6.3", "axial module"),
    Field("centre_distance_mm", number(10, 3000, " mm"), "126", "in place of the module, when the plate gives that"),
    Field("starts", whole(1, 12), "2", "starts (threads) of the worm"),
    Field("teeth", whole(10, 400), "31", "teeth of the wheel"),
    Field("worm_diameter_mm", number(5, 1000, " mm"), "56.7", "pitch diameter of the worm"),
    Field("pressure_angle_deg", number(10, 35, " degrees"), "20",
          "pressure angle: axial for za, normal for zi and zn", guess=20.0),
    Field("hand", word("right", "left"), '"right"', "hand of the worm, right or left"),
    Field("face_width_mm", number(3, 1000, " mm"), "43.8", "face width of the wheel"),
    Field("profile", word("za", "zi", "zn"), '"zi"',
          "form of the thread: za = straight in the axial section, zi = involute, zn = straight in the normal section",
          guess="zi"),
    Field("hob_oversize", number(0, 0.2, " (0.02 is 2 %)"), "0.02",
          "how much larger than the worm the hob was: 0.02 is 2 %", guess=0.04),
    Field("rim", word("throated", "straight"), '"throated"',
          '"straight" when the rim was turned to a plain cylinder, not throated'),
), "from the maker's plate or drawing; with it places are told better, and 2 changes of shims do instead of 3")
PHOTOS = Table("photos", (
    Field("marking", one_of(Marking), '"transfer"',
          'compound printed onto clean teeth; or "rub-off": painted teeth rubbed bare'),
    Field("compound", one_of(Compound), '"blue"', " or ".join(f'"{colour}"' for colour in Compound)),
    Field("film", TEXT, '"thin, by brush"', "how the compound was laid on, in your own words"),
    Field("film_um", number(0.5, 100, " thousandths of a millimetre"), "10",
          "its thickness in thousandths of a millimetre, when known"),
    Field("medium", one_of(Medium), '"flank"',
          'what is photographed; or "tape" or "paper": the print lifted off on clear tape or pressed onto paper'),
    Field("seen", one_of(Seen), '"touched"',
          'the side of tape or paper that touched the tooth; or "through": the compound is seen through it'),
    Field("teeth_per_flank", whole(1, 20), "3", "teeth to blue and photograph"),
))
TARGET = Table("target", (
    Field("left_along", FRACTION, "0.5", "on the left flank: 0 = end A, 1 = end B", "left"),
    Field("right_along", FRACTION, "0.5", "on the right flank", "right"),
), "where the pattern should sit, when the maker does not want it in the middle")
SHIMS = Table("shims", (
    Field("carrier", one_of(End), '"A"', "the carrier that holds them"),
    Field("adding_moves_wheel", one_of({"toward-A": End.A, "toward-B": End.B, NOT_KNOWN: None}), '"unknown"',
          '"toward-A" or "toward-B" once it is known', "toward"),
    Field("holds_shaft", one_of({"alone": True, "both": False}), '"both"',
          '"alone" when this carrier by itself holds the shaft endways', "alone"),
    Field("thickest", length(0.01, 50), '"2.0 mm"', "the thickest pack that this carrier takes", "thickest_mm"),
    Field("stock", STOCK, '["0.10 mm x 4", "0.005 in x 6"]', "shims on hand"),
), "the shims that move the wheel from side to side")
ECCENTRICS = Table("eccentrics", (
    Field("holes", whole(2, 120), "12", "holes round the whole circle, numbered from 1"),
    Field("throw", length(0.05, 50), '"3.0 mm"', "how far the bore lies off the seat", "throw_mm"),
    Field("span", length(10, 5000), '"300 mm"', "from carrier to carrier", "span_mm"),
    Field("widest_hole", number(1, 121), "1", "the hole at which the centres are widest, when known"),
    Field("numbers_rise", one_of({"clockwise": True, "anticlockwise": False}), '"clockwise"',
          'or "anticlockwise": the numbers at end A, seen before end A', "clockwise"),
    Field("numbers_rise_b", one_of({"clockwise": True, "anticlockwise": False}), '"clockwise"',
          "the numbers at end B, seen before end B", "clockwise_b"),
    Field("more_backlash", one_of({"higher": 1, "lower": -1, NOT_KNOWN: None}), '"unknown"',
          '"higher" or "lower": which way the mark at end A moves for more backlash'),
), "eccentric carriers, where the machine has them")
DIAL = Table("dial", (
    Field("radius", length(5, 5000), '"260 mm"', "from the wheel's axis to where the gauge touches", "radius_mm"),
    Field("positions", whole(1, 24), "4", "positions of the wheel at which it is read"),
), "reading of backlash")
LIMITS = Table("limits", (
    Field("worm_end_play", limits(0, 5), '["0.08 mm", "0.13 mm"]', "end play of the worm"),
    Field("wheel_end_play", limits(0, 5), '["0.05 mm", "0.15 mm"]', "end play of the wheel shaft"),
    Field("backlash", limits(0, 10), '["0.15 mm", "0.40 mm"]', "backlash at the wheel's pitch circle"),
    Field("backlash_radius", length(5, 5000), '"212 mm"',
          "from the wheel's axis to where that limit counts, when not at the pitch circle", "backlash_radius_mm"),
    Field("backlash_of", one_of({"teeth": True, "teeth-and-worm-end-play": False}), '"teeth"',
          "what that limit holds: the teeth alone, or the worm's end play too", "backlash_of_teeth"),
    Field("outboard_alignment", length(0.001, 10), '"0.05 mm"', "most that the outboard bearing may be out of line",
          "outboard_alignment_mm"),
    Field("squareness", length(0.001, 10), '"0.05 mm"', "most that the shafts may be out of square", "squareness_mm"),
    Field("seat_run_out", length(0.001, 10), '"0.05 mm"', "most that the wheel's seat may run out", "seat_run_out_mm"),
    Field("worm_run_out", length(0.001, 10), '"0.03 mm"', "most that the worm may run out", "worm_run_out_mm"),
), "the maker's limits, least and most; none is ever taken from elsewhere")
TAGS = Table("tags", (
    Field("pair", whole(0, LAST_PAIR), "137", "number of the pair, as it stands on the printed sheet", "tag_pair"),
), "printed tags that tell end A from end B in a photo")
# fmt: on
TABLES = {table.name: table for table in (MACHINE, GEAR, PHOTOS, TARGET, SHIMS, ECCENTRICS, DIAL, LIMITS, TAGS)}
"""All of a sheet. Limits are the maker's: the check is on sense only."""
