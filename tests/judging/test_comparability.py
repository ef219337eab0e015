"""What is proved not to belong together is refused, and nothing on suspicion."""

from __future__ import annotations

import pytest

from patternscan.errors import InconsistentInputs
from patternscan.judging.states.comparability import refuse_strangers
from patternscan.judging.states.judged_state import Identity

HOIST = Identity(
    "Barn hoist", {"teeth": 46, "module_mm": 3.15, "hand": "right"}, frozenset({"a"}), frozenset({"b"}), "right"
)


@pytest.mark.parametrize(
    ("other", "found"),
    [
        (Identity("Quarry winch"), "different machines: Barn hoist and Quarry winch"),
        (Identity(gear={"teeth": 47}), "different wheels: teeth 46 and 47"),
        (Identity(gear={"module_mm": 3.0}), "different wheels: module 3.15 and 3.0"),
        (Identity(gear={"hand": "left"}), "different wheels: hand right and left"),
        (Identity(seen_hand="left"), "right-hand wheel in the photos of one result, and as on a left-hand wheel"),
        (Identity(left_photos=frozenset({"b"})), "same photo is a left flank in one result and a right flank"),
        (Identity(right_photos=frozenset({"a", "c"})), "same photo is a left flank in one result and a right flank"),
    ],
)
def test_a_proof_is_refused_with_both_possible_causes(other: Identity, found: str) -> None:
    for pair in ((HOIST, other), (other, HOIST)):
        with pytest.raises(InconsistentInputs) as refused:
            refuse_strangers(*pair)
        assert refused.value.remedy.startswith("Either ")
        assert " or " in refused.value.remedy.casefold()
    with pytest.raises(InconsistentInputs, match=found):
        refuse_strangers(HOIST, other)


@pytest.mark.parametrize(
    "other",
    [
        Identity(),
        HOIST,
        Identity("barn  HOIST"),
        Identity(gear={"teeth": 46.0, "module_mm": 3.151}),
        Identity(gear={"hob_oversize": 0.02, "profile": "za", "pressure_angle_deg": 20}),
        Identity(left_photos=frozenset({"c"}), right_photos=frozenset({"d"})),
    ],
)
def test_what_may_be_the_same_machine_is_let_through(other: Identity) -> None:
    refuse_strangers(HOIST, other)


def test_a_photo_that_shows_both_flanks_is_no_proof() -> None:
    both = Identity(left_photos=frozenset({"a"}), right_photos=frozenset({"a"}))
    refuse_strangers(both, both)
    refuse_strangers(both, Identity(right_photos=frozenset({"a"})))
