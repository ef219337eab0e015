"""What a picture says for a view of the wheel: edges where the teeth have theirs, compound on the flanks only."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.seeing.outline import PictureSide
from patternscan.seeing.photo import Photo
from patternscan.seeing.tooth_shape import FOCAL_LENGTH, end_line, flank_patch, lengthwise_line, seen_points

Map = NDArray[np.float32]
Floats = NDArray[np.float64]

WORKING_SIZE_PX = 640
"""Long side of the picture the search works on."""
QUARTER_TURNS = {PictureSide.UP: 0, PictureSide.RIGHT: 1, PictureSide.DOWN: 2, PictureSide.LEFT: 3}
"""Anticlockwise quarter turns that bring the tip up."""
BLUE_SHARE = 0.008
"""Part of the wheel that must look blue for other colours to be left out of account."""
SURELY_BLUE = -4.0
"""Largest b* (CIELAB) of a colour that no bronze has, not even in the shade."""
HUE_SLOPE = (-0.4, 0.0)
"""Bronze that mirrors bronze grows stronger in colour and redder: change of hue (degrees) per chroma (CIELAB)."""
LINE_POINTS, END_POINTS = 17, 7
LINES = (
    (lengthwise_line(1.0, 0, 1, LINE_POINTS), 1.0),
    (lengthwise_line(0.0, 0, 1, LINE_POINTS), 0.8),
    (end_line(-0.5, 0, END_POINTS), 0.5),
    (end_line(0.5, 0, END_POINTS), 0.5),
    (lengthwise_line(1.0, 0, -1, LINE_POINTS), 0.6),
    (lengthwise_line(0.2, 0, 1, LINE_POINTS), -0.2),
    (lengthwise_line(0.5, 0, 1, LINE_POINTS), -0.2),
    (lengthwise_line(0.8, 0, 1, LINE_POINTS), -0.2),
)
"""Lines of the tooth itself and what an edge on each is worth; on a smooth flank an edge speaks against the view."""
LINES_BESIDE = tuple(
    line
    for tooth in (-1, 1)
    for line in (
        (lengthwise_line(1.0, tooth, 1, LINE_POINTS), 0.5),
        (lengthwise_line(0.0, tooth, 1, LINE_POINTS), 0.4),
        (end_line(-0.5, tooth, END_POINTS), 0.3),
        (end_line(0.5, tooth, END_POINTS), 0.3),
    )
)
"""The same on the teeth next to it."""
PATCH_ROWS, PATCH_COLS = 3, 8
PATCH_POINTS = PATCH_ROWS * PATCH_COLS
TEETH_BESIDE = (-2, -1, 1, 2)
SHARE_WORTH, MOST_SHARE, SPOILED_WORTH, METAL_WORTH, SIZE_WORTH = 0.2, 0.8, 0.3, 0.2, 0.06


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """Maps (rows, cols) of a picture whose tip points up.

    ``edges``: (rows, cols, 3), squared change along xx, xy, yy over what is usual nearby.
    ``coarse``: the same, blurred.
    ``compound``: 0..1, how much a pixel looks like compound. ``metal``: 1 on the wheel, 0 elsewhere.
    ``bounds``: (2, 12), lowest and highest of each column of a view, narrow where the gear is known.
    """

    edges: Map
    coarse: Map
    compound: Map
    metal: Map
    bounds: Floats

    @property
    def size_px(self) -> int:
        """Long side."""
        return int(max(self.compound.shape))


def reduced(photo: Photo, tip: PictureSide) -> NDArray[np.uint8]:
    """The photo at working size, turned so that the tip points up."""
    scale = WORKING_SIZE_PX / max(photo.width_px, photo.height_px)
    size = (max(1, round(photo.width_px * scale)), max(1, round(photo.height_px * scale)))
    small = cv2.resize(photo.pixels, size, interpolation=cv2.INTER_AREA)
    return np.ascontiguousarray(np.rot90(small, QUARTER_TURNS[tip]), dtype=np.uint8)


def photo_pixels(points: Floats, photo: Photo, tip: PictureSide) -> Floats:
    """Working pixels (n, 2) with the tip up back to the photo's pixels."""
    scale = max(photo.width_px, photo.height_px) / WORKING_SIZE_PX
    x, y = ((points + 0.5) * scale - 0.5).T
    right, bottom = photo.width_px - 1, photo.height_px - 1
    back = {
        PictureSide.UP: (x, y),
        PictureSide.DOWN: (right - x, bottom - y),
        PictureSide.RIGHT: (right - y, x),
        PictureSide.LEFT: (y, bottom - x),
    }[tip]
    return np.stack(back, axis=1)


