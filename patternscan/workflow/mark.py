"""Finding the outline of a flank for a person to correct."""

from __future__ import annotations

from dataclasses import dataclass

from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import Flank, Lift
from patternscan.seeing import outline_search
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.geometry.outline_file import NOTHING_TOLD
from patternscan.seeing.geometry.told_medium import ToldMedium
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.tags.seen_tag import see_tags
from patternscan.workflow.inputs.outlines import hint_of, outlines_of, with_tip_told
from patternscan.workflow.inputs.photo_input import HELD_MEGAPIXELS, PhotoInput
from patternscan.workflow.inputs.settings import LARGEST_MEGAPIXELS


@dataclass(frozen=True, slots=True)
class MarkRequest:
    """A photo whose outline is wanted; an outline file that is given is where to start from.

    ``asks``: nobody said which flank the photo shows, so the page has to ask. ``told``: what was photographed.
    ``refused``: why the outline that is given was not used, None where it was not refused.
    """

    photo: PhotoInput
    max_megapixels: float = LARGEST_MEGAPIXELS
    asks: bool = False
    told: ToldMedium = NOTHING_TOLD
    refused: NoTrustworthyOutline | None = None


@dataclass(frozen=True, slots=True, eq=False)
class MarkResult:
    """Outlines to start from in the pixels of the photo's file, perhaps none; ``untrusted`` says why they are not to be
    trusted, None when they are. ``lift``: of a print off the flank.
    """

    photo: Photo
    flank: Flank | None
    outlines: tuple[Outline, ...]
    untrusted: NoTrustworthyOutline | None = None
    lift: Lift | None = None


def find_outline(request: MarkRequest) -> MarkResult:
    """Look for the outline, or take the one given. Raises NoTrustworthyOutline for a given one that cannot be used."""
    given = request.photo
    photo = load_photo(given.photo, request.max_megapixels, HELD_MEGAPIXELS)
    flank = None if request.asks else given.flank
    if not request.asks:
        given = with_tip_told(given, see_tags(photo), request.told)
    try:
        outlines = outlines_of(photo, given, request.told)
        refused = None if given.outline is None else request.refused
        return MarkResult(photo, flank, outlines, refused, outlines[0].lift)
    except NoTrustworthyOutline as stop:
        if given.outline is not None:
            raise
        if request.told.lift is not None:
            return MarkResult(photo, flank, (), stop, request.told.lift)
        guess = outline_search.search.best_guess(photo, given.flank, hint_of(photo, given))
        return MarkResult(photo, flank, () if guess is None else (guess.enlarged(photo.times),), stop)
