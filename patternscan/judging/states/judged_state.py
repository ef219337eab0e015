"""What was kept of a judgement: one state of a machine as plain numbers, and whose pattern it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from patternscan.frame import Compound, Marking, Medium
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval
from patternscan.seeing.image.fingerprint import Fingerprint, OutlinedPicture


@dataclass(frozen=True, slots=True)
class Identity:
    """What a result tells of its origin; empty where it tells nothing. Photos go by the SHA-256 of their file.

    ``seen_hand`` is the hand of the wheel that every photo shows, None when they do not all tell the same; ``pictures``
    are the photos by their pixels, ``outlined`` the same with each flank in them; ``slenderness`` is face width over
    height of the tooth, as outlines alone fit it.
    """

    machine: str | None = None
    gear: Mapping[str, float | str] = field(default_factory=dict)
    left_photos: frozenset[str] = frozenset()
    right_photos: frozenset[str] = frozenset()
    seen_hand: str | None = None
    pictures: tuple[Fingerprint, ...] = ()
    outlined: tuple[OutlinedPicture, ...] = ()
    slenderness: float | None = None

    @property
    def photos(self) -> frozenset[str]:
        """The photos of both flanks."""
        return self.left_photos | self.right_photos


@dataclass(frozen=True, slots=True)
class FlankState:
    """One flank of a judged state: plain numbers pooled over its teeth.

    ``length`` and ``height`` are None in a result of an early version, which kept them without their uncertainty.
    """

    along: Interval
    up: Interval
    coverage: Interval
    length: Interval | None = None
    height: Interval | None = None


@dataclass(frozen=True, slots=True)
class ToldCaution:
    """A caution in the words that a kept file has for it."""

    code: str
    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class GoneEntry:
    """An entry of a job that no longer counts: its number, and that of the answer by which it does not; None where it
    was struck.
    """

    entry: int
    answer: int | None


@dataclass(frozen=True, slots=True)
class JudgedState:
    """What ``judge --json`` kept of one state of a machine. None where there was nothing to compare.

    ``film`` is what a person said of the film of compound, None when nothing was said; ``media``: what was
    photographed. ``asked`` are questions that may turn the answer; ``declined`` tells of photos that could not be read,
    ``proven`` what a proof on own photographs did.
    ``made_at``: when it was judged, in whatever time zone, where a kept result tells; ``taken``: when its photos were,
    by their cameras, which no kept result tells. ``gone``: it lies in a job, and its entry there no longer counts;
    ``reference_gone``: nor does the one that it was held against.
    """

    shared: Interval | None
    opposed: Interval | None
    left: FlankState | None
    right: FlankState | None
    marking: Marking | None
    compounds: frozenset[Compound]
    film: str | None = None
    target: Target = field(default_factory=Target)
    identity: Identity = field(default_factory=Identity)
    media: frozenset[Medium] = frozenset({Medium.FLANK})
    grave_cautions: tuple[ToldCaution, ...] = ()
    asked: tuple[ToldCaution, ...] = ()
    declined: tuple[ToldCaution, ...] = ()
    proven: tuple[ToldCaution, ...] = ()
    made_at: datetime | None = None
    taken: tuple[datetime, ...] = ()
    gone: GoneEntry | None = None
    reference_gone: GoneEntry | None = None

    @property
    def machine(self) -> str | None:
        """The machine's name, None when it has none."""
        return self.identity.machine
