"""What costs the most of a judgement, remembered where the same samples are judged again and again.

Tests of commands, pages, files and reports ask what is said of a result; how it is worked out is tested in the rooms
that do so, where nothing is remembered.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from patternscan.gearing.pair import WormPair
from patternscan.judging.pattern_table import PatternTable, tabulate
from patternscan.seeing.packaged_net import PackagedNet
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET


def table(
    pair: WormPair, oversizes: Sequence[float], opposed: tuple[float, float], done: Callable[[float], None]
) -> PatternTable:
    """``tabulate``, once for the same wheel and reading."""
    found = _tabulated(pair, tuple(oversizes), opposed)
    done(1.0)
    return found


@cache
def _tabulated(pair: WormPair, oversizes: tuple[float, ...], opposed: tuple[float, float]) -> PatternTable:
    return tabulate(pair, oversizes, opposed, lambda _: None)


class RememberingNet:
    """The contact net, which looks once at the same flank."""

    planes: NDArray[np.float32]

    def setInput(self, planes: NDArray[np.float32]) -> None:  # noqa: N802
        self.planes = planes

    def forward(self, names: Sequence[str]) -> tuple[NDArray[np.float32], ...]:
        return _looked(_Planes(self.planes), tuple(names))


class _Planes:
    """Input of the net that is known again by its content."""

    def __init__(self, planes: NDArray[np.float32]) -> None:
        self.planes, self.digest = planes, sha256(planes.tobytes()).digest()

    def __hash__(self) -> int:
        return hash(self.digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Planes) and self.digest == other.digest


@lru_cache(maxsize=200)
def _looked(seen: _Planes, names: tuple[str, ...]) -> tuple[NDArray[np.float32], ...]:
    net = _fresh().net
    net.setInput(seen.planes)
    return tuple(np.array(found, dtype=np.float32) for found in net.forward(list(names)))


@cache
def _fresh() -> PackagedNet:
    """The same net, loaded apart from the one that is set aside for this."""
    return PackagedNet(CONTACT_NET.package, CONTACT_NET.weights, CONTACT_NET.description, CONTACT_NET.described)
