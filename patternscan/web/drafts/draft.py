"""A reading as it is being made: who began it, for which machine, how marked, and its photos so far."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from patternscan.frame import Flank, Lift, Marking, Medium, Seen
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.setting.machine.sheet import Sheet

Place = tuple[float, float]
"""x and y in pixels of the upright photo."""


@dataclass(frozen=True, slots=True)
class DraftPhoto:
    """One photo of a draft and what a person said of it.

    ``version`` grows whenever it has to be looked at anew; ``corners``: a person marked the outline of this version.
    ``upload`` is the name under which its pieces came, empty where it came in one piece. ``tip``: where it points, when
    a person said so. ``end_a``: where the A was touched by a person who saw the outline
    over the flank.
    """

    number: int
    flank: Flank
    suffix: str
    sha256: str
    upload: str = ""
    version: int = 1
    tip: PictureSide | None = None
    tooth_at: Place | None = None
    corners: bool = False
    end_a: Place | None = None

    @property
    def file_name(self) -> str:
        """The file as it came, under a name of our own."""
        return f"photo_{self.number}{self.suffix}"

    def made_of(self, what: str) -> str:
        """Name of a file made of this version of the photo."""
        return f"photo_{self.number}.{self.version}.{what}"

    @property
    def view_name(self) -> str:
        """The picture that is shown, made anew from the pixels alone."""
        return f"photo_{self.number}.view.jpg"

    def looked_at_anew(self, tip: PictureSide | None, tooth_at: Place | None) -> DraftPhoto:
        """The photo with another tip or tooth said, all that followed from the older ones gone."""
        return replace(
            self,
            version=self.version + 1,
            tip=tip,
            tooth_at=tooth_at,
            corners=False,
            end_a=None,
        )


@dataclass(frozen=True, slots=True)
class Remark:
    """What a person wrote beside a reading, and who and when."""

    text: str
    by: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Draft:
    """A reading on its way. ``machine`` is the name of a machine's folder, None for none.

    ``medium`` and ``seen``: what is photographed, and which side of tape or paper. ``taken`` counts the photos ever
    taken, so that no number comes twice; ``wanted`` is the flank of a further tooth that a person wants to photograph;
    ``choosing``: whole as it is, it waits for further photos, or to be asked for the answer. ``asked`` is the number of
    the answer that is wanted now, 0 for none, of ``answers`` that were ever asked for. ``entry`` is the number of its
    entry in the machine's log, once it has one; ``waits`` for an engineer's opinion. ``thrown_away``: nobody sees it
    any more, its files stay.
    """

    key: str
    begun_at: datetime
    by: str
    machine: str | None = None
    machine_said: bool = False
    marking: Marking | None = None
    medium: Medium = Medium.FLANK
    seen: Seen | None = None
    photos: tuple[DraftPhoto, ...] = ()
    taken: int = 0
    wanted: Flank | None = None
    choosing: bool = False
    asked: int = 0
    answers: int = 0
    entry: int | None = None
    waits: bool = False
    thrown_away: bool = False
    remarks: tuple[Remark, ...] = ()

    def of_machine(self, machine: str | None, sheet: Sheet) -> Draft:
        """Of a machine, None for none, its photos as its sheet says that they are as a rule."""
        usual = Lift(sheet.medium, sheet.seen) if sheet.medium is not None and sheet.seen is not None else None
        medium, seen = (Medium.FLANK, None) if usual is None else (usual.medium, usual.seen)
        return replace(self, machine=machine, machine_said=True, marking=sheet.marking, medium=medium, seen=seen)

    @property
    def told(self) -> ToldMedium:
        """What is photographed, as a person said it."""
        return ToldMedium(self.medium, self.seen)

    @property
    def medium_word(self) -> str:
        """What is photographed, as forms and words of the pages call it."""
        return self.medium.value if self.seen is None else f"{self.medium}-{self.seen}"

    @property
    def mirrored(self) -> bool:
        """Whether the photos show the flank as in a mirror."""
        return self.seen is not None and Lift(self.medium, self.seen).mirrored

    def photo(self, number: int) -> DraftPhoto | None:
        """A photo by its number, None when there is none."""
        return next((one for one in self.photos if one.number == number), None)

    def same_as(self, sha256: str) -> DraftPhoto | None:
        """The photo whose file is this very one, None when it is new."""
        return next((one for one in self.photos if one.sha256 == sha256), None)

    def has_come(self, upload: str) -> bool:
        """Whether a photo of this upload is here, so that a second sending changes nothing."""
        return bool(upload) and any(one.upload == upload for one in self.photos)

    def come_again(self, same: DraftPhoto, upload: str) -> Draft:
        """With a photo that is here sent once more, under another name."""
        again = replace(same, upload=upload)
        return replace(self, photos=tuple(again if one.number == same.number else one for one in self.photos))

    def with_photo(self, came: DraftPhoto) -> Draft:
        """With one more photo, under a number of its own; an answer that was asked for does not hold any more."""
        added = replace(came, number=self.taken + 1)
        return replace(self, photos=(*self.photos, added), taken=added.number, wanted=None, asked=0)

    def with_changed(self, changed: DraftPhoto) -> Draft:
        """With this photo in place of the one of its number; the answer has to be asked for anew."""
        return self._with(changed if one.number == changed.number else one for one in self.photos)

    def of_medium(self, told: ToldMedium) -> Draft:
        """With something else photographed: every photo has to be looked at anew."""
        photos = [one.looked_at_anew(one.tip, None) for one in self.photos]
        return replace(self._with(photos), medium=told.medium or Medium.FLANK, seen=told.seen)

    def without(self, number: int) -> Draft:
        """Without the photo of this number."""
        return self._with(one for one in self.photos if one.number != number)

    def asking(self) -> Draft:
        """With the answer asked for, by a number of its own for these photos."""
        if self.asked:
            return self
        number = self.answers + 1
        return replace(self, asked=number, answers=number, entry=None, choosing=False)

    def _with(self, photos: Iterable[DraftPhoto]) -> Draft:
        return replace(self, photos=tuple(photos), asked=0)
