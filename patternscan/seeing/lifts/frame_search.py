"""Finding the frame that a person drew round the flank's print: a dark line that closes on white card.

Only a plain one is taken: closed nearly all the way, with four corners, straight ends, and root and tip bowed alike.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from patternscan.errors import InconsistentInputs, NoTrustworthyOutline
from patternscan.frame import Flank, Lift
from patternscan.handles import Handle, named
from patternscan.seeing.geometry.outline import (
    Edge,
    Outline,
    OutlineSource,
    PictureSide,
    checked_frame,
    edge_length,
    resampled,
)
from patternscan.seeing.image.photo import Photo
from patternscan.seeing.lifts.drawn_line import DrawnLines
from patternscan.seeing.lifts.flat_patch import map_frame
from patternscan.seeing.tags.seen_tag import see_tags

Corners = NDArray[np.intp]

LEAST_SHARE = 0.015
"""Part of the picture that a frame encloses at least."""
BORDER_POINTS, REACH, APART = 400, 10, 18
"""Points of a border of which the turn is looked at, over so many to either side; corners lie further apart."""
LEAST_TURN = 0.55
"""A corner turns by more than this, in radians, as it is seen at a slant."""
CLEAR_OF_CORNERS = (0.08, 0.92)
"""A side is straight on or gently bowed between these parts of it; beyond them a thick line's corner is round."""
CLOSED = 0.93
"""Part of a frame's way on which the line is seen; dust, folds and film may hide the rest."""
BENT_END, UNLIKE = 0.04, 0.08
"""An end is no further from straight, and root and tip are no further from alike, than these parts of the frame's
width, on the card."""
SAME_CORNERS = 0.03
"""Corners that lie no further apart, in face widths, are those of one frame, clicked roughly."""
EDGE_POINTS = {"root": 9, "tip": 9, "end_a": 3, "end_b": 3}
CONFIDENCE = 0.9
"""Of a frame that passed; see ``tests/benchmarks/lifts.py`` for how near these lie."""


def find_frame(photo: Photo, flank: Flank, tip: PictureSide, lift: Lift) -> Outline:
    """The one frame in a picture whose tip points to ``tip``, in its pixels. Raises NoTrustworthyOutline."""
    lines = DrawnLines.of(photo)
    borders = [shape.border for shape in lines.shapes() if shape.share > LEAST_SHARE]
    found = [_framed(border, flank, tip, lift) for border in _without_tags(borders, photo)]
    closed = [one for one in found if one is not None and lines.on_line(one.border) > CLOSED]
    frames = [one for one in closed if one.tip_side is tip and _is_plain(one)]
    if len(frames) == 1:
        return replace(frames[0], source=OutlineSource.FOUND, confidence=CONFIDENCE)
    if frames:
        raise NoTrustworthyOutline(
            f"{len(frames)} frames are seen in {photo.name}, and nothing tells which is meant.",
            f"Take each lift by itself, or mark its frame {named(Handle.OUTLINE)}.",
        )
    raise NoTrustworthyOutline(
        f"No frame drawn round the lift is plainly seen in {photo.name}.",
        "Draw a thin dark line round the flank's edges, all the way, take it square to the card, and say "
        f"{named(Handle.TIP)} where the tip points; or mark the corners by hand {named(Handle.OUTLINE)}.",
    )


def _without_tags(borders: Sequence[Edge], photo: Photo) -> Iterator[Edge]:
    """The borders that hold no printed tag."""
    middles = [tag.centre for tag in see_tags(photo).tags] if borders else []
    for border in borders:
        around = border.astype(np.float32)
        if not any(cv2.pointPolygonTest(around, (x, y), measureDist=False) >= 0 for x, y in middles):
            yield border


def bent_as_drawn(photo: Photo, frame: Outline) -> Outline:
    """The same frame with its edges as they are drawn, where its corners are those of a drawn one; else the same."""
    if frame.lift is None:
        return frame
    shapes = DrawnLines.of(photo).shapes()
    drawn = (_framed(shape.border, frame.flank, frame.tip_side, frame.lift) for shape in shapes)
    near = (one for one in drawn if one is not None and _corners_apart(one, frame) < SAME_CORNERS)
    found = next(near, None)
    if found is None:
        return frame
    return replace(frame, root=found.root, tip=found.tip, end_a=found.end_a, end_b=found.end_b)


def _corners_apart(one: Outline, other: Outline) -> float:
    """How far corners lie apart at most, in face widths."""
    gaps = [getattr(one, edge)[end] - getattr(other, edge)[end] for edge in ("root", "tip") for end in (0, -1)]
    return float(np.linalg.norm(gaps, axis=1).max()) / other.width_px


