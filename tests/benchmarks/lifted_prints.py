"""Prints lifted on clear tape or pressed onto paper, drawn from a true contact: film on white card with all its faults.

Linear light until the last step: white card, on it the part of the flank's film that came off, then what hands, tape,
scanner and lamp do to it, the frame that a person drew round the flank's edges, then camera or scanner with its JPEG.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from patternscan.frame import End, Flank, Marking
from patternscan.seeing.tags.tag_face import tag_cells
from patternscan.seeing.tags.tag_pair import tag_number
from tests.benchmarks.painted_film import LAMPS, THICKNESSES, Paint, lamp_colour, lay_film, scatter
from tests.benchmarks.printed_flanks import encoded

Field = NDArray[np.float32]
Colour = tuple[float, float, float]

PX_MM = 14.0
"""Pixels of the drawn card for a millimetre."""
CAME_OFF = (0.3, 0.8)
"""Part of the flank's film that tape or paper takes up (own guess)."""
FRAME_MM, WOBBLE_MM, HAND_MM = 0.35, 0.12, 5.0
"""How far each edge of the drawn frame lies beside the flank's own, how far the hand shakes, and over what length (own
guess: a person who draws along the edges that tape or paper shows pressed in)."""
STRETCH_MM = 0.15
"""How far the lift is stretched or creeps, smoothly over its length (own guess)."""
PENS: tuple[Colour, ...] = ((0.02, 0.02, 0.025), (0.05, 0.05, 0.055), (0.03, 0.04, 0.2), (0.12, 0.12, 0.12))
"""Linear reflectance of a black felt pen, a black and a blue ball pen, a pencil."""
CARD_MM = 9.0
"""White card round the flank, at least."""
TAG_MM, TAG_AWAY_MM, BESIDE_MM = 14.0, 17.0, 22.0
"""Side of a printed card's tags, how far beyond the ends their middles lie, and how much wider such a card is there."""


@dataclass(frozen=True, slots=True)
class LiftScene:
    """What one lift is made of. ``touched``: the side that touched the tooth is seen; ``scanned``: by a scanner;
    ``pair``: of the tags on its printed card, None for a plain one.
    """

    paint: Paint
    thickness: float
    lamp: str
    tape: bool
    touched: bool
    scanned: bool
    pair: int | None = None

    @property
    def mirrored(self) -> bool:
        """Whether the picture shows the flank as in a mirror."""
        return self.touched

    @property
    def label(self) -> str:
        """Everything in words."""
        film = next(name for name, value in THICKNESSES.items() if value == self.thickness)
        medium, side = "tape" if self.tape else "paper", "touched" if self.touched else "through"
        return f"{medium}, {side}, {'scan' if self.scanned else 'photo'}, {self.paint.name}, {film}, {self.lamp}"


@dataclass(frozen=True, slots=True, eq=False)
class Lift:
    """The picture, uint8 sRGB (rows, cols, 3), and the drawn frame's edges in its pixels as an outline has them."""

    pixels: NDArray[np.uint8]
    edges: dict[str, NDArray[np.float64]]


def lift_scene(paint: Paint, chance: np.random.Generator) -> LiftScene:
    """A lift of this compound by chance: tape is mostly seen through its back, paper on the side that touched."""
    tape = chance.random() < 0.5
    return LiftScene(
        paint,
        float(chance.choice([*THICKNESSES.values()])),
        str(chance.choice([*LAMPS])),
        tape,
        touched=bool(chance.random() < (0.15 if tape else 0.9)),
        scanned=bool(chance.random() < 0.4),
    )


def draw_lift(
    contact: NDArray[np.bool_],
    size_mm: tuple[float, float],
    flank: Flank,
    marking: Marking,
    scene: LiftScene,
    chance: np.random.Generator,
) -> Lift:
    """The lift of a flank of this size (face width, height) from its true contact (rows, cols; row 0 = tip)."""
    card = _Card.of(size_mm, chance, 0.0 if scene.pair is None else BESIDE_MM)
    came_off = _came_off(_film(contact, marking, chance), scene, chance)
    picture = _stained(card, came_off, scene, chance)
    if (flank is Flank.LEFT) is not scene.mirrored:
        picture = np.ascontiguousarray(picture[:, ::-1])
    frame = card.drawn_frame(chance)
    if (flank is Flank.LEFT) is not scene.mirrored:
        frame = {name: np.column_stack([picture.shape[1] - 1 - edge[:, 0], edge[:, 1]]) for name, edge in frame.items()}
    picture = _written(picture, frame, chance)
    if scene.pair is not None:
        _print_tags(picture, frame, scene.pair)
    return _seen(picture, frame, scene, chance)


