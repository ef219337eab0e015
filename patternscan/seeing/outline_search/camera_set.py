"""Many cameras at once, in single precision: what a search tries out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.geometry.camera import PhotoSize

Numbers = NDArray[np.float64]
Singles = NDArray[np.float32]

NEAREST = 1e-3
"""Least depth that counts, for points behind a camera."""


@dataclass(frozen=True, slots=True, eq=False)
class CameraSet:
    """Cameras as ``rotation`` (n, 3, 3), whose first two rows hold the focal length too, ``shift`` (n, 3), and the
    pixel ``centre`` (n, 2) on the line of sight.
    """

    rotation: Singles
    shift: Singles
    centre: Singles

    @classmethod
    def of_arrays(cls, rotation: Numbers, shift: Numbers, centre: Numbers) -> Self:
        """The same from numbers of any precision."""
        return cls(*(np.asarray(array, dtype=np.float32) for array in (rotation, shift, centre)))

    @classmethod
    def of_numbers(cls, numbers: Numbers, looked_at: Numbers, size: PhotoSize) -> Self:
        """The cameras that ``numbers`` (n, 7) describe, as ``Camera.of_numbers`` does for one."""
        depth, focal = np.exp(numbers[:, 5]), np.exp(numbers[:, 6]) * max(size)
        rotation = _turns(numbers[:, :3])
        aim = depth[:, None] * np.column_stack([numbers[:, 3:5], np.ones(len(numbers))])
        magnified = np.stack([focal, focal, np.ones_like(focal)], axis=1)
        shift = magnified * (aim - rotation @ looked_at)
        centre = np.broadcast_to((np.array(size) - 1) / 2, (len(numbers), 2))
        return cls.of_arrays(magnified[:, :, None] * rotation, shift, centre)

    def see(self, points: Singles) -> tuple[Singles, Singles]:
        """Pixels x and y, each (n, m), of points (3, m), or of its own points for each camera (n, 3, m)."""
        seen = self.rotation @ points + self.shift[:, :, None]
        nearness = 1 / np.maximum(seen[:, 2], NEAREST)
        x, y = (seen[:, k] * nearness + self.centre[:, k, None] for k in (0, 1))
        return x, y

    def turned(self, angles: Numbers) -> Self:
        """Cameras that see points as these see them when turned by ``angles`` (n,) about z, from y toward x."""
        turn = np.zeros_like(self.rotation)
        turn[:, 0, 0] = turn[:, 1, 1] = np.cos(angles)
        turn[:, 0, 1] = np.sin(angles)
        turn[:, 1, 0] = -turn[:, 0, 1]
        turn[:, 2, 2] = 1
        return replace(self, rotation=self.rotation @ turn)


def _turns(vectors: Numbers) -> Numbers:
    """Rotations (n, 3, 3) of rotation vectors (n, 3).

    Source: O. Rodrigues, J. Math. Pures Appl. 5, 1840 (from memory).
    """
    angle = np.maximum(np.linalg.norm(vectors, axis=1), 1e-12)[:, None, None]
    x, y, z = (vectors / angle[..., 0]).T
    none = np.zeros_like(x)
    cross = np.stack([none, -z, y, z, none, -x, -y, x, none], axis=1).reshape(-1, 3, 3)
    turns: Numbers = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * (cross @ cross)
    return turns
