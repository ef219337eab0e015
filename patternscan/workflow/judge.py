"""Judging both flanks of one machine: read the photos, compare, advise, and say in mm how far the wheel is off."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from patternscan.cautions import NOT_THIS_GEAR
from patternscan.errors import InconsistentInputs, NoCompound, NoTrustworthyOutline, PatternscanError, WrongUse
from patternscan.frame import Flank, Made
from patternscan.gearing.pair import WormPair
from patternscan.judging.acceptance import find_classes
from patternscan.judging.advice import advise, propose_amount
from patternscan.judging.comparison import compare_flanks, pool_teeth
from patternscan.judging.estimate import estimate_placement
from patternscan.judging.judgement import Declined, Judgement
from patternscan.measuring.reading import Reading
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.machine.sheet import Sheet
from patternscan.workflow.inputs.machine_folder import refuse_other_name, refuse_two_visits
from patternscan.workflow.inputs.outlines import outlines_of
from patternscan.workflow.inputs.photo_input import HELD_MEGAPIXELS, PhotoInput
from patternscan.workflow.inputs.settings import ReadingSettings, known_pair
from patternscan.workflow.left_out import leave_out_poor
from patternscan.workflow.pairing import identify, pair_cautions, reading_cautions, refuse_mixed, refuse_one_file
from patternscan.workflow.read import Outcome, each_once, read_or_stop
from patternscan.workflow.reference import load_reference, reference_cautions, refuse_foreign
from patternscan.workflow.teeth import counted_once, measured, teeth_of

Progress = Callable[[float], None]
"""Told the finished part of a longer work, 0 to 1."""


def in_silence(_: float) -> None:
    """Progress that nobody looks at."""


@dataclass(frozen=True, slots=True)
class JudgeRequest:
    """The photos of one machine and how they are to be judged.

    ``reference`` is a judgement to hold the pattern against, ``table`` a published table of classes. ``title`` names
    the machine where the sheet does not; ``by_folder`` says that it is no more than the name of a folder.
    ``unattended``: nobody is there to mend a photo, so one that cannot be read is left out whatever the reason.
    ``millimetres`` and ``amount``: whether to estimate how far the wheel is off and to propose an amount of shims.
    """

    photos: tuple[PhotoInput, ...]
    settings: ReadingSettings
    reference: Path | None = None
    table: str | None = None
    title: str | None = None
    by_folder: bool = False
    unattended: bool = False
    millimetres: bool = True
    amount: bool = True
    by: str | None = None

    @property
    def files(self) -> tuple[Path, ...]:
        """The photos and outline files, which are read and never written over."""
        return tuple(path for photo in self.photos for path in photo.files)


@dataclass(frozen=True, slots=True, eq=False)
class JudgeResult:
    """A judgement, and when and by whom it was made."""

    judgement: Judgement
    made: Made


def judge_photos(request: JudgeRequest, done: Progress = in_silence) -> JudgeResult:
    """Read every photo, compare the flanks and advise.

    Raises WrongUse for no photo and for a table without a film, and what reading and judging raise.
    """
    if not request.photos:
        raise WrongUse("No photo was given.", "Give at least one photo with --left and one with --right.")
    refuse_one_file(request.photos)
    refuse_two_visits(request.photos)
    for photo in request.photos:
        refuse_other_name(photo)
    return judge_outcomes(request, (read_or_stop(photo, request.settings) for photo in request.photos), done)


def judge_outcomes(request: JudgeRequest, outcomes: Iterable[Outcome], done: Progress = in_silence) -> JudgeResult:
    """Judge what became of the request's photos, in their order. Raises the first stop that may not be passed over."""
    sheet = request.settings.sheet
    if request.table is not None and _film_note(sheet) is None:
        raise WrongUse(
            f"The table {request.table} says nothing as long as the film of compound is not known.",
            "Note with --film how it was laid on, for example --film 'thin, brushed out'.",
        )
    reference = None if request.reference is None else load_reference(request.reference, sheet.target)
    if reference is not None:
        sheet = replace(sheet, target=reference.target)
    readings, declined = _sorted(request, outcomes)
    left, right = ([one for one in readings if one.outline.flank is flank] for flank in Flank)
    judgement = _titled(judge_pair(left, right, sheet, declined), request)
    if reference is not None:
        refuse_foreign(reference, judgement.identity)
        doubts = reference_cautions(reference, judgement.identity)
        judgement = replace(judgement, cautions=(*judgement.cautions, *doubts))
    return JudgeResult(_completed(judgement, request, done), Made.now(request.by))


def _completed(judgement: Judgement, request: JudgeRequest, done: Progress) -> Judgement:
    """The judgement with its class by a table, the offset in mm and the amount, as far as they are wanted and known."""
    if request.table is not None and judgement.film is not None:
        judgement = replace(judgement, acceptance=find_classes(judgement.comparison, request.table, judgement.film))
    settings = request.settings
    if request.millimetres and settings.pair is not None:
        oversize_known = settings.sheet.gear.hob_oversize is not None
        judgement = estimate_wheel(judgement, settings.pair, oversize_known, done)
    if not request.amount:
        shims = replace(judgement.advice.shims, amount_mm=None)
        judgement = replace(judgement, advice=replace(judgement.advice, shims=shims))
    return judgement