@dataclass(frozen=True, slots=True, eq=False)
class _Card:
    """The card in mm: the flank's size, how much its edges are bowed, and where its tip at end A lies."""

    width: float
    height: float
    bow: float
    corner: tuple[float, float]
    creep: NDArray[np.float64]
    beside: float

    @classmethod
    def of(cls, size_mm: tuple[float, float], chance: np.random.Generator, beside: float) -> _Card:
        bow = float(chance.uniform(0, 0.16)) * size_mm[0]
        corner = (beside + float(chance.uniform(1, 1.6)) * CARD_MM, float(chance.uniform(1, 1.6)) * CARD_MM)
        return cls(*size_mm, bow, corner, chance.normal(0, STRETCH_MM, (2, 4)), beside)

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of the card's picture."""
        wide, high = self.width + 2.6 * CARD_MM + 2 * self.beside, self.height + self.bow + 2.6 * CARD_MM
        return round(high * PX_MM), round(wide * PX_MM)

    def bowed(self, along: NDArray[np.float64]) -> NDArray[np.float64]:
        """How much lower the edges lie there than at the ends, mm."""
        return self.bow * (1 - (2 * along - 1) ** 2)

    def places(self) -> tuple[Field, Field]:
        """Along and up of every pixel of the card, the lift's creep included."""
        rows, cols = self.shape
        x, y = np.meshgrid(np.arange(cols) / PX_MM - self.corner[0], np.arange(rows) / PX_MM - self.corner[1])
        waves = [np.sin((n + 1) * np.pi * x / self.width) for n in range(4)]
        x = x + sum(c * w for c, w in zip(self.creep[0], waves, strict=True))
        y = y + sum(c * w for c, w in zip(self.creep[1], waves, strict=True))
        along = x / self.width
        up = 1 - (y - self.bowed(np.clip(along, 0, 1))) / self.height
        return along.astype(np.float32), up.astype(np.float32)

    def drawn_frame(self, chance: np.random.Generator) -> dict[str, NDArray[np.float64]]:
        """The frame as a person draws it, end A on the left, in pixels of the card."""
        left, right, top, bottom = chance.normal(0, FRAME_MM, 4)
        a, b = left / self.width, 1 + right / self.width
        along = np.linspace(a, b, 25)
        held = self.bowed(np.clip(along, 0, 1))
        tip = np.column_stack([along * self.width, held + top])
        root = np.column_stack([along * self.width, held + self.height + bottom])
        shaken = (edge + _shaking(len(edge), self.width, chance) for edge in (tip, root))
        tip, root = (np.asarray(edge) + self.corner for edge in shaken)
        steps = np.linspace(0, 1, 9)[:, None]
        ends = {"end_a": root[0] + (tip[0] - root[0]) * steps, "end_b": root[-1] + (tip[-1] - root[-1]) * steps}
        return {name: edge * PX_MM for name, edge in {"root": root, "tip": tip, **ends}.items()}


def _shaking(count: int, length_mm: float, chance: np.random.Generator) -> NDArray[np.float64]:
    raw = chance.normal(0, 1, (count, 2)).astype(np.float32)
    smooth = cv2.GaussianBlur(raw, (1, 0), 0.1, sigmaY=max(HAND_MM / length_mm * count, 0.5))
    return np.asarray(WOBBLE_MM * smooth / max(float(smooth.std()), 1e-6), dtype=np.float64)


def _film(contact: NDArray[np.bool_], marking: Marking, chance: np.random.Generator) -> Field:
    """Thickness of the film on the flank, 1 = usual, (256, 512)."""
    touched = cv2.resize(contact.astype(np.float32), (512, 256), interpolation=cv2.INTER_LINEAR)
    touched = cv2.GaussianBlur(touched, (0, 0), float(chance.uniform(1, 3)))
    rubbed = 1 - touched * float(chance.uniform(0.9, 1))
    share = touched if marking is Marking.TRANSFER else _painted(chance) * rubbed
    there, thick = lay_film(np.asarray(share, dtype=np.float32), marking, chance)
    haze = chance.uniform(0, 0.04) * np.exp(0.5 * clouds((256, 512), (30, 20), chance))
    return np.asarray(there * thick + haze, dtype=np.float32)


