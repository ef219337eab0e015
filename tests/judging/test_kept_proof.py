"""What is kept of a proof: what it adds to intervals, and the doubts that it raises."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patternscan.judging.proof.conformal_margin import conformal_margin
from patternscan.judging.proof.figures import QuantityFigures, Spread
from patternscan.judging.proof.kept_proof import KeptProof
from patternscan.judging.proof.proven_share import prove


def figures(machines: int, beyond: float = 0.0, missed: int = 0) -> QuantityFigures:
    """One flank a machine, of which the first ``missed`` lie beyond their interval by so much."""
    scores = [(str(k), beyond if k < missed else -0.01) for k in range(machines)]
    held = prove((machine, score <= 0) for machine, score in scores)
    assert held is not None
    return QuantityFigures(Spread(0.01, 0.02), held, conformal_margin(scores))


def codes(kept: KeptProof) -> list[tuple[str, bool, bool]]:
    return [(one.code, one.grave, one.widens) for one in kept.cautions]


def test_what_was_seen_widens_each_number_by_its_own() -> None:
    kept = KeptProof(figures(12, 0.07, 3), figures(12), figures(10, 0.02, 2))
    assert kept.widening.steps == (0.07, 0.0, 0.02)
    assert kept.widening.machines == 10
    assert codes(kept) == [("proof-widened", False, True)]
    told = kept.cautions[0]
    assert (told["machines"], told["along"], told["up"], told["coverage"]) == (10, 0.07, 0.0, 0.02)


def test_intervals_that_held_are_left_without_a_word() -> None:
    kept = KeptProof(figures(12), figures(12), figures(12))
    assert kept.widening.steps == (0.0, 0.0, 0.0)
    assert kept.cautions == ()


def test_few_machines_only_raise_doubts() -> None:
    assert codes(KeptProof(figures(8, 0.5, 1), figures(8), figures(8))) == [("proof-few", False, False)]
    assert not any(KeptProof(figures(8, 0.5, 8), figures(8, 0.5, 8), figures(8, 0.5, 8)).widening.steps)
    assert codes(KeptProof(None, None, figures(8))) == [("proof-few", False, False)]


def test_places_that_few_machines_prove_wrong_are_grave() -> None:
    """Clopper and Pearson: with 3 of 8 held at most 71 %, in 19 cases of 20, with 6 of 8 at most 95 %."""
    assert ("proof-missed", True, False) in codes(KeptProof(figures(8, 0.1, 5), figures(8), figures(8)))
    assert ("proof-missed", True, False) not in codes(KeptProof(figures(8, 0.1, 2), figures(8), figures(8)))
    assert ("proof-missed", True, False) not in codes(KeptProof(figures(9, 0.1, 9), figures(9), figures(9)))


def test_another_version_is_told_and_still_widens() -> None:
    kept = KeptProof(figures(12, 0.07, 3), figures(12), figures(12), "patternscan 0.0.1")
    assert codes(kept) == [("proof-widened", False, True), ("proof-outdated", False, False)]
    assert kept.widening.along == 0.07


def test_a_margin_that_was_written_by_hand_is_refused() -> None:
    with pytest.raises(ValueError, match="takes 9 machines"):
        KeptProof(replace(figures(8), margin=0.01), None, None)
    with pytest.raises(ValueError, match="takes 9 machines"):
        KeptProof(replace(figures(12), margin=None), None, None)
    with pytest.raises(ValueError, match="0 or more"):
        KeptProof(replace(figures(12), margin=-0.01), None, None)
