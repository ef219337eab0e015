"""Every way to stop has its own exit code and says what was found and what to do."""

from __future__ import annotations

import pytest

from patternscan import errors
from patternscan.errors import PatternscanError

EXIT_CODES = {
    "WrongUse": 2,
    "LooksLikeASlip": 2,
    "NotYetLogged": 2,
    "UnreadablePhoto": 3,
    "NoTrustworthyOutline": 4,
    "NoCompound": 5,
    "InconsistentInputs": 6,
    "CannotWrite": 7,
    "BrokenInstallation": 1,
    "WorkersLost": 2,
}
"""The exit codes that other programs rely on, written out here a second time on purpose."""


def kinds() -> dict[str, type[PatternscanError]]:
    return {
        name: thing
        for name, thing in vars(errors).items()
        if isinstance(thing, type) and issubclass(thing, PatternscanError) and thing is not PatternscanError
    }


def test_every_kind_has_its_exit_code() -> None:
    assert {name: kind.exit_code for name, kind in kinds().items()} == EXIT_CODES


@pytest.mark.parametrize("name", EXIT_CODES)
def test_found_and_remedy_travel_and_make_the_text(name: str) -> None:
    error = kinds()[name]("The bulb is out.", "Fit a new one.")
    assert (error.found, error.remedy) == ("The bulb is out.", "Fit a new one.")
    assert str(error) == "The bulb is out. Fit a new one."


def test_a_remedy_cannot_be_left_out() -> None:
    with pytest.raises(TypeError):
        errors.NoCompound("Nothing there.")  # type: ignore[call-arg]