def _painted(chance: np.random.Generator) -> Field:
    """Where the brush went: nearly everywhere, with ragged rims."""
    along, up = np.meshgrid((np.arange(512) + 0.5) / 512, 1 - (np.arange(256) + 0.5) / 256)
    rim = np.minimum(np.minimum(along, 1 - along), 0.4 * np.minimum(up, 1 - up))
    ragged = rim - chance.uniform(-0.01, 0.025) + 0.008 * clouds((256, 512), (14, 5), chance)
    return np.asarray(1 / (1 + np.exp(-ragged / 0.003)), dtype=np.float32)


def _came_off(film: Field, scene: LiftScene, chance: np.random.Generator) -> Field:
    """What tape or paper took up: unevenly, here and there hardly anything, nothing under bubbles and creases."""
    shape = film.shape
    uneven = 0.15 * clouds(shape, (40, 30), chance) + 0.1 * clouds(shape, (3, 3), chance)
    share = chance.uniform(*CAME_OFF) * np.exp(uneven)
    if chance.random() < 0.35:
        weak = clouds(shape, (45, 40), chance) - chance.uniform(1.2, 2.2)
        share = share * (1 - chance.uniform(0.6, 0.95) / (1 + np.exp(-8 * weak)))
    for _ in range(int(chance.integers(0, 7))):
        share = share * (1 - _spot(shape, chance, (0.004, 0.02)))
    for _ in range(int(chance.integers(0, 3))):
        share = share * (1 - 0.9 * _crack(shape, chance))
    return np.asarray(film * scene.thickness * share, dtype=np.float32)


def _stained(card: _Card, film: Field, scene: LiftScene, chance: np.random.Generator) -> Field:
    """Linear light from the card with the lift on it, end A on the left, white card about 0.85."""
    along, up = card.places()
    where = (along * 512 - 0.5, (1 - up) * 256 - 0.5)
    looked_up = cv2.remap(film, *where, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)
    lifted = np.asarray(looked_up, dtype=np.float32)
    shape = lifted.shape
    grain = 1 + 0.006 * clouds(shape, (2, 2), chance) + 0.01 * clouds(shape, (60, 60), chance)
    white = np.array([0.86, 0.86, 0.85]) * (1 - np.array([0, 0.01, 0.05]) * chance.random())
    card_light = (grain[..., None] * white).astype(np.float32)
    if not scene.tape:
        oily = cv2.GaussianBlur(np.minimum(lifted, 1), (0, 0), 1.2 * PX_MM)
        card_light = card_light * (1 - chance.uniform(0, 0.22) * oily[..., None] * np.array([0.8, 0.9, 1.0]))
    back, through = scatter(scene.paint, lifted)
    light = back + through**2 * card_light / (1 - back * card_light)
    return _handled(np.asarray(light, dtype=np.float32), card, scene, chance)


def _handled(light: Field, card: _Card, scene: LiftScene, chance: np.random.Generator) -> Field:
    """The faults on top: the tape's tint and its edge's shadow, bubbles under it, dust, folds, grey thumb marks."""
    shape = light.shape[:2]
    if scene.tape:
        along, up = card.places()
        slack = 2.5 / card.width, (2.5 + 0.4 * card.bow) / card.height
        on = ((along > -slack[0]) & (along < 1 + slack[0]) & (up > -slack[1]) & (up < 1 + slack[1])).astype(np.float32)
        tint = 1 - np.array([0.01, 0.02, 0.06], dtype=np.float32) * chance.random()
        light = light * (1 + on[..., None] * (tint - 1))
        rim = cv2.GaussianBlur(on, (0, 0), 3.0) - cv2.GaussianBlur(on, (0, 0), 6.0)
        light = light * (1 - 0.5 * np.abs(rim)[..., None])
        for _ in range(int(chance.integers(0, 8))):
            spot = _spot(shape, chance, (0.004, 0.03))[..., None]
            light = light + spot * chance.uniform(0.05, 0.35) * (0.85 - light)
    for _ in range(int(chance.integers(0, 3))):
        light = light * (1 - chance.uniform(0.1, 0.4) * _crack(shape, chance))[..., None]
    smudge = np.clip(clouds(shape, (50, 40), chance) - 1.2, 0, 2)
    light = light * (1 - chance.uniform(0, 0.07) * smudge)[..., None]
    return _dusted(np.asarray(light, dtype=np.float32), chance)


