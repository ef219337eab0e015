"""How well a flank of known shape, seen by a camera, fits an outline."""

from __future__ import annotations

from dataclasses import dataclass

ROUGH_RMS, LARGEST_RMS, LARGEST_INLIER_RMS = 0.008, 0.012, 0.007
"""Outlines clicked on rendered photos, each point off by 0.004, gave 0.0026 to 0.0055 with the right gear data; with
the wrong hand 0.007 to 0.034, with a module wrong by a fifth 0.009 to 0.025. Beyond the largest the edges alone tell
places better."""
MUCH_OF_EDGE = 0.34
"""The edge as a person marked it outranks the tooth's shape when more than this part of it lies far off: of nine points
at the tip three when a straight rim was taken for a throated one, of careful clicks none."""
CLOSE_RMS, FEW_OUTLIERS = 0.005, 0.13
"""Where all but a few points fit so well, those few are left aside."""


@dataclass(frozen=True, slots=True)
class FitQuality:
    """How well a camera fits an outline, in fractions of the face width.

    ``rms``: distance of the outline's points from the fitted edges, one standard deviation; ``inlier_rms`` the same
    without the points that are far off, ``outlier_share`` the part of these, ``edge_share`` their part of the edge that
    has most of them. ``uncertainty``: likely error of a place along the face, one standard deviation.
    """

    rms: float
    inlier_rms: float
    outlier_share: float
    edge_share: float
    uncertainty: float

    @property
    def plausible(self) -> bool:
        """Whether the outline can be that of this gear's flank, perhaps with a small part of it hidden or cut off."""
        but_for_a_part = self.inlier_rms <= LARGEST_INLIER_RMS and self.edge_share <= MUCH_OF_EDGE
        return self.rms <= LARGEST_RMS or but_for_a_part

    @property
    def rough(self) -> bool:
        """Whether some of the outline lies further off than a steady hand would set it."""
        return self.rms > ROUGH_RMS

    @property
    def close(self) -> bool:
        """Whether all points lie on the flank's edges, or all but a few that are better left aside."""
        return not self.rough or (self.inlier_rms <= CLOSE_RMS and self.outlier_share <= FEW_OUTLIERS)
