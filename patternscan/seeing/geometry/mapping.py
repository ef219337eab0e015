"""A tilted, curved, four-sided flank becomes the unit square: where a place on the flank is seen in the photo.

A place on a flank has the flank coordinates ``along`` and ``up``. Where a camera and a flank's shape fit the outline,
they tell where it is seen; else the patch blended from the four edges does.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution, caution
from patternscan.errors import NoTrustworthyOutline, WrongUse
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.camera import Lens
from patternscan.seeing.geometry.edge_fit import off_border
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, OutlineSource, resampled
from patternscan.seeing.geometry.pose import Pose, fit_pose
from patternscan.seeing.geometry.seen_hand import other_hand, other_hand_caution

Points = NDArray[np.float64]

TIP_TO_ROOT = 1.26
"""How much more room the tip half of an involute flank takes in a picture than the root half: it faces the camera more
and is nearer to it.

Worked out for involute profiles of 30 to 80 teeth seen 30 to 60 degrees off square from 4 to 8 face widths:
the middle of the picture shows up = 0.557 +/- 0.018 (tests/seeing/test_mapping.py).
"""
PATCH_UNCERTAINTY = 0.016
"""Error that remains of a blended patch along the face, one standard deviation, as a fraction of the face width.

Rendered photos of known wheels gave 0.016 half-way along the face; see also tests/seeing/test_mapping.py.
"""
CHECKED_RMS, MIRROR_SHARE = 0.006, 0.6
"""From this misfit on the other hand is tried, in face widths, and it is seen when it fits that much better. Outlines
clicked on 66 rendered photos, each point off by 0.004, fitted within 0.0055 with the right hand, and 1.7 to 10 times
worse with the other, 0.0071 and more. Of 376 clicked roughly, or with gear data wrong by 5 to 25 %, none fitted the
other hand well and that much better. With the right rim outlines fitted 4 times better and more than with the other."""
PART_SHARE = 0.4
"""An end of the outline is not the flank's own when the rest fits well without it, and by this factor better than
without the other end: the throat's place tells them apart. On rendered photos with an end cut off the outline the share
was 0.33 at most; with a wrong face width on the sheet 0.48 or more."""
UNLIKE_RMS, UNLIKE_SHARE = 0.005, 0.7
"""From this misfit on, in face widths, a usual tooth is tried, and the sheet is another wheel's when that fits so much
better. Of 50 outlines (dev, port), each point clicked off by 0.004 or 0.008, none was so with its own gear data; of 539
pairings of a wheel with another one's data of the same hand the misfit told 208 and this tells 331."""


class FlankMap(Protocol):
    """Where places on a flank are seen in the photo."""

    @property
    def uncertainty(self) -> float:
        """Likely error of a place along the face, one standard deviation, as a fraction of the face width."""

    @property
    def pose(self) -> Pose | None:
        """The camera and the flank's shape; None where no such fits the outline."""

    def to_photo(self, coordinates: Points) -> Points:
        """Flank coordinates (n, 2) as along, up to pixels (n, 2) as x, y."""


@dataclass(frozen=True, slots=True, eq=False)
class BlendedPatch:
    """The bilinearly blended patch over four edge curves, each run through by its length in the picture.

    ``tip_to_root`` says how the height is run through: the picture's middle between root and tip shows the place
    up = tip_to_root / (1 + tip_to_root), so that 1 is even and more than 1 means that the tip half takes more room.
    Source: S. A. Coons, Surfaces for Computer-Aided Design of Space Forms, MIT MAC-TR-41, 1967 (from memory).
    """

    root: Edge
    tip: Edge
    end_a: Edge
    end_b: Edge
    uncertainty: float = PATCH_UNCERTAINTY
    tip_to_root: float = TIP_TO_ROOT

    @property
    def pose(self) -> None:
        """None: edges alone tell of no camera."""

    def to_photo(self, coordinates: Points) -> Points:
        """Flank coordinates (n, 2) to pixels (n, 2) as x, y; outside 0..1 the edges are held at their corners."""
        along = coordinates[:, :1]
        up = coordinates[:, 1:] / (coordinates[:, 1:] + self.tip_to_root * (1 - coordinates[:, 1:]))
        root, tip = resampled(self.root, along[:, 0]), resampled(self.tip, along[:, 0])
        end_a, end_b = resampled(self.end_a, up[:, 0]), resampled(self.end_b, up[:, 0])
        across = (1 - up) * root + up * tip
        lengthwise = (1 - along) * end_a + along * end_b
        corners = (1 - up) * ((1 - along) * self.root[0] + along * self.root[-1]) + up * (
            (1 - along) * self.tip[0] + along * self.tip[-1]
        )
        patch: Points = across + lengthwise - corners
        return patch


