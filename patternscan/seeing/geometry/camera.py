"""A camera without lens faults that stands somewhere round the wheel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.image.photo import Photo

Numbers = NDArray[np.float64]

NUMBERS = 7
"""A camera in numbers: turn (3), sideways aim (2), logarithm of the distance, logarithm of the focal length."""
PhotoSize = tuple[int, int]
"""Width and height in pixels."""
FOCAL, FOCAL_SPREAD, TOLD_FOCAL_SPREAD = 1.3, 0.6, 0.25
"""Focal length over the photo's longer side, and the spread of its logarithm: 0.7 for a telephone's plain lens, 1.4 and
2.1 for its long ones, more when the photo was cut (common practice). The last where the photo's file tells it: what it
tells is rounded, counts by the diagonal or by the longer side, and grows when one focuses near (0.1 in 53 photographs
of dev, rims and port); 0.2 to 0.4 do alike, and the wider it is the less a photo that was cut goes astray."""
NEAREST = 1e-3
"""Least depth that counts, for points behind a camera."""


@dataclass(frozen=True, slots=True)
class Lens:
    """Through it a photo with ``size_px`` (width, height) was taken; ``focal``: its focal length over the photo's
    longer side, None where nobody tells it.
    """

    size_px: PhotoSize
    focal: float | None = None


def lens_of(photo: Photo) -> Lens:
    """The lens through which the pixels that are held of a photo were taken."""
    rows, columns = photo.pixels.shape[:2]
    return Lens((columns, rows), photo.focal)


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """Sees points of the wheel's frame (mm) in the photo. The optical axis meets the photo in its middle.

    ``rotation`` (3, 3) and ``shift_mm`` (3,) bring a point into the camera's own frame: x to the right in the photo,
    y down, z along the line of sight. ``focal_px`` is the focal length, ``centre_px`` (2,) the photo's middle.
    """

    rotation: Numbers
    shift_mm: Numbers
    focal_px: float
    centre_px: Numbers

    @classmethod
    def of_numbers(cls, numbers: Numbers, looked_at_mm: Numbers, size: PhotoSize) -> Self:
        """The camera that ``numbers`` (7,) describe: turn as a rotation vector, then where it sees ``looked_at_mm``
        (3,): sideways and down as parts of its depth, the logarithm of its depth in mm; at last the logarithm of the
        focal length over the photo's longer side.
        """
        rotation = np.asarray(cv2.Rodrigues(numbers[:3])[0], dtype=np.float64)
        depth = np.exp(numbers[5])
        shift = depth * np.array([numbers[3], numbers[4], 1.0]) - rotation @ looked_at_mm
        return cls(rotation, shift, float(np.exp(numbers[6])) * max(size), (np.array(size) - 1) / 2)

    @property
    def eye_mm(self) -> Numbers:
        """Where the camera stands in the wheel's frame, (3,)."""
        eye: Numbers = -self.rotation.T @ self.shift_mm
        return eye

    def depth_mm(self, points: Numbers) -> Numbers:
        """How far points (..., 3) in mm lie before the camera along the line of sight, (...)."""
        depth: Numbers = points @ self.rotation[2] + self.shift_mm[2]
        return depth

    def see(self, points: Numbers) -> Numbers:
        """Points (..., 3) in mm to pixels (..., 2) as x, y; far outside the photo for points behind the camera."""
        own = points @ self.rotation.T + self.shift_mm
        depth = np.maximum(own[..., 2:], NEAREST)
        pixels: Numbers = own[..., :2] / depth * self.focal_px + self.centre_px
        return pixels

    def moves(self, numbers: Numbers, looked_at_mm: Numbers, points: Numbers) -> Numbers:
        """How pixels of points (n, 3) move with each of the camera's ``numbers`` (7,), then with the point's own x, y
        and z in mm, as (n, 2, 10).
        """
        own = points @ self.rotation.T + self.shift_mm
        _, by_turn = cv2.Rodrigues(numbers[:3])
        turned = np.einsum("kij,nj->nik", by_turn.reshape(3, 3, 3), points - looked_at_mm)
        aim = np.exp(numbers[5]) * np.array([[1, 0, numbers[3]], [0, 1, numbers[4]], [0, 0, 1]])
        shifts = [np.broadcast_to(shift, (len(points), 3, 3)) for shift in (aim, self.rotation)]
        own_moves = np.concatenate([turned, *shifts], axis=2)
        depth = np.maximum(own[:, 2:, None], NEAREST)
        seen = own[:, :2, None] / depth
        moves = self.focal_px * (own_moves[:, :2] - seen * own_moves[:, 2:]) / depth
        return np.concatenate([moves[..., :6], self.focal_px * seen, moves[..., 6:]], axis=2)


def first_numbers(points: Numbers, pixels: Numbers, focal: float, size: PhotoSize) -> Numbers | None:
    """The camera's numbers from points (n, 3) in mm round (0, 0, 0) and where they are seen (n, 2), n >= 4.

    ``focal`` is the focal length over the photo's longer side. None when no camera in front of them fits, or they are
    seen so near to each other, within a hundredth of the photo, that OpenCV tells of none.
    """
    length, (x, y) = focal * max(size), (np.array(size) - 1) / 2
    matrix = np.array([[length, 0, x], [0, length, y], [0, 0, 1]])
    try:
        found, turn, shift = cv2.solvePnP(points, pixels, matrix, None, flags=cv2.SOLVEPNP_SQPNP)
    except cv2.error:
        return None
    if not found or not shift[2, 0] > 0:
        return None
    across, down, depth = shift[:, 0]
    return np.array([*turn[:, 0], across / depth, down / depth, np.log(depth), np.log(focal)])
