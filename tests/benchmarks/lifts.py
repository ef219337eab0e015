"""How near the truth prints on tape and paper are read: `python tests/benchmarks/lifts.py dev2 [--net] [--keep DIR]`.

Of each photograph's true contact a print is drawn under either marking, lifted on tape or pressed onto paper with their
faults, photographed or scanned (`lifted_prints.py`). It is read in the frame that was drawn round it, the frame clicked
by a person or, where it is plain, found by the tool. Errors are in points: hundredths of face width, flank height and
flank area. `--net` shows beside it what the nets for flanks see in the same frames; `--keep` writes the pictures.
`--card` draws them on printed cards with tags, and tells what comes of a wrong side, flank or machine, and of a mirror.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import get_args

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline, PatternscanError
from patternscan.frame import Compound, Flank, Lift, Marking, Medium, Seen
from patternscan.measuring.measurement import Measurement
from patternscan.measuring.reading import Reading
from patternscan.seeing.geometry.outline import Outline, PictureSide, checked_frame, resampled
from patternscan.seeing.image.lab import SRGB_TO_LINEAR
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.image.threads import use_one_thread
from patternscan.seeing.lifts.frame_search import find_frame
from patternscan.seeing.quality.light import FlankLight
from patternscan.seeing.segmentation.fused import NET_SHIFT
from patternscan.seeing.segmentation.net_segmentation import segment_by_net
from patternscan.seeing.tags.seen_tag import see_tags
from patternscan.seeing.tags.told_ends import ends_told, refuse_foreign
from patternscan.seeing.tags.told_tip import tip_on_card
from patternscan.workflow.read import read_flank
from tests.benchmarks.lifted_prints import LiftScene, draw_lift, lift_scene
from tests.benchmarks.painted_film import PAINTS
from tests.benchmarks.scenes import CORNERS, OFF, Scene, Split, scenes

COLOURED = tuple(paint for paint in PAINTS if paint.compound is not Compound.WHITE)
"""White shows on no white card."""
HEIGHT_MODULES = 2.1
"""Height of a flank, in modules: the usual two, and clearance."""
CLICKS = {"root": 7, "tip": 7, "end_a": 3, "end_b": 3}
NEAR = 0.03
"""A frame that was found lies as near as this to the drawn one, in face widths, at every corner."""
PAIR = 77
QUANTITIES = ("along", "up", "coverage")

Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class DrawnLift:
    """One drawn lift: whose true contact it shows, the picture, and its frame as a person clicks it."""

    scene: Scene
    marking: Marking
    made_of: LiftScene
    photo: Photo
    frame: Outline

    @property
    def label(self) -> str:
        """All that it is, in words."""
        return f"{self.scene.name}, {self.marking}, {self.made_of.label}"


@dataclass(frozen=True, slots=True)
class Score:
    """Overlap of contact found and true (intersection over union), and whether the compound was named right; by
    quantity the error in points, whether the interval holds, and its width in points.
    """

    machine: str
    overlap: float
    error: dict[str, float]
    holds: dict[str, bool]
    width: dict[str, float]
    named: bool


def drawn_lifts(split: Split, only: str = "", pair: int | None = None) -> Iterator[DrawnLift]:
    """A lift of every photograph of a set under either marking, the same at every call; on a printed card of a pair."""
    for one in scenes(split):
        for marking in Marking:
            if only in one.name:
                yield drawn_lift(one, marking, pair)


def drawn_lift(one: Scene, marking: Marking, pair: int | None = None) -> DrawnLift:
    """The lift of one photograph's true contact."""
    chance = np.random.default_rng([*f"{one.name} {marking}".encode()])
    made_of = replace(lift_scene(COLOURED[int(chance.integers(len(COLOURED)))], chance), pair=pair)
    size_mm = one.truth["gear"]["face_width_mm"], HEIGHT_MODULES * one.truth["gear"]["m"]
    flank = Flank(one.truth["flank"])
    drawn = draw_lift(one.contact(), size_mm, flank, marking, made_of, chance)
    lift = Lift(Medium.TAPE if made_of.tape else Medium.PAPER, Seen.TOUCHED if made_of.touched else Seen.THROUGH)
    frame = checked_frame(_clicked(drawn.edges, chance), flank, lift)
    return DrawnLift(one, marking, made_of, Photo(f"{one.name}.jpg", drawn.pixels), frame)


