"""Whether a person's outline lies round the flank that the finder net sees there.

An edge drawn along the compound, along the wheel's rim or along the next tooth is an edge in the photo too; what a
tooth looks like tells it from the flank's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution, caution
from patternscan.errors import NoTrustworthyOutline
from patternscan.gearing.pair import WormPair
from patternscan.handles import Handle, named
from patternscan.seeing.geometry.crossing import enclosed
from patternscan.seeing.geometry.outline import EDGE_NAMES, SPOKEN, Edge, Outline, resampled
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.outline_search.closer_look import FoundFlank, flank_edges, flanks_round
from patternscan.seeing.outline_search.marked_edges import ENDS, MarkedEdges, is_off_border
from patternscan.seeing.outline_search.snapping import CLEAR, REACHES, snap_outline

SURE = 2.7
"""Of a flank that the net sees less surely (``SeenFlank.sureness``) nothing is told. On 63 photographs of dev, rims and
port that could be read it was 3.1 to 4.2, on three that were too dark 1.7 to 2.3."""
ELSEWHERE = {"root": 5.2, "tip": 5.2, "end_a": 2.5, "end_b": 2.5}
"""An edge that the net sees further off, in errors that it expects itself, is at a wrong place. On the same photographs
right ends lay 2.3 off at most, root and tip 4.3; of 252 ends moved by 10 % of the face width 233 lay further off, of
126 root edges moved by 12 % of the height 109."""
FAR = {"root": 0.25, "tip": 0.25, "end_a": 0.2, "end_b": 0.2}
"""An outline with an edge further off is drawn round the compound or parts of two teeth. Right ones lay within 0.07
endways and 0.14 upward, those drawn between right corners within 0.12 and 0.16; all 61 round the compound had one."""
LEAST_SINE = 0.3
"""Edges that meet at a smaller angle are taken to meet at this one."""
BETWEEN = np.linspace(0.1, 0.9, 9)
"""Places of an edge where its distance is taken."""


@dataclass(frozen=True, slots=True)
class EdgeGaps:
    """How far ``outward`` of each marked edge the net sees the flank's, by its name: ends in face widths, root and tip
    in flank heights; without ends along the photo's border, empty where no flank is seen. ``expected``: the error that
    the net itself expects.
    """

    outward: Mapping[str, float]
    expected: float

    def is_elsewhere(self, name: str) -> bool:
        """Whether the flank has that edge at another place."""
        return abs(self.outward.get(name, 0.0)) > ELSEWHERE[name] * self.expected


NOTHING_SEEN = EdgeGaps({}, 0.0)


def with_root_seen(photo: Photo, marked: Outline) -> Outline:
    """An outline of corners with the middle of the root edge where the net sees it between them: no edge shows it. The
    same where a person marked more of it, or the net sees no flank. All in the pixels that are held.
    """
    found = _flank_in(photo, marked) if len(marked.root) == 2 else None
    if found is None:
        return marked
    first, middle, last = resampled(flank_edges(found, marked.flank)["root"], np.array([0.0, 0.5, 1.0]))
    bow = middle - (first + last) / 2
    return replace(marked, root=np.stack([marked.root[0], marked.root.mean(axis=0) + bow, marked.root[1]]))


def snap_marked(photo: Photo, marked: Outline, pair: WormPair | None) -> tuple[Outline, Caution]:
    """The outline snapped onto the photo's edges, see ``snap_outline``, its root by where it is seen."""
    return snap_outline(photo, with_root_seen(photo, marked), pair)