@dataclass(frozen=True, slots=True, eq=False)
class PosedFlank:
    """The map of a flank whose shape and camera are known. ``seen_px`` (rows, columns, 2): where its grid is seen."""

    pose: Pose
    seen_px: Points

    @property
    def uncertainty(self) -> float:
        """Likely error of a place along the face, one standard deviation, as a fraction of the face width."""
        return self.pose.fit.uncertainty

    def to_photo(self, coordinates: Points) -> Points:
        """Flank coordinates (n, 2) to pixels (n, 2) as x, y; outside 0..1 the flank goes on straight."""
        seen = self.seen_px
        cells = np.array([seen.shape[1] - 1, seen.shape[0] - 1])
        cell = np.clip(np.floor(coordinates * cells), 0, cells - 1).astype(np.intp)
        x, y = (coordinates * cells - cell).T[..., None]
        column, row = cell.T
        low = seen[row, column] * (1 - x) + seen[row, column + 1] * x
        high = seen[row + 1, column] * (1 - x) + seen[row + 1, column + 1] * x
        pixels: Points = low * (1 - y) + high * y
        return pixels


def map_flank(outline: Outline, pair: WormPair | None, lens: Lens) -> tuple[FlankMap, tuple[Caution, ...]]:
    """The best map of an outlined flank in a photo taken through ``lens``: from the gear data when they are known and
    the outline can be this gear's, else from the outline alone, with a caution that says why.

    Raises InconsistentInputs when an outline that was not found is surely that of a wheel of the other hand,
    NoTrustworthyOutline when it surely takes the root for the tip.
    """
    if pair is None:
        return map_usual_flank(outline, lens)
    posed = pose_flank(outline, pair, lens)
    if posed is None:
        return _without_gear_data(outline, lens, caution("gear-data-no-view"))
    fit = posed.pose.fit
    _refuse_half_turn(outline, pair, lens, fit.rms)
    if fit.rms > CHECKED_RMS and _is_other_hand(outline, pair, lens, fit.rms):
        return _without_gear_data(outline, lens, other_hand_caution(pair.hand))
    unlike = caution("gear-data-unlike", misfit=fit.rms)
    if not fit.rough:
        return _without_gear_data(outline, lens, unlike) if _is_other_gear(outline, lens, fit.rms) else (posed, ())
    turned = _with_other_rim(outline, pair, lens, fit.rms)
    if turned is not None:
        return turned, (caution("other-rim-seen", told=pair.rim.value, seen=pair.rim.other.value),)
    part = None if fit.close else _pose_part(outline, pair, lens, fit.rms)
    if part is not None:
        return part, (caution("end-unseen", end="A" if part.pose.unseen_end == "end_a" else "B"),)
    if fit.plausible:
        return posed, (caution("outline-rough", misfit=fit.rms),)
    return _without_gear_data(outline, lens, unlike)


def map_usual_flank(outline: Outline, lens: Lens) -> tuple[FlankMap, tuple[Caution, ...]]:
    """The map of an outlined flank of an unknown gear: as a usual gear's flank when the outline can be one and that is
    the surer map or the photo's border cuts the flank off, of which a patch knows nothing; else the patch between its
    edges as they were marked; with a caution when it can be none.

    Raises NoTrustworthyOutline when an outline that was not found surely takes the root for the tip.
    """
    posed, patch = pose_flank(outline, None, lens), map_outline(outline)
    _refuse_half_turn(outline, None, lens, np.inf if posed is None else posed.pose.fit.rms)
    if posed is None or not posed.pose.fit.plausible:
        return patch, (caution("outline-unlike"),)
    surer = posed.uncertainty <= patch.uncertainty
    return (posed if surer or _is_cut_off(outline, lens) else patch), ()