def _clicked(edges: dict[str, NDArray[np.float64]], chance: np.random.Generator) -> dict[str, NDArray[np.float64]]:
    spread = OFF * float(np.linalg.norm(edges["root"][-1] - edges["root"][0]))
    clicked = {
        name: resampled(edge, np.linspace(0, 1, CLICKS[name])) + chance.normal(0, spread, (CLICKS[name], 2))
        for name, edge in edges.items()
    }
    corners: dict[str, NDArray[np.float64]] = {}
    for name, edge in clicked.items():
        for place, corner in zip((0, -1), CORNERS[name], strict=True):
            edge[place] = corners.setdefault(corner, edge[place].copy())
    return clicked


def read_lift(lift: DrawnLift, frame: Outline | None = None) -> Score | str:
    """Read a lift and set it beside its truth; why not, when it is not read."""
    try:
        reading = read_flank(lift.photo, frame or lift.frame, lift.marking)
    except PatternscanError as stop:
        return stop.found
    contact = cv2.resize(reading.contact_map.contact.astype(np.float32), (256, 128), interpolation=cv2.INTER_AREA) > 0.5
    return _scored(lift, contact, reading.measurement, reading)


def seen_by_net(lift: DrawnLift) -> Score | str:
    """The same, but with the contact that the nets for flanks see in the frame; nothing of its intervals counts."""
    try:
        reading = read_flank(lift.photo, lift.frame, lift.marking)
    except PatternscanError as stop:
        return stop.found
    pixels = reading.rectified.pixels
    linear = cv2.resize(cv2.LUT(pixels, SRGB_TO_LINEAR), (256, 128), interpolation=cv2.INTER_AREA)
    seen, readable = np.ones(pixels.shape[:2], dtype=np.bool_), np.ones((128, 256), dtype=np.bool_)
    light = FlankLight(pixels, seen, seen, np.asarray(linear, dtype=np.float32), readable)
    contact = np.asarray(segment_by_net(light, lift.marking, None).logit + NET_SHIFT[lift.marking] > 0)
    return _scored(lift, contact, None, reading) if contact.any() else "no contact"


def _scored(lift: DrawnLift, contact: Mask, measured: Measurement | None, reading: Reading) -> Score:
    true, truth = lift.scene.contact(), lift.scene.truth
    rows, columns = np.nonzero(contact)
    found = {
        "along": (columns.mean() + 0.5) / contact.shape[1],
        "up": 1 - (rows.mean() + 0.5) / contact.shape[0],
        "coverage": contact.mean(),
    }
    intervals = {} if measured is None else {key: getattr(measured, key) for key in QUANTITIES}
    return Score(
        machine=lift.scene.machine,
        overlap=float((contact & true).sum() / max(1, (contact | true).sum())),
        error={key: 100 * float(found[key] - truth[key]) for key in QUANTITIES},
        holds={key: one.holds(truth[key]) for key, one in intervals.items() if one is not None},
        width={key: 100 * one.width for key, one in intervals.items() if one is not None},
        named=reading.contact_map.compound is lift.made_of.paint.compound,
    )


def found_frame(lift: DrawnLift) -> Outline | None:
    """The frame as the tool finds it; None where it is not sure."""
    one = lift.frame
    if one.lift is None:
        return None
    try:
        return find_frame(lift.photo, one.flank, PictureSide.UP, one.lift)
    except NoTrustworthyOutline:
        return None


def is_near(found: Outline, drawn: Outline) -> bool:
    """Whether a found frame lies where the drawn one does."""
    gaps = [getattr(found, edge)[end] - getattr(drawn, edge)[end] for edge in ("root", "tip") for end in (0, -1)]
    return bool(np.linalg.norm(gaps, axis=1).max() < NEAR * drawn.width_px)