def _dusted(light: Field, chance: np.random.Generator) -> Field:
    rows, cols = light.shape[:2]
    dust = np.zeros((rows, cols), dtype=np.float32)
    for _ in range(int(chance.integers(5, 60))):
        at = (int(chance.integers(cols)), int(chance.integers(rows)))
        cv2.circle(dust, at, int(chance.integers(1, 6)), float(chance.uniform(0.3, 0.9)), -1, cv2.LINE_AA)
    return np.asarray(light * (1 - cv2.GaussianBlur(dust, (0, 0), 1.0))[..., None], dtype=np.float32)


def _written(light: Field, frame: dict[str, NDArray[np.float64]], chance: np.random.Generator) -> Field:
    """The frame, drawn with a pen round the flank, and the letters beside its ends."""
    rows, cols = light.shape[:2]
    ink = np.zeros((rows, cols), dtype=np.uint8)
    line = [np.rint(edge * 16).astype(np.int32) for edge in frame.values()]
    cv2.polylines(ink, line, False, 255, max(2, round(chance.uniform(0.25, 0.6) * PX_MM)), cv2.LINE_AA, 4)
    page = Image.fromarray(ink)
    draw, font = ImageDraw.Draw(page), ImageFont.load_default(5.0 * PX_MM)
    outward = np.sign(frame["root"][0, 0] - frame["root"][-1, 0])
    for name, letter, side in (("end_a", "A", outward), ("end_b", "B", -outward)):
        x, y = frame[name].mean(axis=0)
        draw.text((x + side * 4.5 * PX_MM, y), letter, 255, font, anchor="mm")
    share = (np.asarray(page).astype(np.float32) / 255 * chance.uniform(0.7, 1))[..., None]
    pen = np.array(PENS[int(chance.integers(len(PENS)))], dtype=np.float32)
    return np.asarray(light * (1 - share) + light * pen * share, dtype=np.float32)


def _print_tags(light: Field, frame: dict[str, NDArray[np.float64]], pair: int) -> None:
    """The tags of a printed card beside the ends, upright; in place."""
    outward = np.sign(frame["root"][0, 0] - frame["root"][-1, 0])
    for end, name, side in ((End.A, "end_a", outward), (End.B, "end_b", -outward)):
        size = round(TAG_MM * PX_MM)
        face = cv2.resize(
            tag_cells(tag_number(pair, end)).astype(np.uint8), (size, size), interpolation=cv2.INTER_NEAREST
        )
        x, y = np.rint(frame[name].mean(axis=0) + np.array([side * TAG_AWAY_MM * PX_MM, 0])).astype(int) - size // 2
        light[y : y + size, x : x + size][face > 0] *= 0.06


def _seen(light: Field, frame: dict[str, NDArray[np.float64]], scene: LiftScene, chance: np.random.Generator) -> Lift:
    """The card under the scanner, or under a lamp and a phone's camera held at a slant."""
    rows, cols = light.shape[:2]
    tilt = 0.01 if scene.scanned else 0.09
    square = np.array([[0, 0], [cols - 1, 0], [cols - 1, rows - 1], [0, rows - 1]], dtype=np.float64)
    turned = square + chance.normal(0, tilt, (4, 2)) * min(rows, cols)
    angle = chance.normal(0, 0.03 if scene.scanned else 0.12)
    spin = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    turned = (turned - turned.mean(axis=0)) @ spin.T
    scale = (300 / 25.4 / PX_MM) if scene.scanned else chance.uniform(900, 2200) / cols
    turned = (turned - turned.min(axis=0)) * scale
    size = np.ceil(turned.max(axis=0)).astype(int) + 1
    home = cv2.getPerspectiveTransform(square.astype(np.float32), turned.astype(np.float32))
    ground = 0.04 if scene.scanned and chance.random() < 0.3 else float(chance.uniform(0.05, 0.6))
    small = cv2.GaussianBlur(light, (0, 0), 0.4 / scale)
    picture = cv2.warpPerspective(
        small,
        home,
        (int(size[0]), int(size[1])),
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=(ground, ground, ground),
    )
    edges = {name: cv2.perspectiveTransform(edge[None], home)[0] for name, edge in frame.items()}
    return Lift(_developed(np.asarray(picture, dtype=np.float32), scene, chance), edges)


