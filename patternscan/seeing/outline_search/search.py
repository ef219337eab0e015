"""Finding the outline of marked flanks in a photo: a net sees the teeth, closer windows and the usual shape of flanks
tell the edges, colours tell which tooth is marked.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline
from patternscan.frame import Flank
from patternscan.handles import Handle, named
from patternscan.seeing.geometry.edge_fit import EdgeFit
from patternscan.seeing.geometry.flank_shape import grid_edges, usual_shape
from patternscan.seeing.geometry.outline import Edge, Outline, OutlineSource, PictureSide, checked_outline
from patternscan.seeing.image.blackness import refuse_black
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.closer_look import FoundFlank, edge_places, found_flanks
from patternscan.seeing.outline_search.compound_signs import Signs, as_marked, signs_of
from patternscan.seeing.outline_search.snapping import drawn_tight
from patternscan.seeing.outline_search.tip_side import tip_side, tip_side_of_window
from patternscan.seeing.outline_search.window import Window

Numbers = NDArray[np.float64]
Pixel = tuple[float, float]

TRUSTED_CONFIDENCE = 0.5
"""Least confidence of an outline that is used unasked."""
LOOKED_AT = 2
"""Flanks that are looked at closer."""
UNSAID_LEAD = 1.2
"""So much more must be seen of flanks with the tip to a side that nobody said than of flanks with any other."""
EDGE_POINTS = 21
LARGEST_RMS = 0.0135
"""Found outlines that the shape of usual flanks meets this well (fraction of the face width) are drawn onto it: so did
all of throated rims, 0.008 to 0.013; of straight rims, which have another shape, one in 15."""


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


def find_outlines(
    photo: Photo, flank: Flank, tip: PictureSide | None = None, tooth_at: Pixel | None = None
) -> tuple[Outline, ...]:
    """The marked flanks found with trust, best first, their teeth numbered so. ``tip`` None is found out; ``tooth_at``
    is a pixel on the flank that is meant. Raises NoTrustworthyOutline for none.
    """
    look = _look(photo, flank, tip, tooth_at)
    if not look.trusted:
        _refuse_nothing_seen(photo, bool(look.outlines))
        _refuse_other_tip(photo, look)
        raise NoTrustworthyOutline(
            f"The outline of the flank could not be found in {photo.name} with enough certainty.",
            f"Mark it by hand {named(Handle.OUTLINE)}, or take the photo nearer, sharper and with the whole tooth in "
            "view.",
        )
    return tuple(replace(outline, tooth=str(number)) for number, outline in enumerate(look.trusted, 1))


def best_guess(
    photo: Photo, flank: Flank, tip: PictureSide | None = None, tooth_at: Pixel | None = None
) -> Outline | None:
    """The likeliest outline, however unsure, to start from by hand; None when nothing looks like a tooth."""
    return next(iter(_look(photo, flank, tip, tooth_at).outlines), None)


def _refuse_nothing_seen(photo: Photo, something: bool) -> None:
    """Say it where the photo is black, or shows nothing like a tooth."""
    refuse_black(photo)
    if not something:
        raise NoTrustworthyOutline(
            f"No toothed wheel is seen in {photo.name}.",
            "Photograph the tooth from nearer and with more light; if it is there all the same, mark it by hand "
            f"{named(Handle.OUTLINE)}.",
        )


def _refuse_other_tip(photo: Photo, look: _Look) -> None:
    """Say it where the tips seem to point another way than was said."""
    if look.seen_tip is not look.tip:
        raise NoTrustworthyOutline(
            f"The tooth tips in {photo.name} seem to point {look.seen_tip.value}, not {look.tip.value}.",
            f"Say {named(Handle.TIP)} where they point in the photo as it is shown upright, or mark the flank by hand "
            f"{named(Handle.OUTLINE)}.",
        )


def _look(photo: Photo, flank: Flank, tip: PictureSide | None, tooth_at: Pixel | None) -> _Look:
    """What is found where the tips point as was said; where nothing was said, where they clearly seem to point."""
    if tip is not None:
        return _looked_with(photo, flank, (tip, 1.0), tooth_at)
    look = _looked_with(photo, flank, (tip_side(photo), UNSAID_LEAD), tooth_at)
    return look if look.seen_tip is look.tip else _looked_with(photo, flank, (look.seen_tip, UNSAID_LEAD), tooth_at)


def _looked_with(photo: Photo, flank: Flank, supposed: tuple[PictureSide, float], tooth_at: Pixel | None) -> _Look:
    """What is found where the tips point to a side, and by how much this must be seen more than another."""
    tip, lead = supposed
    candidates = _candidates(photo, flank, tip, tooth_at)
    if not candidates:
        return _Look(tip, tip, ())
    best = candidates[0]
    marked = [one.outline for one in candidates if one is best or as_marked(one.signs, best.signs)]
    sure = best.outline.confidence >= TRUSTED_CONFIDENCE
    seen_tip = tip_side_of_window(best.found.picture, tip, lead) if sure else tip
    return _Look(tip, seen_tip, tuple(_drawn_tight(outline, photo) for outline in marked))


def _candidates(photo: Photo, flank: Flank, tip: PictureSide, tooth_at: Pixel | None) -> list[_Candidate]:
    """The flanks that make outlines, the likeliest first; the one at a pixel alone when that is told."""
    found = [(one, signs_of(one, photo)) for one in found_flanks(photo, Window.whole(photo, tip), LOOKED_AT, tooth_at)]
    outlined = [(one, signs, _outline(one, flank, signs.confidence)) for one, signs in found]
    known = [_Candidate(one, signs, outline) for one, signs, outline in outlined if outline is not None]
    if tooth_at is not None:
        return [one for one in known if _encloses(one.outline, tooth_at)][:1]
    return sorted(known, key=lambda one: _rank(one.outline), reverse=True)


def _encloses(outline: Outline, pixel: Pixel) -> bool:
    return cv2.pointPolygonTest(outline.border.astype(np.float32), pixel, measureDist=False) >= 0


def _rank(outline: Outline) -> float:
    """What puts outlines in order: to be sure of the flank, and to see it large."""
    return outline.confidence * float(np.sqrt(outline.area_px))


def _outline(found: FoundFlank, flank: Flank, confidence: float) -> Outline | None:
    """The outline of a found flank; None when its edges make no flank."""
    shown = {name: found.points(places) for name, places in edge_places(EDGE_POINTS).items()}
    step, first, last = (1, "left", "right") if flank is Flank.RIGHT else (-1, "right", "left")
    edges = {"root": shown["root"][::step], "tip": shown["tip"][::step], "end_a": shown[first], "end_b": shown[last]}
    return _checked(edges, flank, confidence)


def _drawn_tight(rough: Outline, photo: Photo) -> Outline:
    """An outline drawn onto the usual shape of flanks, where it has that, and then onto the photo's edges."""
    shaped = _of_usual_shape(rough, photo) or rough
    return replace(drawn_tight(photo, shaped, usual_shape(rough.flank)) or shaped, pulled=False)


def _of_usual_shape(rough: Outline, photo: Photo) -> Outline | None:
    """The outline of a usual flank that lies nearest to this one; None when none lies near."""
    fit = EdgeFit(rough, usual_shape(rough.flank), photo.held_px)
    numbers = fit.best(LARGEST_RMS) if fit.enough else None
    if numbers is None or fit.quality(numbers).rms > LARGEST_RMS:
        return None
    edges = grid_edges(fit.camera(numbers).see(fit.points_of(numbers, fit.shape.stack)))
    thinned = {name: edge[:: max(1, len(edge) // EDGE_POINTS)] for name, edge in edges.items()}
    return _checked(thinned, rough.flank, rough.confidence)


def _checked(edges: dict[str, Edge], flank: Flank, confidence: float) -> Outline | None:
    with suppress(NoTrustworthyOutline, InconsistentInputs):
        return checked_outline(edges, flank, source=OutlineSource.FOUND, confidence=confidence)
    return None
