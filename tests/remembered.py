"""What costs the most of a judgement, remembered where the same samples are judged again and again.

Tests of commands, pages, files and reports ask what is said of a result; how it is worked out is tested in the rooms
that do so, where nothing is remembered.
"""

from __future__ import annotations

import os
import pickle
import threading
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any, Generic, TypeVar

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from patternscan.gearing.contact import PairContact, roll_pair
from patternscan.gearing.pair import Placement, WormPair
from patternscan.judging.pattern_table import PatternTable, tabulate
from patternscan.measuring.reading import Reading
from patternscan.reporting.drawing import encoding
from patternscan.reporting.pages import judgement_page
from patternscan.reporting.pictures import annotation, check_picture
from patternscan.seeing.image.photo import Photo, load_photo
from patternscan.seeing.outline_search.finder_net import FINDER_NET
from patternscan.seeing.packaged_net import PackagedNet
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET
from patternscan.seeing.tags.seen_tag import SeenTags, see_tags
from patternscan.workflow import read

NETS = (CONTACT_NET, FINDER_NET)
NO_PIXELS = np.zeros((1, 1, 3), dtype=np.uint8)


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


@cache
def rolled(pair: WormPair, place: Placement) -> PairContact:
    """``roll_pair``, once for the same pair and place."""
    return roll_pair(pair, place)


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


Result = TypeVar("Result")


class Kept(Generic[Result]):
    """The last results, by what was asked."""

    def __init__(self, most: int) -> None:
        self.most, self.results = most, dict[bytes, Result]()

    def of(self, asked: object, work: Callable[[], Result]) -> Result:
        """What was kept under the same content, else what the work gives; a stop is not kept."""
        key = sha256(pickle.dumps(asked)).digest()
        if (found := self.results.get(key)) is not None:
            return found
        if len(self.results) >= self.most:
            self.results.pop(next(iter(self.results)), None)
        return self.results.setdefault(key, work())


_PHOTOS, _TAGS = Kept[Photo](24), Kept[SeenTags](200)


def photo(path: str | Path, *limits: float) -> Photo:
    """``load_photo``, once for the same file; every time another photo, as each that is loaded is one of its own."""
    if not os.path.isfile(path):  # as Path would not be asked about names too long for a disk
        return load_photo(path, *limits)  # type: ignore[arg-type]
    asked = (Path(path).name, Path(path).read_bytes(), limits)
    return replace(_PHOTOS.of(asked, lambda: load_photo(path, *limits)))  # type: ignore[arg-type]


def tags(seen: Photo) -> SeenTags:
    """``see_tags``, once for the same photo."""
    return see_tags(seen) if seen.sha256 is None else _TAGS.of((seen.sha256, seen.times), lambda: see_tags(seen))


class RememberingRead:
    """A way to read a flank that reads once what is the same to the last digit."""

    def __init__(self, way: Callable[..., Reading]) -> None:
        self.way, self.kept = way, Kept[Reading](80)

    def __call__(self, seen: Photo, *how: Any, **named: Any) -> Reading:
        if seen.sha256 is None:
            return self.way(seen, *how, **named)
        known = replace(seen, pixels=NO_PIXELS)
        found = self.kept.of((known, how, named), lambda: replace(self.way(seen, *how, **named), photo=known))
        return replace(found, photo=seen)


READ = {name: RememberingRead(getattr(read, name)) for name in ("read_flank", "_read_marked")}
"""The ways to read a flank that was found, and one that a person marked."""


_DRAWN, _ENCODED = Kept[Image.Image](24), Kept[bytes](60)
_draw_on_photo, _draw_check, _encoded = annotation.draw_on_photo, check_picture.draw_check, encoding._encoded


def on_photo(seen: Photo, readings: Sequence[Reading]) -> Image.Image:
    """``draw_on_photo``, once for the same readings; every time a picture of its own."""
    return _DRAWN.of(("photo", seen, readings), lambda: _draw_on_photo(seen, readings)).copy()


def check(reading: Reading) -> Image.Image:
    """``draw_check``, once for the same reading."""
    return _DRAWN.of(("check", reading), lambda: _draw_check(reading)).copy()


def encoded(image: Image.Image, kind: str, **options: Any) -> bytes:
    """``_encoded``, of PNG once for the same pixels; a JPEG takes no longer than to know its pixels again."""
    if kind == "JPEG":
        return _encoded(image, kind, **options)
    asked = (image.mode, image.size, image.tobytes(), options)
    return _ENCODED.of(asked, lambda: _encoded(image, kind, **options))


def remember(patched: pytest.MonkeyPatch, readings: bool, pictures: bool) -> None:
    """Put the table, the print and the nets in the place of what they remember, ``readings`` with all that leads to
    them, and ``pictures`` as they are drawn and encoded.
    """
    patched.setattr("patternscan.judging.estimate.tabulate", table)
    patched.setattr("patternscan.workflow.predict.roll_pair", rolled)
    for net in NETS:
        patched.setattr(net, "net", RememberingNet(net))
    if readings:
        patched.setattr(read, "load_photo", photo)
        patched.setattr(read, "see_tags", tags)
        for name, way in READ.items():
            patched.setattr(read, name, way)
    if pictures:
        for module in (annotation, judgement_page):
            patched.setattr(module, "draw_on_photo", on_photo)
        patched.setattr(check_picture, "draw_check", check)
        patched.setattr(encoding, "_encoded", encoded)
