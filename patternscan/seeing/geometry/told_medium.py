"""What a person said was photographed: the flank itself, or its print on tape or paper and which side of that."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patternscan.errors import InconsistentInputs, WrongUse
from patternscan.frame import Lift, Medium, Seen


@dataclass(frozen=True, slots=True)
class ToldMedium:
    """``medium`` and ``seen`` as they were said, None where nothing was."""

    medium: Medium | None = None
    seen: Seen | None = None

    @property
    def lift(self) -> Lift | None:
        """The print off the flank; None for the flank itself, also when nothing was said.

        Raises WrongUse for half an answer: the two sides are mirror images, so there is no default.
        """
        if self.medium in (None, Medium.FLANK):
            if self.seen is None:
                return None
            raise WrongUse(
                "It is said which side of tape or paper is seen, but not that tape or paper was photographed.",
                "Give --medium tape or --medium paper too, or leave --seen out.",
            )
        if self.seen is None:
            raise WrongUse(
                f"It is not said which side of the {self.medium} the picture shows.",
                "Give --seen touched for the side that touched the tooth (a paper print as it comes off), or --seen "
                "through when the compound is seen through it (tape stuck on white card). One is the other in a "
                "mirror.",
            )
        return Lift(self.medium, self.seen)

    def joined(self, written: ToldMedium) -> ToldMedium:
        """What was said, and what a file says where nothing was said. Raises InconsistentInputs where they differ."""
        if written.medium not in (None, self.medium) and self.medium is not None:
            raise _differ(f"{self.medium} was photographed", written.medium)
        if written.seen not in (None, self.seen) and self.seen is not None:
            raise _differ(f"the side {self.seen} is seen", written.seen)
        return ToldMedium(self.medium or written.medium, self.seen or written.seen)

    def over(self, usual: ToldMedium) -> ToldMedium:
        """What was said, and what is usual where nothing was said; ``usual`` may be overruled."""
        if self.medium not in (None, usual.medium):
            return self
        return ToldMedium(self.medium or usual.medium, self.seen or usual.seen)


WORDS: Mapping[str, ToldMedium] = {
    "flank": ToldMedium(Medium.FLANK),
    **{f"{medium}-{seen}": ToldMedium(medium, seen) for medium in (Medium.TAPE, Medium.PAPER) for seen in Seen},
}
"""Everything that may be photographed, each in one word."""


def _differ(said: str, written: str | None) -> InconsistentInputs:
    return InconsistentInputs(
        f'It is said that {said}, but the outline file says "{written}".',
        "Look at what was photographed, and correct the one that is wrong.",
    )