def figures(title: str, results: Sequence[Score | str]) -> Iterator[str]:
    """The lines that say how a group of lifts was read."""
    ones = [one for one in results if isinstance(one, Score)]
    why = Counter(one for one in results if isinstance(one, str))
    yield f"{title}: {len(results)} lifts of {len({one.machine for one in ones})} machines, read {len(ones)}"
    yield from (f"  {count} not read: {words}" for words, count in why.items())
    if not ones:
        return
    worst, middle = np.quantile([one.overlap for one in ones], (0.1, 0.5))
    named = np.mean([one.named for one in ones])
    yield f"  overlap   median {middle:.3f}   9 in 10 above {worst:.3f}   named right {named:.2f}"
    for key in QUANTITIES:
        middle, most = np.quantile([abs(one.error[key]) for one in ones], (0.5, 0.9))
        held = [one.holds[key] for one in ones if key in one.holds]
        wide = [one.width[key] for one in ones if key in one.width]
        more = f"   interval holds {np.mean(held):.2f}, {np.median(wide):.1f} wide" if held else ""
        yield f"  {key:9} median {middle:5.2f}   9 in 10 within {most:5.2f}{more}"


def on_card(photo: Photo, flank: Flank, lift: Lift, pair: int = PAIR) -> str:
    """What comes of a lift on a printed card, when this is said of it: told, refused, silent, or no frame found."""
    tags = see_tags(photo)
    try:
        refuse_foreign(tags, pair, photo.name)
        frame = find_frame(photo, flank, tip_on_card(tags) or PictureSide.UP, lift)
        return "told" if ends_told(tags, frame, photo.name) else "silent"
    except InconsistentInputs:
        return "refused"
    except NoTrustworthyOutline:
        return "no frame"


def said_of_cards(lifts: Sequence[DrawnLift]) -> dict[str, Counter[str]]:
    """How often each comes about: with all said right, and with one thing wrong."""
    counts: dict[str, Counter[str]] = {}
    for one in lifts:
        lift, flank, photo = one.frame.lift, one.frame.flank, one.photo
        assert lift is not None
        other = replace(lift, seen=Seen.THROUGH if lift.seen is Seen.TOUCHED else Seen.TOUCHED)
        flipped = Photo(photo.name, np.ascontiguousarray(photo.pixels[:, ::-1]))
        turned = Photo(photo.name, np.ascontiguousarray(np.rot90(photo.pixels)))
        for what, came in (
            ("as they are", on_card(photo, flank, lift)),
            ("photographed on their side", on_card(turned, flank, lift)),
            ("other side said", on_card(photo, flank, other)),
            ("other flank said", on_card(photo, flank.other, lift)),
            ("mirrored", on_card(flipped, flank, lift)),
            ("mirrored, other side said", on_card(flipped, flank, other)),
            ("other machine's sheet", on_card(photo, flank, lift, PAIR + 1)),
        ):
            counts.setdefault(what, Counter())[came] += 1
    return counts


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("split", choices=get_args(Split))
    parser.add_argument("--net", action="store_true", help="show what the nets for flanks see, too")
    parser.add_argument("--card", action="store_true", help="draw them on printed cards with tags")
    parser.add_argument("--only", default="", metavar="WORD")
    parser.add_argument("--keep", type=Path, metavar="DIR", help="write the pictures")
    asked = parser.parse_args()
    use_one_thread()
    lifts = [*drawn_lifts(asked.split, asked.only, PAIR if asked.card else None)]
    if asked.keep is not None:
        asked.keep.mkdir(parents=True, exist_ok=True)
        for lift in lifts:
            Image.fromarray(lift.photo.pixels).save(asked.keep / f"{lift.label}.png")
    for title, counts in said_of_cards(lifts).items() if asked.card else ():
        print(f"{title}: " + ", ".join(f"{what} {count}" for what, count in sorted(counts.items())))
    for marking in Marking:
        ones = [lift for lift in lifts if lift.marking is marking]
        print("\n".join(figures(f"{marking}, frame clicked", [read_lift(one) for one in ones])))
        if asked.net:
            print("\n".join(figures(f"{marking}, seen by the nets", [seen_by_net(one) for one in ones])))
    found = [(lift, frame) for lift in lifts if (frame := found_frame(lift)) is not None]
    astray = sum(not is_near(frame, lift.frame) for lift, frame in found)
    print(f"frames found: {len(found)} of {len(lifts)}, of these astray: {astray}")
    print("\n".join(figures("frame found", [read_lift(lift, frame) for lift, frame in found])))


if __name__ == "__main__":
    main()