def _framed(border: Edge, flank: Flank, tip: PictureSide, lift: Lift) -> Outline | None:
    """A closed border with four corners as the frame of a flank; None when it is none."""
    even = resampled(np.vstack([border, border[:1]]), np.arange(BORDER_POINTS) / BORDER_POINTS)
    corners = _corners(even)
    if len(corners) != 4:
        return None
    sides = _sharpened([_between(even, *ends) for ends in zip(corners, np.roll(corners, -1), strict=True)])
    top = _tipmost(sides, tip)
    upper, second, lower, fourth = (sides[(top + step) % 4] for step in range(4))
    # with the tip up, end A lies on the left of a right flank, on the right in a mirror
    a_first = (flank is Flank.RIGHT) is not lift.mirrored
    right_hand = _turns_right(tip, fourth.mean(axis=0), second.mean(axis=0))
    end_a, end_b = (fourth, second) if right_hand is a_first else (second, fourth)
    ordered = {"root": _from(lower, end_a), "tip": _from(upper, end_a)}
    ordered |= {"end_a": _from(end_a, lower), "end_b": _from(end_b, lower)}
    edges = {name: resampled(edge, np.linspace(0, 1, EDGE_POINTS[name])) for name, edge in ordered.items()}
    with suppress(NoTrustworthyOutline, InconsistentInputs):
        return checked_frame(edges, flank, lift)
    return None


def _tipmost(sides: Sequence[Edge], tip: PictureSide) -> int:
    """Which of four sides is the tip: of the two longer ones that which lies toward it."""
    first = 0 if sum(map(edge_length, sides[::2])) > sum(map(edge_length, sides[1::2])) else 1
    toward = [float(sides[place].mean(axis=0) @ tip.vector) for place in (first, first + 2)]
    return first if toward[0] > toward[1] else first + 2


def _turns_right(tip: PictureSide, first: Edge, second: Edge) -> bool:
    """Whether ``second`` lies to the right of ``first``, seen with the tip up."""
    (x, y), step = tip.vector, second - first
    return bool(step @ (-y, x) > 0)


def _corners(border: Edge) -> Corners:
    """Where an even, closed border turns most sharply, in its order; four of them, if it has as many."""
    before, after = border - np.roll(border, REACH, axis=0), np.roll(border, -REACH, axis=0) - border
    turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1))
    turn *= np.sign(turn.sum())
    found: list[int] = []
    for place in np.argsort(-turn):
        apart = [min((place - other) % BORDER_POINTS, (other - place) % BORDER_POINTS) for other in found]
        if turn[place] > LEAST_TURN and all(gap > APART for gap in apart):
            found.append(int(place))
    return np.array(sorted(found[:4]), dtype=np.intp)


def _between(border: Edge, first: int, last: int) -> Edge:
    """The piece of a closed border from one of its points to another."""
    return border[np.arange(first, last + 1 if last > first else last + 1 + BORDER_POINTS) % BORDER_POINTS]


def _sharpened(sides: Sequence[Edge]) -> list[Edge]:
    """The sides of a closed border, in its order, run on to where they meet: a thick line's corners are round."""
    inner = [resampled(side, np.linspace(*CLEAR_OF_CORNERS, len(side))) for side in sides]
    corners = [_meeting(inner[place - 1][::-1], side) for place, side in enumerate(inner)]
    return [np.vstack([corners[place], side, corners[(place + 1) % 4]]) for place, side in enumerate(inner)]


def _meeting(one: Edge, other: Edge) -> Edge:
    """Where the first pieces of two edges, run on backward, meet."""
    steps = [edge[max(1, len(edge) // 8)] - edge[0] for edge in (one, other)]
    times = np.linalg.lstsq(np.column_stack([steps[0], -steps[1]]), other[0] - one[0], rcond=None)[0]
    return np.asarray(one[0] + times[0] * steps[0], dtype=np.float64)


def _from(edge: Edge, beside: Edge) -> Edge:
    """The edge, beginning at the end that it shares with another."""
    near = [np.linalg.norm(beside - edge[end], axis=1).min() for end in (0, -1)]
    return edge if near[0] <= near[1] else edge[::-1]


def _is_plain(frame: Outline) -> bool:
    """Whether the frame, seen square, has straight ends, and root and tip that are bowed alike."""
    flat = map_frame(frame)
    to_card = np.linalg.inv(flat.to_picture)
    ends = (cv2.perspectiveTransform(edge[None], to_card)[0] for edge in (frame.end_a, frame.end_b))
    bent = max(float(np.ptp(end[:, 0])) for end in ends)
    along = np.linspace(0, 1, 33)
    root, tip = (np.interp(along, edge[:, 0], edge[:, 1]) for edge in (flat.root, flat.tip))
    unlike = float(np.ptp(tip - root)) * frame.height_px / frame.width_px
    return bent < BENT_END and unlike < UNLIKE