def _sorted(request: JudgeRequest, outcomes: Iterable[Outcome]) -> tuple[list[Reading], list[Declined]]:
    """The readings, and the photos that are left out. When all would be, the stop of the first is raised."""
    readings: list[Reading] = []
    declined: list[Declined] = []
    for photo, outcome in zip(request.photos, outcomes, strict=True):
        if not isinstance(outcome, PatternscanError):
            readings.extend(outcome)
        elif _can_be_left_out(outcome, photo, request.unattended):
            declined.append(_declined(photo, outcome, request.settings))
        else:
            raise _naming(photo, outcome) from outcome
    if not readings:
        raise _naming(request.photos[0], declined[0].reason)
    return readings, declined


def _declined(photo: PhotoInput, stop: PatternscanError, settings: ReadingSettings) -> Declined:
    """The photo that is left out, with its picture and what was outlined in it where these can be had."""
    declined = Declined(photo.name, photo.flank, stop)
    with suppress(PatternscanError):
        picture = load_photo(photo.photo, settings.max_megapixels, HELD_MEGAPIXELS)
        declined = replace(declined, picture=picture)
        if photo.outline is not None:
            outlines = outlines_of(picture, photo, photo.told.over(settings.told))
            declined = replace(declined, outlines=tuple(one.enlarged(1 / picture.times) for one in outlines))
    return declined


def _can_be_left_out(stop: PatternscanError, photo: PhotoInput, unattended: bool) -> bool:
    """Whether the others are judged without a photo that could not be read.

    Inputs that contradict each other stop everything. Where a person is there, so does what that person can mend at
    once: a photo that does not open, an outline file that cannot be used.
    """
    if isinstance(stop, InconsistentInputs):
        return False
    unseen = isinstance(stop, NoTrustworthyOutline) and photo.outline is None
    return unattended or unseen or bool(stop.blame) or isinstance(stop, NoCompound)


def _naming(photo: PhotoInput, stop: PatternscanError) -> PatternscanError:
    """The same stop with the photo's name in it, for a person who gave several."""
    name = photo.name
    return stop if name in stop.found else type(stop)(f"{name} ({photo.flank} flank): {stop.found}", stop.remedy)


def _titled(judgement: Judgement, request: JudgeRequest) -> Judgement:
    """The judgement under the request's title where the sheet names no machine; a folder's name proves nothing."""
    if judgement.machine is not None or not request.title:
        return judgement
    identity = replace(judgement.identity, machine=None if request.by_folder else request.title)
    return replace(judgement, machine=request.title, identity=identity, machine_by_folder=request.by_folder)


def judge(
    left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet | None = None, done: Progress = in_silence
) -> Judgement:
    """Judge readings of both flanks by a machine sheet: which way to move the wheel and, with its gear data, how far.

    Several readings of a flank are of several teeth. ``done`` is told the finished part of the work, 0 to 1. Raises
    InconsistentInputs when readings do not fit together.
    """
    judgement = judge_pair(left, right, sheet)
    pair = None if sheet is None else known_pair(sheet.gear)[0]
    if sheet is None or pair is None:
        return judgement
    return estimate_wheel(judgement, pair, sheet.gear.hob_oversize is not None, done)


def judge_pair(
    left: Sequence[Reading], right: Sequence[Reading], sheet: Sheet | None = None, declined: Sequence[Declined] = ()
) -> Judgement:
    """Compare both flanks and advise; poor photos are left out where another tooth was read well.

    Raises InconsistentInputs when readings do not fit together.
    """
    sheet = sheet or Sheet()
    refuse_mixed(left, right)
    (left, poor_left), (right, poor_right) = leave_out_poor(left), leave_out_poor(right)
    declined = (*declined, *poor_left, *poor_right)
    teeth = teeth_of(left), teeth_of(right)
    comparison = compare_flanks(
        pool_teeth(Flank.LEFT, measured(teeth[0])), pool_teeth(Flank.RIGHT, measured(teeth[1])), sheet.target
    )
    cautions = each_once(
        (
            *reading_cautions(left, right),
            *(one.caution for one in declined),
            *(told for flank in teeth for told in counted_once(flank)),
            *pair_cautions(left, right, sheet),
        )
    )
    advice = advise(comparison, cautions, sheet.shim_rule)
    return Judgement(
        left=tuple(left),
        right=tuple(right),
        comparison=comparison,
        advice=advice,
        cautions=cautions,
        machine=sheet.machine,
        identity=identify(left, right, sheet),
        film=_film_note(sheet),
        declined=declined,
    )


def estimate_wheel(
    judgement: Judgement, pair: WormPair, oversize_known: bool, done: Progress = in_silence
) -> Judgement:
    """The same judgement with the wheel's offset in mm and, where that is sure enough, a first step of shims.

    Nothing is added when a flank is missing or a photo shows that the gear data are not this wheel's. ``done`` is told
    the finished part of the work, 0 to 1.
    """
    if any(one.code in NOT_THIS_GEAR for one in judgement.cautions):
        return judgement
    estimate = estimate_placement(judgement.comparison, pair, oversize_known, done)
    if estimate is None:
        return judgement
    advice = propose_amount(judgement.advice, estimate, judgement.comparison)
    return replace(judgement, advice=advice, estimate=estimate)


def _film_note(sheet: Sheet) -> str | None:
    """What is known of the film, in words."""
    if sheet.film is None and sheet.film_um is not None:
        return f"{sheet.film_um:g} thousandths of a millimetre"
    return sheet.film
