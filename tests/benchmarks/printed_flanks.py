"""Flattened flanks of photographs whose contact is known, and what lies under the film of compound on them.

A folder holds either photos beside their outline files and one truth/truth.json, as the samples do, or photos/ and one
truth/NAME.json for each photo with its outline. The true contact is truth/NAME.contact.png in both. Photos that carry a
hardness tag are left out: bare metal cannot be worked out where it is burnt out, blurred or cut off.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from patternscan.frame import Compound, Flank, Marking
from patternscan.gearing.pair import WormPair
from patternscan.seeing.geometry.outline import Outline, checked_outline
from patternscan.seeing.geometry.outline_file import read_outline_file
from patternscan.seeing.geometry.placed_flank import PlaceUncertainty, place_flank
from patternscan.seeing.geometry.rectified import FLAT_COLUMNS, FLAT_ROWS, RectifiedFlank
from patternscan.seeing.image.photo import load_photo
from patternscan.setting.machine.sheet import Gear

Field = NDArray[np.float32]
"""Numbers over the rectified flank: (FLAT_ROWS, FLAT_COLUMNS) or with three colours behind."""
Mask = NDArray[np.bool_]

MAP_SIZE = (256, 128)
"""Columns and rows of a true contact map: end A to end B, tip to root."""
FULL_FILM = {
    Compound.BLUE: (2, 0.42),
    Compound.YELLOW: (0, 0.72),
    Compound.RED: (0, 0.72),
    Compound.WHITE: (1, 0.8),
    Compound.VIOLET: (2, 0.4),
}
"""The colour (0 red, 1 green, 2 blue) that a compound sends back best, and how much of it; guess."""
NO_FILM, ALL_FILM = 0.14, 0.75
"""Shares of a full film below which metal is taken for bare and above which for fully covered; guess."""
MIDDLE_SHARE = 0.85
"""Share of a full film in the middle of all that carries film, at least; guess."""
MIRROR_REACH = 25.0
"""Cells beyond the border of bare metal over which its grain is still repeated under the film; guess."""
CAMERA_BLACK = 0.004
"""Linear light below which a camera's 8-bit picture tells no colour: one step of 255 in sRGB is 0.0003, noise more."""


@dataclass(frozen=True, slots=True, eq=False)
class PrintedFlank:
    """One photographed flank with its truth. ``contact``: bool (128, 256), row 0 = tip, column 0 = end A."""

    name: str
    flat: RectifiedFlank
    marking: Marking
    compound: Compound
    contact: Mask
    along: float
    coverage: float
    doubt: PlaceUncertainty


@dataclass(frozen=True, slots=True, eq=False)
class StrippedFlank:
    """A flank taken apart. ``share``: how much of a full film lies there, 0 bare to about 1.2; linear light else.

    ``metal`` (rows, cols, 3): the flank without compound, as seen where it is bare, guessed under the film.
    ``light`` (rows, cols): light that a mat surface of reflectance 1 would send to the camera.
    """

    share: Field
    metal: Field
    light: Field


def printed_flanks(folder: Path) -> Iterator[PrintedFlank]:
    """All flanks of a folder whose truth is known and which carry no hardness tag."""
    for name, truth in _truths(folder):
        if truth.get("hard"):
            continue
        at = folder / "photos" if (folder / "photos").is_dir() else folder
        photo = load_photo(at / truth.get("photo", f"{name}.jpg"))
        outline = _outline(folder, name, truth)
        placed = place_flank(photo, outline, _pair(truth.get("gear")))
        yield PrintedFlank(
            name=name,
            flat=placed.rectified,
            marking=Marking(truth["marking"]),
            compound=Compound(truth["compound"]),
            contact=_contact(folder / "truth" / f"{name}.contact.png"),
            along=truth["along"],
            coverage=truth["coverage"],
            doubt=placed.uncertainty,
        )


def strip_film(flank: PrintedFlank) -> StrippedFlank:
    """Take the compound off a flank: tell film from metal by colour, then guess the metal under it from that beside."""
    seen = linear(flank.flat.pixels)
    share = _share_of_film(seen, flank)
    metal = _bare_metal(seen, share)
    channel, reflectance = FULL_FILM[flank.compound]
    light = smoothed(seen[..., channel], share > ALL_FILM, 30) / np.float32(reflectance)
    return StrippedFlank(share, metal, np.asarray(light, dtype=np.float32))