def gather_evidence(pixels: NDArray[np.uint8], bounds: Floats) -> Evidence:
    """Maps of an RGB picture (rows, cols, 3), reduced already and turned so that the tip points up.

    ``bounds``: those of the views, see ``Evidence``.
    """
    lab = np.asarray(cv2.cvtColor(pixels.astype(np.float32) / 255, cv2.COLOR_RGB2LAB), dtype=np.float32)
    rows, cols = lab.shape[:2]
    half = np.asarray(cv2.resize(lab, (max(1, cols // 2), max(1, rows // 2)), interpolation=cv2.INTER_AREA), np.float32)
    compound, metal = (np.asarray(cv2.resize(m, (cols, rows)), np.float32) for m in _colour_maps(half))
    return Evidence(_edge_map(lab, 1.2, 0.8), _edge_map(lab, 2.5, 3.0), compound, metal, bounds)


def _edge_map(lab: Map, blur_px: float, spread_px: float) -> Map:
    """Structure of the picture's change at one scale, evened out over a twelfth of the picture."""
    smooth = cv2.GaussianBlur(lab, (0, 0), blur_px)
    across, down = cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)
    weight = np.array([1.0, 0.5, 0.5], dtype=np.float32)
    pairs = ((across, across), (across, down), (down, down))
    tensor = np.stack([(first * second * weight).sum(axis=2) for first, second in pairs], axis=2)
    tensor = cv2.GaussianBlur(tensor, (0, 0), spread_px)
    usual = _blurred(np.sqrt(tensor[..., 0] + tensor[..., 2]), max(lab.shape) / 12)
    evened: Map = tensor / (usual + 0.3 * float(usual.mean()) + 0.1)[..., None] ** 2
    return evened


def _colour_maps(lab: Map) -> tuple[Map, Map]:
    """Where compound may lie and where the wheel is; each float32 (rows, cols), 0..1."""
    size = max(lab.shape)
    red, yellow = (_blurred(lab[..., k], 0.6) for k in (1, 2))
    chroma, hue = np.hypot(red, yellow), np.degrees(np.arctan2(yellow, red))
    bronze = ((chroma > 12) & (hue > 30) & (hue < 105)).astype(np.float32)
    wheel = _closed(bronze, size)
    inner = np.asarray(cv2.erode(wheel, _disc(size / 50)))
    plain = (bronze > 0) & (inner > 0)
    if plain.sum() < 50:
        return np.zeros_like(bronze), wheel
    usual_hue, usual_chroma = (float(np.median(m[plain])) for m in (hue, chroma))
    blue = inner * _ramp(0.35 * usual_chroma * np.sin(np.radians(usual_hue)) - yellow, 2, 10) * (lab[..., 0] < 85)
    slope = float(np.clip(np.polyfit(chroma[plain], hue[plain], 1)[0], *HUE_SLOPE))
    strange_hue = hue - slope * chroma
    strange_hue -= float(np.median(strange_hue[plain]))
    vivid = _ramp(chroma / usual_chroma, 1.1, 1.4)
    strange = inner * vivid * np.maximum(_ramp(strange_hue, 8, 14), _ramp(-strange_hue, 12, 20))
    surely_blue = blue * (yellow < SURELY_BLUE)
    paint = (
        blue if surely_blue.sum() > max(BLUE_SHARE * inner.sum(), 0.5 * strange.sum()) else np.maximum(blue, strange)
    )
    return paint.astype(np.float32), wheel


def _closed(bronze: Map, size_px: int) -> Map:
    """Bronze with its gaps filled, where compound, glare and shade lie; lone specks are dropped."""
    cleared = cv2.morphologyEx(bronze, cv2.MORPH_OPEN, _disc(size_px / 200))
    return np.asarray(cv2.morphologyEx(cleared, cv2.MORPH_CLOSE, _disc(size_px / 11)), dtype=np.float32)


def _disc(radius_px: float) -> NDArray[np.uint8]:
    reach = 2 * max(1, round(radius_px)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach)), dtype=np.uint8)


def _ramp(values: Map | Floats, low: float, high: float) -> Map:
    ramp: Map = np.clip((values - low) / (high - low), 0, 1).astype(np.float32)
    return ramp


def _blurred(values: Map, blur_px: float) -> Map:
    return np.asarray(cv2.GaussianBlur(values, (0, 0), blur_px), dtype=np.float32)


def looked_up(values: Map, points: Floats) -> Map:
    """Values at the nearest pixel of points (..., 2); zero outside the picture."""
    rows, cols = values.shape[:2]
    x, y = np.rint(points[..., 0]).astype(np.intp), np.rint(points[..., 1]).astype(np.intp)
    inside = (x >= 0) & (x < cols) & (y >= 0) & (y < rows)
    found = values.reshape(rows * cols, -1)[np.where(inside, y * cols + x, 0)]
    found = found * inside[..., None]
    return np.asarray(found[..., 0] if values.ndim == 2 else found, dtype=np.float32)


def edge_support(edges: Map, curve: Floats) -> Map:
    """How well curves (n, m, 2) lie on edges of their own direction, (n, m), 0..1."""
    step = np.gradient(curve, axis=1)
    step /= np.maximum(np.linalg.norm(step, axis=-1, keepdims=True), 1e-9)
    at = looked_up(edges, curve)
    across = (
        at[..., 0] * step[..., 1] ** 2 - 2 * at[..., 1] * step[..., 0] * step[..., 1] + at[..., 2] * step[..., 0] ** 2
    )
    strength = np.sqrt(np.maximum(across, 0))
    support: Map = (strength / (strength + 1.0)).astype(np.float32)
    return support


def score_views(views: Floats, evidence: Evidence, thorough: bool) -> Floats:
    """How well each view (n, 12) meets the picture, (n,); about 0.6 is a good one. Quick: one tooth, blurred edges."""
    lines = LINES + LINES_BESIDE if thorough else LINES
    teeth = (0, *TEETH_BESIDE) if thorough else (0,)
    patches = [flank_patch(tooth, PATCH_ROWS, PATCH_COLS) for tooth in teeth]
    places = np.vstack([line for line, _ in lines] + patches)
    seen = seen_points(views.astype(np.float32), places.astype(np.float32), FOCAL_LENGTH * evidence.size_px)
    cuts = np.cumsum([len(line) for line, _ in lines])
    *curves, flanks = np.split(seen, cuts, axis=1)
    edges = evidence.edges if thorough else evidence.coarse
    worths = [worth for _, worth in lines]
    edge_score = sum(w * edge_support(edges, c).mean(axis=1) for w, c in zip(worths, curves, strict=True))
    score: Floats = edge_score / sum(w for w in worths if w > 0) + _colour_score(evidence, curves, flanks)
    return score


def _colour_score(evidence: Evidence, curves: list[Floats], flanks: Floats) -> Floats:
    """Compound on flanks and not on the land between them, the tooth on metal, and large rather than small."""
    tip, root, rear = curves[0], curves[1], curves[4]
    own = looked_up(evidence.metal, flanks[:, :PATCH_POINTS]).mean(axis=1)
    land = np.concatenate([tip * (1 - part) + rear * part for part in (0.3, 0.6)], axis=1)
    spoiled = looked_up(evidence.compound, land).mean(axis=1)
    width = np.linalg.norm(root[:, 0] - root[:, -1], axis=1)
    share = np.minimum(_share_of_compound(evidence, flanks), MOST_SHARE)
    size = np.log(np.maximum(width, 1) / evidence.size_px)
    score: Floats = SHARE_WORTH * share - SPOILED_WORTH * spoiled - METAL_WORTH * (1 - own) + SIZE_WORTH * size
    return score


def _share_of_compound(evidence: Evidence, flanks: Floats) -> Floats:
    """Part of all compound in the picture that lies on the flanks (n, teeth * PATCH_POINTS, 2)."""
    patches = flanks.reshape(len(flanks), -1, PATCH_ROWS, PATCH_COLS, 2)
    amount = looked_up(evidence.compound, patches).mean(axis=(2, 3))
    first, second = patches[..., -1, -1, :] - patches[..., 0, 0, :], patches[..., -1, 0, :] - patches[..., 0, -1, :]
    cell = np.abs(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]) / 2
    area = cell * PATCH_ROWS / (PATCH_ROWS - 1) * PATCH_COLS / (PATCH_COLS - 1)
    share: Floats = (amount * area).sum(axis=1) / max(float(evidence.compound.sum()), 1.0)
    return share
