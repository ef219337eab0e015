"""Finding the outline of marked flanks in a photo: a net sees the teeth, closer windows and the usual shape of flanks
tell the edges, colours tell which tooth is marked.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace

import numpy as np

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, UnreadablePhoto
from patternscan.frame import Flank
from patternscan.handles import Handle, named
from patternscan.seeing.geometry.camera import lens_of
from patternscan.seeing.geometry.crossing import enclosed
from patternscan.seeing.geometry.flank_shape import usual_shape_with
from patternscan.seeing.geometry.outline import Edge, Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.image.blackness import refuse_black, refuse_grey
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.image.weight import times_to_hold
from patternscan.seeing.outline_search.closer_look import FoundFlank, flank_edges, found_flanks, look_again
from patternscan.seeing.outline_search.compound_signs import Signs, as_marked, signs_of
from patternscan.seeing.outline_search.hint import NOTHING_KNOWN, Hint, Pixel
from patternscan.seeing.outline_search.place_fit import place_on
from patternscan.seeing.outline_search.seen_ends import with_ends_seen
from patternscan.seeing.outline_search.snapping import drawn_tight
from patternscan.seeing.outline_search.tip_side import tip_side, tip_side_of_window
from patternscan.seeing.outline_search.window import Window

SEARCHED_MEGAPIXELS = 4.0
"""Flanks are looked for in a photo no larger; those that figures are taken from have 3."""
PREVIEW_PX = 320
"""A photo with a side shorter than this, in which something like a flank is seen but not for sure, is a preview."""
TRUSTED_CONFIDENCE = 0.5
"""Least confidence of an outline that is used unasked."""
NO_TOOTH, NO_FLANK_THERE = "no-tooth", "no-flank-there"
"""What is at fault where a photo shows nothing like a tooth, at all or at the place that was given."""
LOOKED_AT = 2
"""Flanks that are looked at closer."""
UNSAID_LEAD = 1.2
"""So much more must be seen of flanks with the tip to a side that nobody said than of flanks with any other."""
ROUGHEST = 0.01
"""How far a flank's places lie from its shape's at most, fraction of the face width: 107 flanks of dev, rims and port
that were trusted by their signs 0.0096 and less, four that were seen in pictures of other things 0.0105 and more."""


@dataclass(frozen=True, slots=True, eq=False)
class _Candidate:
    """A found flank with what speaks for it and its outline, not yet drawn tight."""

    found: FoundFlank
    signs: Signs
    outline: Outline


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """The likely marked ``outlines``, best first, of flanks whose tips were supposed to point to the side ``tip``, and
    where that of the best of them seems to point.
    """

    tip: PictureSide
    seen_tip: PictureSide
    outlines: tuple[Outline, ...]

    @property
    def trusted(self) -> tuple[Outline, ...]:
        """Those that are used unasked."""
        sure = self.outlines if self.seen_tip is self.tip else ()
        return tuple(outline for outline in sure if outline.confidence >= TRUSTED_CONFIDENCE)


def find_outlines(photo: Photo, flank: Flank, hint: Hint = NOTHING_KNOWN) -> tuple[Outline, ...]:
    """The marked flanks found with trust, best first, their teeth numbered so. Where tips point is found out unless the
    hint tells it. Raises NoTrustworthyOutline for none, UnreadablePhoto and NoCompound for a photo that shows none.
    """
    look = _look(photo, flank, hint)
    if not look.trusted:
        _refuse_nothing_seen(photo, bool(look.outlines), hint.tooth_at)
        refuse_grey(photo)
        _refuse_other_tip(photo, look, said=hint.turn is not None)
        _refuse_preview(photo)
        raise NoTrustworthyOutline(
            f"The outline of the flank could not be found in {photo.name} with enough certainty.",
            f"Mark it by hand {named(Handle.OUTLINE)}, or take the photo nearer, sharper and with the whole tooth in "
            "view.",
        )
    return tuple(replace(outline, tooth=str(number)) for number, outline in enumerate(look.trusted, 1))


def best_guess(photo: Photo, flank: Flank, hint: Hint = NOTHING_KNOWN) -> Outline | None:
    """The likeliest outline, however unsure, to start from by hand; None when nothing looks like a tooth."""
    return next(iter(_look(photo, flank, hint).outlines), None)


def _refuse_nothing_seen(photo: Photo, something: bool, tooth_at: Pixel | None) -> None:
    """Say it where the photo is black, or shows nothing like a tooth, at the place that was given or at all."""
    refuse_black(photo)
    if not something and tooth_at is not None:
        raise NoTrustworthyOutline(
            f"No flank is seen at the place that was given in {photo.name}.",
            f"Give another place on the flank that is meant, or mark it by hand {named(Handle.OUTLINE)}.",
            NO_FLANK_THERE,
        )
    if not something:
        raise NoTrustworthyOutline(
            f"No toothed wheel is seen in {photo.name}.",
            "Photograph the tooth from nearer and with more light; if it is there all the same, mark it by hand "
            f"{named(Handle.OUTLINE)}.",
            NO_TOOTH,
        )


def _refuse_preview(photo: Photo) -> None:
    """Say it where the photo is too small to be surer of what is seen."""
    if min(photo.size_px) < PREVIEW_PX:
        raise UnreadablePhoto(
            f"{photo.name} is only {photo.width_px} x {photo.height_px} pixels, too small to find a flank in it.",
            "Give the photo as it came from the camera, not its preview.",
        )


def _refuse_other_tip(photo: Photo, look: _Look, *, said: bool) -> None:
    """Say it where the tips seem to point another way than was said, or now one way and now another."""
    if look.seen_tip is not look.tip:
        raise NoTrustworthyOutline(
            f"The tooth tips in {photo.name} seem to point {look.seen_tip.value}, not {look.tip.value}."
            if said
            else f"It is not plain in {photo.name} where the tooth tips point.",
            f"Say {named(Handle.TIP)} where they point in the photo as it is shown upright, or mark the flank by hand "
            f"{named(Handle.OUTLINE)}.",
        )


def _look(photo: Photo, flank: Flank, hint: Hint) -> _Look:
    """What is found in a photo as it is held, by a look at it no larger than SEARCHED_MEGAPIXELS."""
    times = times_to_hold(photo.held_px, SEARCHED_MEGAPIXELS)
    look = _looked_at(photo.smaller(times), flank, hint.enlarged(1 / times))
    return replace(look, outlines=tuple(outline.enlarged(times) for outline in look.outlines))


def _looked_at(photo: Photo, flank: Flank, hint: Hint) -> _Look:
    """What is found where the tips point as is known; else where they clearly seem to point."""
    if hint.turn is not None:
        return _looked_with(photo, flank, hint, 1.0)
    look = _looked_with(photo, flank, replace(hint, turn=tip_side(photo)), UNSAID_LEAD)
    if look.seen_tip is look.tip:
        return look
    return _looked_with(photo, flank, replace(hint, turn=look.seen_tip), UNSAID_LEAD)


def _looked_with(photo: Photo, flank: Flank, hint: Hint, lead: float) -> _Look:
    """What is found where the tips point to a side, and by how much this must be seen more than another."""
    tip = hint.turn or PictureSide.UP
    candidates = _candidates(photo, flank, tip, hint)
    if not candidates:
        return _Look(tip, tip, ())
    best = candidates[0]
    marked = [best, *(one for one in candidates[1:] if _is_sure(one) and as_marked(one.signs, best.signs))]
    outlines = tuple(_drawn_tight(one, photo, hint) for one in marked)
    seen_tip = tip_side_of_window(best.found.picture, tip, lead) if _is_sure(best) else tip
    return _Look(tip, seen_tip, outlines)


def _candidates(photo: Photo, flank: Flank, tip: PictureSide, hint: Hint) -> list[_Candidate]:
    """The flanks that make outlines, the likeliest first; the one at a pixel alone when that is told."""
    whole, at = Window.whole(photo, tip), hint.tooth_at
    found = [(one, signs_of(one, photo)) for one in found_flanks(photo, whole, LOOKED_AT, at)]
    outlined = [(one, signs, _outline(one, flank, signs.confidence)) for one, signs in found]
    known = [_Candidate(one, signs, outline) for one, signs, outline in outlined if outline is not None]
    if at is not None:
        return [one for one in known if _encloses(one.outline, at)][:1]
    return sorted(known, key=lambda one: _rank(one.outline), reverse=True)


def _is_sure(one: _Candidate) -> bool:
    return one.outline.confidence >= TRUSTED_CONFIDENCE


def _encloses(outline: Outline, pixel: Pixel) -> bool:
    return bool(enclosed(outline.border, np.array([pixel]))[0])


def _rank(outline: Outline) -> float:
    """What puts outlines in order: to be sure of the flank, and to see it large."""
    return outline.confidence * float(np.sqrt(outline.area_px))


def _outline(found: FoundFlank, flank: Flank, confidence: float) -> Outline | None:
    """The outline of a found flank by its places alone; None when its edges make no flank."""
    return _checked(flank_edges(found, flank), flank, confidence)


def _drawn_tight(one: _Candidate, photo: Photo, hint: Hint) -> Outline:
    """An outline drawn onto the shape that flanks have, and then onto the photo's edges."""
    flank = one.outline.flank
    shapes = [usual_shape_with(flank, rim) for rim in hint.rims]
    looks = one.found, look_again(photo, one.found)
    placed = place_on(looks, flank, shapes, lens_of(photo))
    shaped = None if placed is None else _checked(placed.edges, flank, one.outline.confidence)
    if placed is None or shaped is None or placed.spread > ROUGHEST:
        return replace(one.outline, confidence=0.0)
    drawn = drawn_tight(photo, shaped, placed.shape, placed.numbers) or shaped
    ended = with_ends_seen(drawn, looks, photo.held_px)
    if ended is not drawn:
        drawn = drawn_tight(photo, ended, placed.shape) or drawn
    return replace(drawn, pulled=False)


def _checked(edges: dict[str, Edge], flank: Flank, confidence: float) -> Outline | None:
    with suppress(NoTrustworthyOutline, InconsistentInputs):
        return checked_outline(edges, flank, source=OutlineSource.FOUND, confidence=confidence)
    return None