def linear(pixels: NDArray[np.uint8]) -> Field:
    """Linear light, 0..1, of sRGB pixels: IEC 61966-2-1."""
    code = pixels.astype(np.float32) / 255
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4).astype(np.float32)


def encoded(light: Field) -> NDArray[np.uint8]:
    """SRGB pixels of linear light: IEC 61966-2-1."""
    held = np.clip(light, 0, 1)
    code = np.where(held <= 0.0031308, 12.92 * held, 1.055 * held ** (1 / 2.4) - 0.055)
    return np.asarray(np.round(255 * code), dtype=np.uint8)


def enlarged(contact: Mask) -> Mask:
    """A true contact map on the grid of the rectified flank."""
    size = (FLAT_COLUMNS, FLAT_ROWS)
    return np.asarray(cv2.resize(contact.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST) > 0)


def smoothed(field: Field, where: Mask, sigma: float) -> Field:
    """Gaussian mean of a field over the cells named, wider where none is near; the mean of all where none at all."""
    weight = where.astype(np.float32)
    weighed = field * (weight if field.ndim == 2 else weight[..., None])
    above, below = np.zeros_like(field), np.zeros_like(weight)
    for wide, trust in ((sigma, 1.0), (4 * sigma, 0.05)):
        above += trust * _blurred(weighed, wide)
        below += trust * _blurred(weight, wide)
    above += 1e-4 * weighed.mean(axis=(0, 1))
    below += 1e-4 * weight.mean() + 1e-9
    return np.asarray(above / (below if field.ndim == 2 else below[..., None]), dtype=np.float32)