def _developed(light: Field, scene: LiftScene, chance: np.random.Generator) -> NDArray[np.uint8]:
    shape = light.shape[:2]
    x, y = np.meshgrid(np.linspace(-1, 1, shape[1]), np.linspace(-1, 1, shape[0]))
    if scene.scanned:
        edge = np.exp(-(1 + chance.choice([-1, 1]) * y) / 0.15)
        lamp = 1 - chance.uniform(0, 0.25) * edge
        level, colour = chance.uniform(0.95, 1.15), np.ones(3, dtype=np.float32)
    else:
        fall = chance.normal(0, 0.22, 2)
        lamp = np.exp(fall[0] * x + fall[1] * y - chance.uniform(0, 0.2) * (x**2 + y**2))
        level, colour = chance.uniform(0.45, 1.02), lamp_colour(scene.lamp)
    seen = light * (lamp * level)[..., None] * colour
    if scene.tape and not scene.touched and not scene.scanned and chance.random() < 0.4:
        seen = seen + chance.uniform(0.05, 0.5) * _spot(shape, chance, (0.03, 0.08), soft=0.5)[..., None]
    grain = chance.normal(0, 0.003 if scene.scanned else 0.006, seen.shape) * np.sqrt(np.maximum(seen, 0.01) / 0.2)
    file = io.BytesIO()
    Image.fromarray(encoded((seen + grain).astype(np.float32))).save(file, "JPEG", quality=int(chance.integers(75, 95)))
    return np.array(Image.open(file))


def _spot(
    shape: tuple[int, ...], chance: np.random.Generator, radius: tuple[float, float], soft: float = 0.15
) -> Field:
    """A roundish spot, 1 inside; ``radius`` as a part of the picture's width."""
    rows, cols = shape[:2]
    x, y = np.meshgrid(np.arange(cols, dtype=np.float32), np.arange(rows, dtype=np.float32))
    size = chance.uniform(*radius) * cols
    away = np.hypot((x - chance.uniform(0, cols)) / chance.uniform(0.7, 1.6), y - chance.uniform(0, rows)) / size
    return np.asarray(1 / (1 + np.exp(np.clip((away - 1) / soft, -30, 30))), dtype=np.float32)


def _crack(shape: tuple[int, ...], chance: np.random.Generator) -> Field:
    """A fold, 1 along a thin crooked line across the picture."""
    rows, cols = shape[:2]
    line = np.zeros((rows, cols), dtype=np.float32)
    ends = np.array([[chance.uniform(0, cols), 0], [chance.uniform(0, cols), rows]])
    if chance.random() < 0.3:
        ends = np.array([[0, chance.uniform(0, rows)], [cols, chance.uniform(0, rows)]])
    steps = np.linspace(0, 1, 12)[:, None]
    points = ends[0] + (ends[1] - ends[0]) * steps + chance.normal(0, 0.004 * cols, (12, 2))
    cv2.polylines(line, [np.rint(points).astype(np.int32)], False, 1.0, max(1, round(0.004 * cols)), cv2.LINE_AA)
    return np.asarray(cv2.GaussianBlur(line, (0, 0), 0.0015 * cols + 0.3), dtype=np.float32)


def clouds(shape: tuple[int, ...], sizes: tuple[float, float], chance: np.random.Generator) -> Field:
    """Smooth chance variation, mean 0, spread 1; ``sizes``: its extent across and down in cells."""
    times = max(1, int(min(sizes) / 3))
    rows, cols = shape[0] // times + 2, shape[1] // times + 2
    raw = chance.normal(0, 1, (rows, cols)).astype(np.float32)
    smooth = cv2.GaussianBlur(raw, (0, 0), sizes[0] / times, sigmaY=sizes[1] / times, borderType=cv2.BORDER_REFLECT)
    wide = cv2.resize(smooth, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray((wide - wide.mean()) / max(float(wide.std()), 1e-6), dtype=np.float32)
