"""Whose pattern a result shows: machine, wheel, photos. What is proved not to belong together is refused."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from patternscan.errors import InconsistentInputs

WHEEL_NAMES = {
    "module_mm": "module",
    "starts": "starts",
    "teeth": "teeth",
    "worm_diameter_mm": "worm diameter",
    "hand": "hand",
    "face_width_mm": "face width",
}
"""Gear data by which wheels are told apart. Thread form, pressure angle and hob size are left out: they are often
guessed, and the guess may have been bettered between two visits."""
SAME_WITHIN = 0.005
"""Gear data that differ by less than this part count as the same, measured twice."""


@dataclass(frozen=True, slots=True)
class Identity:
    """What a result tells of its origin; empty where it tells nothing. Photos go by the SHA-256 of their file.

    ``seen_hand`` is the hand of the wheel that every photo shows, None when they do not all tell the same.
    """

    machine: str | None = None
    gear: Mapping[str, float | str] = field(default_factory=dict)
    left_photos: frozenset[str] = frozenset()
    right_photos: frozenset[str] = frozenset()
    seen_hand: str | None = None

    @property
    def photos(self) -> frozenset[str]:
        """The photos of both flanks."""
        return self.left_photos | self.right_photos


def refuse_strangers(first: Identity, second: Identity) -> None:
    """Refuse two results that are proved not to belong together; nothing is refused on suspicion.

    Raises InconsistentInputs for other machines, other wheels, a photo that is a left flank in one result and a right
    flank in the other, and teeth that run the other way in every photo.
    """
    _refuse_other_machine(first, second)
    _refuse_other_wheel(first, second)
    _refuse_changed_sides(first, second)
    _refuse_mirrored(first, second)


def _refuse_other_machine(first: Identity, second: Identity) -> None:
    if first.machine and second.machine and _plain(first.machine) != _plain(second.machine):
        raise InconsistentInputs(
            f"The two results are of different machines: {first.machine} and {second.machine}.",
            "Either a result of another machine was given: give two of the same one. Or one machine goes by two "
            "names, on its sheet or in the list of its photos: give it one name and judge again.",
        )


def _refuse_other_wheel(first: Identity, second: Identity) -> None:
    for key, name in WHEEL_NAMES.items():
        one, other = first.gear.get(key), second.gear.get(key)
        if one is None or other is None or _same(one, other):
            continue
        raise InconsistentInputs(
            f"The two results are of different wheels: {name} {one} and {other}.",
            "Either a result of another wheel was given: give two of the same one. Or the gear data on the machine "
            "sheet were changed in between: judge both with the right sheet.",
        )


def _refuse_changed_sides(first: Identity, second: Identity) -> None:
    """A photo counts only when it was given for one flank alone in each result."""
    changed = (first.left_photos - first.right_photos) & (second.right_photos - second.left_photos)
    changed |= (first.right_photos - first.left_photos) & (second.left_photos - second.right_photos)
    if changed:
        raise InconsistentInputs(
            "The same photo is a left flank in one result and a right flank in the other.",
            "Either left and right flank were exchanged in one of them, or end A and end B were: look for the painted "
            "letter A, and judge the wrong one again.",
        )


def _refuse_mirrored(first: Identity, second: Identity) -> None:
    if first.seen_hand and second.seen_hand and first.seen_hand != second.seen_hand:
        raise InconsistentInputs(
            f"The teeth run as on a {first.seen_hand}-hand wheel in the photos of one result, and as on a "
            f"{second.seen_hand}-hand wheel in those of the other.",
            "Either the photos of one visit are mirrored (as selfie cameras do) or their left and right flank were "
            "exchanged: look for the painted letter A. Or they show another wheel.",
        )


def _same(one: float | str, other: float | str) -> bool:
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    return math.isclose(one, other, rel_tol=SAME_WITHIN)


def _plain(words: str) -> str:
    return " ".join(words.split()).casefold()
