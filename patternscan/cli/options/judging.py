"""Options that ``judge`` alone takes, and those that say what a judgement is held against."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Annotated, TypeVar

import click

from patternscan.cli.options.records import option
from patternscan.cli.options.shared import FILM, TIPS
from patternscan.cli.options.types import FOLDER, PIXEL, MediumWord
from patternscan.errors import WrongUse
from patternscan.frame import Flank
from patternscan.judging.acceptance import TABLES
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.setting.log.words import Occasion
from patternscan.workflow.inputs.photo_input import PhotoInput
from patternscan.workflow.job.folder import sheet_of
from patternscan.workflow.job.log import tells_amount
from patternscan.workflow.job.pattern import Copies

Given = TypeVar("Given")
Paths = tuple[Path, ...]
Sides = tuple[PictureSide, ...]
Places = tuple[tuple[float, float], ...]
Media = tuple[ToldMedium, ...]

REFERENCE = (
    "Judge against this pattern instead of the middle: a judgement of the maker's or as-found print (its file, or its "
    "folder)."
)
TABLE = "Also give the class of contact by this published table. Needs the film. The maker's limits outrank it."
JOB = "Keep the judgement in the log of the job in this folder, and take its machine sheet."
COPY = "With --job: whether the photos are kept there too, without place, serial numbers and comments.  [default: yes]"
WHOLE = "With --job: copy the photos as they are, with all that the camera wrote into them."
MEDIUM = (
    "What was photographed in each {} photo, same order: --medium and --seen in one word, where photos differ in it."
)
TOOTH_AT = "A pixel on the flank that is meant in each {} photo, in the same order."
OCCASION = "With --job: a trial of this job, the old wheel as found, or the maker's own pattern."


@dataclass(frozen=True, slots=True)
class FlankPhotos:
    """The photos of both flanks, by their options."""

    left: Annotated[Paths, option("--left", "Photo of a left flank; repeat for further teeth.", metavar="PHOTO")]
    right: Annotated[Paths, option("--right", "Photo of a right flank; repeat for further teeth.", metavar="PHOTO")]
    left_outline: Annotated[Paths, option("--left-outline", "Outline file of each left photo, in the same order.")]
    right_outline: Annotated[Paths, option("--right-outline", "Outline file of each right photo, same order.")]
    tip: Annotated[PictureSide | None, TIPS]
    left_tip: Annotated[Sides, option("--left-tip", "Where the tip points in each left photo, same order.")]
    right_tip: Annotated[Sides, option("--right-tip", "Where the tip points in each right photo, same order.")]

    left_tooth_at: Annotated[Places, option("--left-tooth-at", TOOTH_AT.format("left"), type=PIXEL)]
    right_tooth_at: Annotated[Places, option("--right-tooth-at", TOOTH_AT.format("right"), type=PIXEL)]
    left_medium: Annotated[Media, option("--left-medium", MEDIUM.format("left"), type=MediumWord())]
    right_medium: Annotated[Media, option("--right-medium", MEDIUM.format("right"), type=MediumWord())]

    @property
    def by_option(self) -> dict[str, Sequence[object]]:
        """What is given of single photos, by the option."""
        names = (field.name for field in fields(self) if field.name != "tip")
        return {f"--{name.replace('_', '-')}": getattr(self, name) for name in names}

    @property
    def inputs(self) -> tuple[PhotoInput, ...]:
        """Every photo with its flank, outline file and tip. Raises WrongUse for none, and where numbers differ."""
        if not (self.left or self.right):
            raise WrongUse("No photo was given.", "Give a folder of photos, or one with --left and one with --right.")
        left_tips = one_each(self.left, self.left_tip, "--left-tip") or (self.tip,) * len(self.left)
        right_tips = one_each(self.right, self.right_tip, "--right-tip") or (self.tip,) * len(self.right)
        left = photo_inputs(Flank.LEFT, self.left, self.left_outline, left_tips, "--left-outline")
        right = photo_inputs(Flank.RIGHT, self.right, self.right_outline, right_tips, "--right-outline")
        left = with_each(left, self.left_tooth_at, "--left-tooth-at", with_tooth_at)
        right = with_each(right, self.right_tooth_at, "--right-tooth-at", with_tooth_at)
        return (
            *with_each(left, self.left_medium, "--left-medium", with_medium),
            *with_each(right, self.right_medium, "--right-medium", with_medium),
        )


@dataclass(frozen=True, slots=True)
class ReferenceOptions:
    """What a judgement is held against beside the machine sheet: a reference print, the film noted, a table."""

    reference: Annotated[Path | None, option("--reference", REFERENCE, metavar="RESULT")]
    film: Annotated[str | None, FILM]
    table: Annotated[str | None, option("--table", TABLE, type=click.Choice(list(TABLES)))]

    def refuse_for_many(self) -> None:
        """Refuse what belongs to one judgement when many machines are judged."""
        given = {"reference": self.reference, "film": self.film, "table": self.table}
        for name, value in given.items():
            if value is not None:
                raise WrongUse(
                    f"--{name} belongs to one machine and cannot be given for many photos at once.",
                    "Judge that machine by itself, or note the film on its machine sheet.",
                )


@dataclass(frozen=True, slots=True)
class KeepOptions:
    """Whether and how the judgement is kept in a job."""

    job: Annotated[Path | None, option("--job", JOB, type=FOLDER)]
    occasion: Annotated[Occasion, option("--occasion", OCCASION, default=Occasion.TRIAL, show_default=True)]
    copy_photos: Annotated[bool | None, option("--copy-photos/--no-copy-photos", COPY, default=None)]
    copy_whole: Annotated[bool, option("--copy-whole", WHOLE)]

    @property
    def copies(self) -> Copies:
        """Whether and how the photos are copied."""
        if self.copy_whole:
            return Copies.WHOLE
        return Copies.PICTURE if self.copy_photos is not False else Copies.NONE

    @property
    def job_tells_amount(self) -> bool:
        """Whether a job's own trials say how much to move."""
        return self.job is not None and tells_amount(self.job, self.occasion)

    def refuse_without_job(self) -> None:
        """Raise WrongUse for what belongs to a job when none is named."""
        if self.job is None and (
            self.copy_photos is not None or self.copy_whole or self.occasion is not Occasion.TRIAL
        ):
            raise WrongUse("--occasion and --copy-photos belong to a job.", "Name its folder with --job.")

    def sheet_beside(self, given: Path | None) -> Path | None:
        """The machine sheet to judge by: that of the job when one is named. Raises WrongUse when there are two."""
        if self.job is None:
            return given
        if given is not None:
            raise WrongUse("Both a job and a machine sheet are given.", "Leave --sheet out: the job has its own.")
        return sheet_of(self.job)