def edge_gaps(photo: Photo, marked: Outline) -> EdgeGaps:
    """How far the edges of the flank that lies in an outline are seen from the marked ones; in the pixels held."""
    found = _flank_in(photo, marked, flat=True)
    if found is None:
        return NOTHING_SEEN
    seen, width, height = flank_edges(found, marked.flank), marked.width_px, marked.height_px
    at = {name: resampled(getattr(marked, name), BETWEEN) for name in EDGE_NAMES}
    along, up = width * _unit(at["end_b"] - at["end_a"]), height * _unit(at["tip"] - at["root"])
    ways = {"root": -up, "tip": up, "end_a": -along, "end_b": along}
    shown = [name for name in EDGE_NAMES if is_off_border(at[name], REACHES[0] * width, photo)]
    moved = {name: _apart(at[name], resampled(seen[name], BETWEEN), ways[name]) for name in shown}
    return EdgeGaps({name: float(far.mean()) for name, far in moved.items()}, float(np.exp(-found.near.sureness)))


def _apart(edge: Edge, other: Edge, ways: Edge) -> NDArray[np.float64]:
    """How far along ``ways`` (n, 2), by their lengths, another edge lies from the points (n, 2) of an edge, (n,). What
    lies between them along the edge itself counts for nothing: where an edge stops is told by the ends that it meets.
    """
    step = np.gradient(edge, axis=0)
    square = np.stack([-step[:, 1], step[:, 0]], axis=1)
    across = (ways * square).sum(axis=1)
    least = LEAST_SINE * np.linalg.norm(ways, axis=1) * np.linalg.norm(square, axis=1)
    apart: NDArray[np.float64] = ((other - edge) * square).sum(axis=1) / np.copysign(
        np.maximum(np.abs(across), least), across
    )
    return apart


def refuse_other_place(gaps: EdgeGaps, photo_name: str) -> None:
    """Raise NoTrustworthyOutline where the flank lies elsewhere than the outline by a good part of its size."""
    far = [SPOKEN[name] for name, gap in gaps.outward.items() if abs(gap) > FAR[name]]
    if far:
        raise NoTrustworthyOutline(
            f"The outline in {photo_name} does not run round the flank (round the compound on it, perhaps): the tooth "
            f"has its {' and its '.join(far)} elsewhere.",
            f"Mark the flank itself {named(Handle.OUTLINE)}, from end face to end face and from root to tip.",
        )


def doubtful_ends(edges: MarkedEdges, gaps: EdgeGaps) -> tuple[Caution, ...]:
    """A caution for each end that the net sees elsewhere, or that neither net nor edges bear out."""
    return tuple(_doubtful_ends(edges, gaps))


def _doubtful_ends(edges: MarkedEdges, gaps: EdgeGaps) -> Iterator[Caution]:
    for end, name in ENDS.items():
        unseen = end in edges.beside
        if gaps.is_elsewhere(name) or (unseen and name not in gaps.outward):
            yield caution("end-off-edges" if unseen else "end-off-shape", end=end.value)


def ends_without_edge(edges: MarkedEdges) -> tuple[Caution, ...]:
    """A caution for each end of a found outline where no edge is seen, be it dark, hidden or outside the photo."""
    unseen = [end for end, name in ENDS.items() if edges.clear[name] < CLEAR]
    return tuple(caution("end-off-edges", end=end.value) for end in unseen)


def doubtful_heights(gaps: EdgeGaps) -> tuple[Caution, ...]:
    """A caution for root and for tip where the net sees them elsewhere."""
    return tuple(caution("height-off-shape", edge=name) for name in ("root", "tip") if gaps.is_elsewhere(name))


def _flank_in(photo: Photo, marked: Outline, flat: bool = False) -> FoundFlank | None:
    """The flank that lies in an outline for the most part, see ``flanks_round``; None where none is surely seen."""
    counts = [(_inside(found, marked), found) for found in flanks_round(photo, marked, flat)]
    count, found = max(counts, key=lambda one: one[0], default=(0, None))
    return found if count and found is not None and found.near.sureness >= SURE else None


def _inside(found: FoundFlank, marked: Outline) -> int:
    """How many of a flank's pixels lie in the outline."""
    return int(np.count_nonzero(enclosed(marked.border, found.window.in_photo(found.near.pixels))))


def _unit(steps: Edge) -> Edge:
    return np.asarray(steps / np.linalg.norm(steps, axis=1, keepdims=True))
