"""Both flanks of one machine, judged: the readings, how they compare, and the advice."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from patternscan.cautions import Caution, caution
from patternscan.errors import NoCompound, NoTrustworthyOutline, PatternscanError
from patternscan.frame import Flank
from patternscan.judging.acceptance import Acceptance
from patternscan.judging.advice import Advice
from patternscan.judging.comparison import Comparison
from patternscan.judging.states.judged_state import Identity

if TYPE_CHECKING:
    from patternscan.judging.estimate import Estimate
    from patternscan.measuring.reading import Reading
    from patternscan.seeing.geometry.outline import Outline
    from patternscan.seeing.image.photo import Photo

PHOTO_DECLINED = "photo-declined"
"""Code of the caution that tells of a photo which could not be read."""
BLAMED = {NoTrustworthyOutline: "no-outline", NoCompound: "no-compound"}
"""What a photo is at fault for that could not be read, where no caution about it says more; else "unreadable"."""


@dataclass(frozen=True, slots=True)
class Declined:
    """A photo that was given but could not be read, and why; ``picture`` and ``outlines`` as far as there are any.

    ``blame``: what is at fault, as the reason tells it, else one of BLAMED.
    """

    photo: str
    flank: Flank
    reason: PatternscanError
    picture: Photo | None = None
    outlines: tuple[Outline, ...] = ()

    @property
    def blame(self) -> str:
        """What is at fault."""
        return self.reason.blame or BLAMED.get(type(self.reason), "unreadable")

    @property
    def caution(self) -> Caution:
        """The caution that tells of it beside the photos that were read."""
        return caution(PHOTO_DECLINED, self.flank, self.photo, found=self.reason.found, remedy=self.reason.remedy)


@dataclass(frozen=True, slots=True, eq=False)
class Judgement:
    """Both flanks of one machine, compared, with the advice; ``cautions`` are those of all readings and the pair.

    ``left`` and ``right`` are the readings of each flank, one a tooth. ``comparison`` holds what the flanks share and
    in what they oppose each other, fractions of the face width; ``advice.move`` says which way the wheel has to go.
    ``estimate`` is in mm; None without gear data, or without contact on both flanks.

    ``declined`` are the photos that could not be read. ``film`` is what a person said of the film of compound.
    ``acceptance`` is there when a table was chosen. ``machine_by_folder`` says that the machine's name is only that of
    the photos' folder, which proves nothing.
    """

    left: tuple[Reading, ...]
    right: tuple[Reading, ...]
    comparison: Comparison
    advice: Advice
    cautions: tuple[Caution, ...]
    machine: str | None = None
    identity: Identity = field(default_factory=Identity)
    film: str | None = None
    estimate: Estimate | None = None
    acceptance: Acceptance | None = None
    machine_by_folder: bool = False
    declined: tuple[Declined, ...] = ()