def _is_cut_off(outline: Outline, lens: Lens) -> bool:
    """Whether an edge of the outline runs along the photo's border."""
    return any(not off_border(getattr(outline, name), lens.size_px).any() for name in EDGE_NAMES)


def _without_gear_data(outline: Outline, lens: Lens, why: Caution) -> tuple[FlankMap, tuple[Caution, ...]]:
    flank_map, cautions = map_usual_flank(outline, lens)
    return flank_map, (why, *cautions)


def map_outline(outline: Outline) -> BlendedPatch:
    """The patch blended from the edges in the picture, for outlines that fit no tooth."""
    return BlendedPatch(outline.root, outline.tip, outline.end_a, outline.end_b)


def pose_flank(outline: Outline, pair: WormPair | None, lens: Lens, ignored: str | None = None) -> PosedFlank | None:
    """The map of an outlined flank from its pose, see ``fit_pose``; None when no camera fits."""
    pose = fit_pose(outline, pair, lens, ignored)
    return None if pose is None else PosedFlank(pose, pose.camera.see(pose.surface_grid))


def _refuse_half_turn(outline: Outline, pair: WormPair | None, lens: Lens, rms: float) -> None:
    """Raise NoTrustworthyOutline where a tooth fits well, and much better, once the outline is turned half round."""
    if rms <= CHECKED_RMS or outline.source is OutlineSource.FOUND:
        return
    turned = pose_flank(outline.half_turned, pair, lens)
    if turned is not None and not turned.pose.fit.rough and turned.pose.fit.rms < MIRROR_SHARE * rms:
        raise root_for_tip()


def root_for_tip() -> NoTrustworthyOutline:
    """The stop for an outline on which the root was surely taken for the tip: it turns the answer round."""
    return NoTrustworthyOutline(
        "The outline has root and tip of the tooth changed over, and end A and end B with them.",
        "Mark the flank again: the tip is the free edge, where the tooth stops; the root lies at its foot, between the "
        "teeth.",
    )


def _is_other_hand(outline: Outline, pair: WormPair, lens: Lens, rms: float) -> bool:
    """Whether a wheel of the other hand fits much better. Raises InconsistentInputs where it fits well."""
    mirrored = pose_flank(outline, replace(pair, hand=pair.hand.other), lens)
    if mirrored is None or mirrored.pose.fit.rms > MIRROR_SHARE * rms:
        return False
    if outline.source is not OutlineSource.FOUND and not mirrored.pose.fit.rough:
        raise other_hand(pair.hand)
    return True


def _is_other_gear(outline: Outline, lens: Lens, rms: float) -> bool:
    """Whether a tooth of other proportions fits an outline much better that no shape of a tooth was laid on."""
    if rms <= UNLIKE_RMS or outline.pulled or outline.source is OutlineSource.FOUND:
        return False
    usual = pose_flank(outline, None, lens)
    return usual is not None and usual.pose.fit.rms < UNLIKE_SHARE * rms


def _with_other_rim(outline: Outline, pair: WormPair, lens: Lens, rms: float) -> PosedFlank | None:
    """The map by the wheel with the other rim when that fits much better; else None."""
    try:
        other = replace(pair, rim=pair.rim.other)
    except WrongUse:
        return None
    posed = pose_flank(outline, other, lens)
    return posed if posed is not None and posed.pose.fit.rms < MIRROR_SHARE * rms else None


def _pose_part(outline: Outline, pair: WormPair, lens: Lens, whole_rms: float) -> PosedFlank | None:
    """The map of a flank that goes on beyond one end of its outline; None when neither end is so."""
    parts = {end: pose_flank(outline, pair, lens, end) for end in ("end_a", "end_b")}
    rms = {end: np.inf if posed is None else posed.pose.fit.rms for end, posed in parts.items()}
    end, other = sorted(rms, key=lambda name: rms[name])
    posed = parts[end]
    if posed is None or not posed.pose.fit.close or rms[end] > PART_SHARE * min(whole_rms, rms[other]):
        return None
    return posed
