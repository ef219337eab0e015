"""What costs the most of a judgement, remembered where the same samples are judged again and again.

Tests of commands, pages, files and reports ask what is said of a result; how it is worked out is tested in the rooms
that do so, where nothing is remembered.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from patternscan.gearing.pair import WormPair
from patternscan.judging.pattern_table import PatternTable, tabulate
from patternscan.seeing.outline_search.finder_net import FINDER_NET
from patternscan.seeing.packaged_net import PackagedNet
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET

NETS = (CONTACT_NET, FINDER_NET)


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


class RememberingNet(threading.local):
    """A net that looks once at the same picture; each thread has its own picture before it, as in the true one."""

    planes: NDArray[np.float32]

    def __init__(self, packaged: PackagedNet) -> None:
        self.packaged = packaged

    def setInput(self, planes: NDArray[np.float32]) -> None:  # noqa: N802
        self.planes = planes

    def forward(self, *names: Sequence[str]) -> NDArray[np.float32] | tuple[NDArray[np.float32], ...]:
        return _looked(self.packaged, _Planes(self.planes), tuple(map(tuple, names)))


class _Planes:
    """Input of the net that is known again by its content."""

    def __init__(self, planes: NDArray[np.float32]) -> None:
        self.planes, self.digest = planes, sha256(planes.tobytes()).digest()

    def __hash__(self) -> int:
        return hash(self.digest)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Planes) and self.digest == other.digest


@lru_cache(maxsize=200)
def _looked(
    packaged: PackagedNet, seen: _Planes, names: tuple[tuple[str, ...], ...]
) -> NDArray[np.float32] | tuple[NDArray[np.float32], ...]:
    net = _fresh(packaged).net
    net.setInput(seen.planes)
    found = net.forward(*map(list, names))
    return tuple(map(np.array, found)) if names else np.array(found)


@cache
def _fresh(packaged: PackagedNet) -> PackagedNet:
    """The same net, loaded apart from the one that is set aside for this."""
    return PackagedNet(packaged.package, packaged.weights, packaged.description, packaged.described)