def _truths(folder: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Name and truth of every photo of a folder."""
    together = folder / "truth" / "truth.json"
    if together.is_file():
        yield from json.loads(together.read_text(encoding="utf-8")).items()
        return
    for path in sorted((folder / "truth").glob("*.json")):
        yield path.stem, json.loads(path.read_text(encoding="utf-8"))


def _outline(folder: Path, name: str, truth: dict[str, Any]) -> Outline:
    if "outline" in truth:
        return checked_outline(truth["outline"], Flank(truth["flank"]))
    return read_outline_file(folder / f"{name}.outline.json").outlines[0]


def _pair(gear: dict[str, Any] | None) -> WormPair | None:
    """The worm pair of a truth file: module, starts, teeth, worm diameter in modules, pressure angle, hand, face."""
    if gear is None:
        return None
    return Gear(
        module_mm=gear["m"],
        starts=gear["z1"],
        teeth=gear["z2"],
        worm_diameter_mm=gear["m"] * gear["q"],
        pressure_angle_deg=gear["alpha_deg"],
        hand="right" if gear["hand"] > 0 else "left",
        face_width_mm=gear["face_width_mm"],
    ).worm_pair()


def _contact(path: Path) -> Mask:
    with Image.open(path) as image:
        return np.asarray(image.convert("L").resize(MAP_SIZE, Image.Resampling.NEAREST)) > 127


def _share_of_film(seen: Field, flank: PrintedFlank) -> Field:
    """Share of a full film by the line in logarithms of colour that parts film from metal best.

    Fisher's linear discriminant (R. A. Fisher, Annals of Eugenics 7, 1936), taught by the true contact at first, then
    by what it found itself, against film and metal that vary slowly over the flank.
    """
    contact = enlarged(flank.contact)
    printed = flank.marking is Marking.TRANSFER
    logs = np.log(cv2.GaussianBlur(seen, (0, 0), 1.0) + np.float32(CAMERA_BLACK))
    colours = np.stack([logs[..., 0] - logs[..., 1], logs[..., 1] - logs[..., 2], 0.3 * logs[..., 1]], axis=-1)
    film, metal = (_shrunk(side, 9) for side in ((contact, ~contact) if printed else (~contact, contact)))
    plain = flank.compound is Compound.BLUE
    share, maybe_bare = np.zeros(contact.shape, dtype=np.float32), np.asarray(plain | (contact != printed))
    for _ in range(3):
        share = _parted(colours, film, metal)
        near = _grown(film, 25) if printed else True
        film, metal = (share > 0.65) & near, (share < 0.35) & maybe_bare
    wanted = _grown(contact, 11) if printed else ~_shrunk(contact, 11)
    elsewhere = 0.6 if plain or not printed else 0.0
    share = share * np.float32(max(1.0, MIDDLE_SHARE / max(float(np.median(share[contact == printed])), 0.3)))
    trust = _blurred(np.where(wanted, 1.0, elsewhere).astype(np.float32), 2.0)
    return np.asarray(np.clip(share * trust, 0, 1.2), dtype=np.float32)


def _parted(colours: Field, film: Mask, metal: Mask) -> Field:
    """0 at metal's colour, 1 at film's, on the line that parts the two groups best."""
    covariance = 0.5 * (np.cov(colours[film].T) + np.cov(colours[metal].T)) + 0.003 * np.eye(3)
    apart = np.median(colours[film], axis=0) - np.median(colours[metal], axis=0)
    tone = np.asarray(colours @ np.linalg.solve(covariance, apart).astype(np.float32), dtype=np.float32)
    low, high = smoothed(tone, metal, 45), _upper(tone, film)
    gap = np.maximum(high - low, 0.4 * float(np.median(tone[film]) - np.median(tone[metal])))
    return np.asarray((tone - low) / gap, dtype=np.float32)


def _upper(tone: Field, film: Mask) -> Field:
    """The tone of the fuller part of a film, varying slowly: thin streaks between do not count."""
    level = smoothed(tone, film, 45)
    return smoothed(tone, film & (tone >= level), 45)


def _bare_metal(seen: Field, share: Field) -> Field:
    """The flank without compound: as seen where bare; elsewhere the metal round about, with its grain mirrored in."""
    bare = _shrunk(share < NO_FILM, 5)
    if not bare.any():
        bare = share <= np.quantile(share, 0.05)
    around = smoothed(seen, bare, 25)
    level = np.float32(0.01)
    grain = np.where(bare, ((seen + level) / (around + level)).mean(axis=-1), 1).astype(np.float32)
    wide = _shrunk(bare, 7)
    guess = around * np.clip(_mirrored(grain, wide if wide.any() else bare), 0.5, 2.0)[..., None]
    kept = _blurred(bare.astype(np.float32), 2.0)[..., None] * bare[..., None]
    return np.asarray(kept * seen + (1 - kept) * guess, dtype=np.float32)


def _mirrored(field: Field, known: Mask) -> Field:
    """A field whose unknown cells repeat the known ones beyond the nearest border, as in a mirror, fading to 1."""
    distance, label = cv2.distanceTransformWithLabels(
        (~known).astype(np.uint8), cv2.DIST_L2, 5, labelType=cv2.DIST_LABEL_PIXEL
    )
    labels = np.asarray(label)
    rows, cols = (np.asarray(index) for index in np.indices(known.shape))
    at = np.zeros((int(labels.max()) + 1, 2), np.intp)
    at[labels[known]] = np.stack([rows[known], cols[known]], axis=1)
    row = np.clip(2 * at[labels, 0] - rows, 0, known.shape[0] - 1)
    col = np.clip(2 * at[labels, 1] - cols, 0, known.shape[1] - 1)
    there = np.where(known[row, col], field[row, col], 1)
    faded = 1 + (there - 1) * np.exp(-np.asarray(distance) / MIRROR_REACH)
    return np.where(known, field, faded).astype(np.float32)


def _blurred(field: Field, sigma: float) -> Field:
    return np.asarray(cv2.GaussianBlur(field, (0, 0), sigma, borderType=cv2.BORDER_REFLECT), dtype=np.float32)


def _shrunk(mask: Mask, size: int) -> Mask:
    return np.asarray(cv2.erode(mask.astype(np.uint8), np.ones((size, size), np.uint8)) > 0)


def _grown(mask: Mask, size: int) -> Mask:
    return np.asarray(cv2.dilate(mask.astype(np.uint8), np.ones((size, size), np.uint8)) > 0)
