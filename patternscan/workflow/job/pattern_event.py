"""The event that a judgement is in the log of a job."""

from __future__ import annotations

from collections.abc import Sequence

from patternscan.cautions import ASKED_BACK
from patternscan.errors import InconsistentInputs
from patternscan.frame import Medium
from patternscan.judging.comparison import Target
from patternscan.measuring.interval import Interval
from patternscan.plain_text import one_line
from patternscan.reporting.documents.judgement import JudgementDocument, PooledPart
from patternscan.reporting.documents.parts import CautionPart
from patternscan.reporting.documents.reading import FlankPart, ReadingDocument, flank_corners
from patternscan.reporting.kept.judgement import forbidding_parts
from patternscan.seeing.image.fingerprint import Fingerprint
from patternscan.setting.log.events import Pattern
from patternscan.setting.log.pattern_parts import FlankPrint, PhotoLink
from patternscan.setting.log.replies import AskedBack
from patternscan.setting.log.words import Occasion
from patternscan.version import __version__

JUDGE_AGAIN = "Judge the photos again with this version."


def pattern_event(document: JudgementDocument, occasion: Occasion, folder: str) -> Pattern:
    """The event of a judgement whose files lie in ``folder``. Raises InconsistentInputs for one that lacks a reading
    or the ranges of its lengths, as early ones do.
    """
    readings = (*document.left, *document.right)
    flanks = [flank for reading in readings for flank in reading.flanks]
    opposed = None if document.estimate is None else document.estimate.opposed_part
    target = document.target
    return Pattern(
        occasion=occasion,
        move=document.advice.move_wheel,
        step_mm=document.advice.shims.amount_mm,
        shared=document.shared_shift.along,
        opposed=document.opposed_shift.along,
        left=_print(document.pooled.left),
        right=_print(document.pooled.right),
        target=Target(target.left_along, target.right_along, target.left_doubt, target.right_doubt, target.reference),
        marking=flanks[0].marking,
        compounds=tuple(sorted({flank.compound for flank in flanks})),
        film=document.film,
        grave=tuple(map(_words, forbidding_parts(document))),
        photos=tuple(dict.fromkeys(map(_link, readings))),
        folder=folder,
        tool=f"patternscan {__version__}",
        centres_mm=None if opposed is None else opposed.centre_error_mm,
        shaft_angle_deg=None if opposed is None else opposed.shaft_angle_error_deg,
        media=_prints(flanks),
        asked=tuple(AskedBack(one.code, _words(one)) for one in document.cautions if one.code in ASKED_BACK),
    )


def _words(one: CautionPart) -> str:
    """A caution as the log keeps it, with what to do about it."""
    return one_line(f"{one.message} {one.remedy}")


def _prints(flanks: Sequence[FlankPart]) -> tuple[Medium, ...]:
    """What was photographed; nothing where it was the flanks alone."""
    media = {flank.medium for flank in flanks}
    return () if media <= {Medium.FLANK} else tuple(medium for medium in Medium if medium in media)


def _link(reading: ReadingDocument) -> PhotoLink:
    photo, corners = reading.photo, tuple(flank_corners(reading))
    cells = photo.grey_cells
    if cells is None:
        return PhotoLink(photo.name, photo.sha256 or "", corners=corners)
    picture = Fingerprint(photo.name, photo.width_px, photo.height_px, cells)
    return PhotoLink(photo.name, photo.sha256 or "", picture, corners)


def _print(pooled: PooledPart | None) -> FlankPrint | None:
    if pooled is None:
        return None
    if not isinstance(pooled.length, Interval) or not isinstance(pooled.height, Interval):
        raise InconsistentInputs("The judgement gives no range for its lengths, as early ones do.", JUDGE_AGAIN)
    return FlankPrint(pooled.teeth, pooled.along, pooled.up, pooled.coverage, pooled.length, pooled.height)
