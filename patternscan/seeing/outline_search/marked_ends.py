"""Which ends of a person's outline are doubtful: by the edges in the photo, and by the shape of the tooth.

An end in the dark lies on no edge that is seen; the other edges and the tooth's shape may bear it out all the same. An
end may also lie on an edge of something else; then the tooth's shape puts it elsewhere.
"""

from __future__ import annotations

from patternscan.cautions import Caution, caution
from patternscan.frame import End
from patternscan.seeing.geometry.camera import PhotoSize
from patternscan.seeing.geometry.outline import Outline
from patternscan.seeing.geometry.pose import Pose, fit_pose
from patternscan.seeing.outline_search.marked_edges import ENDS, PLAIN, MarkedEdges

STEADY_RMS = 0.0058
"""An outline no further off the tooth's shape, in face widths, has no end at a wrong place. On 66 photographs (dev,
rims, port), each point clicked off by 0.004, the right outline was 0.0028 to 0.0055 off; those of throated wheels with
an end moved by 10 % of the face width were 0.0041 to 0.027 off, 9 in 10 of them more than this."""
WITHOUT_END = 0.65
"""The tooth's shape puts that end elsewhere without which the rest of the outline lies so much nearer to it. Right
outlines, clicked twice as roughly, came down to 0.63 in 1 of 50; with an end moved half came down to 0.55 and less."""


def doubtful_ends(edges: MarkedEdges, outline: Outline, pose: Pose | None, size: PhotoSize) -> tuple[Caution, ...]:
    """A caution for each end of an outline, in a photo of ``size`` px, that edges and shape do not bear out together.

    ``pose`` is that of the flank as it was read, None where no tooth fits the outline.
    """
    steady = pose is not None and pose.unseen_end is None and pose.fit.rms <= STEADY_RMS
    borne_out = steady and not outline.pulled
    unseen = [end for end, beside in edges.beside.items() if not borne_out or beside >= PLAIN]
    if unseen:
        return tuple(caution("end-off-edges", end=end.value) for end in unseen)
    off = None if pose is None or pose.unseen_end or steady else _end_off_shape(outline, pose, size)
    return () if off is None else (caution("end-off-shape", end=off.value),)


def _end_off_shape(outline: Outline, pose: Pose, size: PhotoSize) -> End | None:
    """The end without which the tooth fits much better; None where there is none."""
    without = {end: fit_pose(outline, pose.pair, size, name) for end, name in ENDS.items()}
    rms = {end: part.fit.rms for end, part in without.items() if part is not None}
    end = min(rms, key=lambda one: rms[one], default=None)
    return end if end is not None and rms[end] < WITHOUT_END * pose.fit.rms else None
