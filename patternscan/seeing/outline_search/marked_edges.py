"""Whether a person's outline lies on edges that the photo shows: an outline beside the tooth, or with an end at the
wrong place, gives a wrong place without any other sign.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from patternscan.errors import NoTrustworthyOutline
from patternscan.frame import End
from patternscan.gearing.pair import WormPair
from patternscan.handles import Handle, named
from patternscan.seeing.geometry.mapping import root_for_tip
from patternscan.seeing.geometry.outline import Edge, Outline, resampled
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.snapping import (
    CLEAR,
    POINTS,
    REACHES,
    Numbers,
    Surroundings,
    clearness,
    look_round,
    snap_outline,
)

BARELY_CLEAR = 0.08
"""Tip and ends of a tooth are clearer on the whole. Of 82 photographs (dev, rims, port, bare, outlines clicked) all
that could be read had 0.09 or more, all but 4 had 0.2; of 544 outlines moved off the flank in them 4 in 5 had less."""
PLAIN = 0.2
"""An edge so clear is one of the wheel. Of 62 photographs (dev, rims, port) none had both ends of the right outline
unseen and such an edge beside them; of 329 outlines in dev and rims that were moved along the tooth by 8 to 15 % of the
face width, or drawn larger or smaller by 15 to 30 %, 264 had, and 60 of the others had one end unseen."""
CLEARER = 0.03
"""By so much tip and ends lie on clearer edges when corners that took the root for the tip are turned half round. On
dev, rims and port it was so for 57 of 66 such corners, all but one of the others in the dark, and for no right ones."""
BESIDE = np.r_[-10:-1, 2:11] * 0.03
"""Where an end may lie in place of where it was marked, in face widths."""
ENDS = {End.A: "end_a", End.B: "end_b"}
NEAR_END = 0.15
"""The part of root and tip that tells which way the flank runs at an end."""


@dataclass(frozen=True, slots=True)
class MarkedEdges:
    """How clearly the photo shows edges where tip and ends were marked, by name, see ``clearness``.

    ``beside``: for each end that lies on no edge, nor on the photo's border, how clear the clearest edge near it is.
    """

    clear: Mapping[str, float]
    beside: Mapping[End, float]

    @property
    def unseen_ends(self) -> tuple[End, ...]:
        """The ends that lie on no edge, nor on the photo's border."""
        return tuple(self.beside)


def look_at_edges(photo: Photo, marked: Outline) -> MarkedEdges:
    """Look at the photo where a person marked tip and ends; the outline is in the pixels that are held."""
    around, reach = look_round(photo, marked), REACHES[0] * marked.width_px
    edges = {name: resampled(getattr(marked, name), np.linspace(0, 1, count)) for name, count in POINTS.items()}
    clear = {name: clearness(edge, reach, around) for name, edge in edges.items()}
    inside = {end for end, name in ENDS.items() if is_off_border(edges[name], reach, photo)}
    unseen = tuple(end for end in ENDS if clear[ENDS[end]] < CLEAR and end in inside)
    beside = {end: _clearest_beside(edges[ENDS[end]], _way(marked, end), reach, around) for end in unseen}
    return MarkedEdges(clear, beside)


def refuse_beside_tooth(edges: MarkedEdges, photo_name: str) -> None:
    """Raise NoTrustworthyOutline where neither end lies on an edge, though edges are plainly seen beside them."""
    if len(edges.beside) == len(ENDS) and max(edges.beside.values()) >= PLAIN:
        raise NoTrustworthyOutline(
            f"Neither end of the outline lies on an edge of the tooth in {photo_name}.",
            f"Mark the flank again {named(Handle.OUTLINE)}: its ends lie where the flank stops at the two end faces.",
        )


def refuse_no_tooth(edges: MarkedEdges, photo_name: str) -> None:
    """Raise NoTrustworthyOutline where a person's outline lies on no edges, as on a wall, on paper or on a logo."""
    if np.mean(list(edges.clear.values())) < BARELY_CLEAR:
        raise NoTrustworthyOutline(
            f"No edges of a tooth are seen where the outline lies in {photo_name}.",
            f"Mark the flank itself {named(Handle.OUTLINE)}. If it is marked, take the "
            "photo again, sharper and with more light.",
        )


def refuse_turned_corners(photo: Photo, given: Outline, snapped: Outline, pair: WormPair | None) -> None:
    """Raise NoTrustworthyOutline where corners, turned half round, are drawn onto plainly clearer edges: four corners
    have the shape of a tooth either way. ``snapped``: what they were drawn to as given; both in the pixels held.
    """
    turned, told = snap_outline(photo, given.half_turned, pair)
    if told.code == "outline-fitted" and _clearness(photo, turned) > _clearness(photo, snapped) + CLEARER:
        raise root_for_tip()


def _clearness(photo: Photo, outline: Outline) -> float:
    return float(np.mean(list(look_at_edges(photo, outline).clear.values())))


def is_off_border(edge: Edge, reach_px: float, photo: Photo) -> bool:
    """Whether most of an edge lies so far off the photo's border that it could be seen beside where it was marked."""
    to_border = np.minimum(edge, np.array(photo.held_px) - 1 - edge).min(axis=1)
    return bool((to_border > reach_px).mean() > 0.5)


def _way(marked: Outline, end: End) -> Numbers:
    """One face width in pixels the way that the flank runs at an end, inward, (2,)."""
    step = np.zeros(2)
    for edge in (marked.root, marked.tip):
        corner, further = resampled(edge if end is End.A else edge[::-1], np.array([0.0, NEAR_END]))
        step += (further - corner) / np.linalg.norm(further - corner)
    return np.asarray(step / np.linalg.norm(step) * marked.width_px)


def _clearest_beside(edge: Edge, way: Numbers, reach_px: float, around: Surroundings) -> float:
    return max(clearness(edge + move * way, reach_px, around) for move in BESIDE)