def photo_inputs(
    flank: Flank, photos: Sequence[Path], outlines: Sequence[Path], tips: Sequence[PictureSide | None], option_name: str
) -> list[PhotoInput]:
    """The photos of one flank, each with its outline file, if any are given, and its tip. Raises WrongUse."""
    each = one_each(photos, outlines, option_name) or (None,) * len(photos)
    return [PhotoInput(photo, flank, outline, tip) for photo, outline, tip in zip(photos, each, tips, strict=True)]


def with_tooth_at(photo: PhotoInput, place: tuple[float, float]) -> PhotoInput:
    """The same photo with the pixel on the tooth that is meant."""
    return replace(photo, tooth_at=place)


def with_medium(photo: PhotoInput, told: ToldMedium) -> PhotoInput:
    """The same photo with what was photographed."""
    return replace(photo, told=told)


def with_each(
    photos: list[PhotoInput],
    values: Sequence[Given],
    option_name: str,
    put: Callable[[PhotoInput, Given], PhotoInput],
) -> list[PhotoInput]:
    """The same photos, each with its own value put to it, if any are given. Raises WrongUse."""
    each = one_each([one.photo for one in photos], values, option_name)
    return [put(one, value) for one, value in zip(photos, each, strict=True)] if each else photos


def one_each(photos: Sequence[Path], given: Sequence[Given], option_name: str) -> Sequence[Given]:
    """What is given for each photo, or nothing at all. Raises WrongUse when the numbers differ."""
    if given and len(given) != len(photos):
        times = "once" if len(given) == 1 else f"{len(given)} times"
        raise WrongUse(
            f"{option_name} is there {times}, but the number of photos is {len(photos)}.",
            f"Give {option_name} once for each photo, in the same order, or leave it out.",
        )
    return given
