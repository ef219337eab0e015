"""What a draft asks for now: always the first thing that is missing, so that a reload comes back to the same screen."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patternscan.frame import Flank
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.web.drafts.draft import Draft, DraftPhoto
from patternscan.web.drafts.look import Look
from patternscan.web.drafts.store import DraftFolder
from patternscan.workflow.inputs.shown_flank import flank_by_end_a


class Asks(StrEnum):
    """One screen each."""

    MACHINE = "machine"
    MARKING = "marking"
    PHOTO = "photo"
    LOOKING = "looking"
    UNUSABLE = "unusable"
    FLANK = "flank"
    END_A = "end-a"
    OTHER_FLANK = "other-flank"
    MORE = "more"
    JUDGING = "judging"
    NO_ANSWER = "no-answer"
    ANSWER = "answer"


@dataclass(frozen=True, slots=True)
class Step:
    """What is asked, and of which photo or flank."""

    asks: Asks
    photo: DraftPhoto | None = None
    look: Look | None = None
    flank: Flank | None = None


def next_step(draft: Draft, folder: DraftFolder) -> Step:
    """The first thing that is missing."""
    if draft.asked:
        return Step(_answer(draft, folder))
    if not draft.machine_said:
        return Step(Asks.MACHINE)
    if draft.marking is None:
        return Step(Asks.MARKING)
    for photo in draft.photos:
        step = _of_photo(photo, folder)
        if step is not None:
            return step
    missing = draft.wanted or next((flank for flank in Flank if flank not in _flanks(draft)), None)
    return Step(Asks.MORE) if missing is None else Step(Asks.PHOTO, flank=missing)


def answered_if_whole(draft: Draft, folder: DraftFolder) -> Draft:
    """The draft with the answer asked for where nothing is missing and nobody is choosing further photos."""
    whole = next_step(draft, folder).asks is Asks.MORE
    return draft.asking() if whole and not draft.choosing else draft


def flank_told(photo: DraftPhoto, folder: DraftFolder) -> Flank | None:
    """The flank by where the A was touched, None for a touch in the middle of the tooth, or none."""
    if photo.end_a is None:
        return None
    (outline,) = read_outline_file(folder.outline_path(photo)).outlines
    return flank_by_end_a(outline, photo.end_a)


def _of_photo(photo: DraftPhoto, folder: DraftFolder) -> Step | None:
    """What is missing of one photo, None when nothing is."""
    look = folder.look(photo)
    if look is None:
        return Step(Asks.LOOKING, photo)
    if look.stop is not None:
        return Step(Asks.UNUSABLE, photo, look)
    if not look.trusted:
        return Step(Asks.FLANK, photo, look)
    told = flank_told(photo, folder)
    if told is None:
        return Step(Asks.END_A, photo, look)
    return None if told is photo.flank else Step(Asks.OTHER_FLANK, photo, look, told)


def _answer(draft: Draft, folder: DraftFolder) -> Asks:
    if (folder.answer_path(draft) / "judgement.json").is_file():
        return Asks.ANSWER
    return Asks.JUDGING if folder.answer_stop(draft) is None else Asks.NO_ANSWER


def _flanks(draft: Draft) -> set[Flank]:
    return {photo.flank for photo in draft.photos}
