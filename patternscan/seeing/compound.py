"""Which part of a flattened flank carries contact."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patternscan.cautions import Caution
from patternscan.frame import Compound, Marking
from patternscan.seeing.flank import FlattenedFlank


@dataclass(frozen=True, slots=True, eq=False)
class CompoundMap:
    """What was found on a flattened flank; all arrays have its (rows, cols), row 0 = tip, column 0 = end A.

    ``amount``: float32 0..1, how much compound lies there (0 bare metal, 1 a full film).
    ``chance``: float32 0..1, how likely the place carried contact (for rub-off, bare metal inside the paint).
    ``contact``: bool, the most likely contact. ``judged``: bool, False where glare, shade, blur or the edge
    of the photo hide the flank.
    """

    compound: Compound
    marking: Marking
    amount: NDArray[np.float32]
    chance: NDArray[np.float32]
    contact: NDArray[np.bool_]
    judged: NDArray[np.bool_]
    cautions: tuple[Caution, ...]

    def __post_init__(self) -> None:
        for array in (self.amount, self.chance, self.contact, self.judged):
            array.flags.writeable = False


def find_compound(flank: FlattenedFlank, marking: Marking, compound: Compound | None) -> CompoundMap:
    """Find the contact; ``compound`` None means find out which. Raises NoCompound, DoNotBelongTogether."""
    raise NotImplementedError
