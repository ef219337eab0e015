"""The cross-entropy method: candidates are drawn about the best ones so far, in an ever narrower spread.

Source: R. Y. Rubinstein, D. P. Kroese, The Cross-Entropy Method, Springer 2004 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]

WIDE_ROUNDS, SHRINK = 2, 0.8
"""In the first rounds the spread shrinks by this factor whatever was found, lest the search settle early."""


@dataclass(frozen=True, slots=True, eq=False)
class Generation:
    """The best ``candidates`` (n, d) near some start, best first, their ``scores`` (n,), how often they were bred, and
    a root (d, d) of the covariance of the next draw: the draw is the root times standard normal numbers.
    """

    candidates: Numbers
    scores: Numbers
    root: Numbers
    age: int = 0

    @classmethod
    def first(cls, start: Numbers, root: Numbers) -> Generation:
        """A start (d,) alone, not scored yet."""
        return cls(start[None], np.zeros(1), root)


@dataclass(frozen=True, slots=True, eq=False)
class CrossEntropy:
    """A search for the d numbers with the highest score.

    ``score``: of candidates (n, d), (n,). ``limits`` (2, d): lowest and highest of each number. Of each generation and
    as many ``tries`` the best ``kept`` live on; they are drawn about next with their own covariance times ``widened``,
    never less than the variances ``least`` (d,). ``joint``: whether numbers may vary together, which asks for clearly
    more survivors than numbers.
    """

    score: Callable[[Numbers], Numbers]
    limits: Numbers
    tries: int
    kept: int
    widened: float
    least: Numbers
    joint: bool

    def bred(self, parents: Generation, rng: np.random.Generator) -> Generation:
        """The best of a generation and of others drawn near it."""
        draw = rng.standard_normal((self.tries, len(parents.root))) @ parents.root.T
        near = np.clip(parents.candidates.mean(axis=0) + draw, *self.limits)
        candidates = np.vstack([parents.candidates, near])
        scores = self.score(candidates)
        best = np.argsort(-scores)[: self.kept]
        root = SHRINK * parents.root if parents.age < WIDE_ROUNDS else self._root_of(candidates[best])
        return Generation(candidates[best], scores[best], root, parents.age + 1)

    def _root_of(self, survivors: Numbers) -> Numbers:
        """The root of the survivors' covariance, widened."""
        if not self.joint:
            return np.diag(np.sqrt(self.widened * survivors.var(axis=0) + self.least))
        return np.asarray(np.linalg.cholesky(self.widened * np.cov(survivors.T) + np.diag(self.least)))
