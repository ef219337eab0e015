"""One self-contained page in which a person drags the outline of a flank over the photo and saves the outline file.

The photo travels inside the page as a smaller JPEG made from the pixels alone, so nothing of the original
file's position, serial numbers or comments goes with it. Coordinates stay those of the full upright photo.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from patternscan.frame import Flank, Lift
from patternscan.reporting.pages.frame import framed, pieces
from patternscan.reporting.pages.parts import photo_picture
from patternscan.reporting.pictures.photo_view import photo_view
from patternscan.reporting.text import marking
from patternscan.reporting.text.safety import safety_lines
from patternscan.seeing.geometry.outline import EDGE_NAMES, Edge, Outline, OutlineSource, resampled
from patternscan.seeing.geometry.outline_file import FILE_FORMAT, FILE_VERSION, lift_keys, origin_keys, picture_keys
from patternscan.seeing.image.photo import Photo

START_ROOT_POINTS = 7
START_END_POINTS = 3
TEMPLATE = "marking.html.jinja"
STYLES = ("base.css", "marking.css")
SCRIPTS = ("marking_points.js", "marking_drawing.js", "marking_hands.js")
SAVING_SCRIPT = "marking_saving.js"
"""What becomes of the outline in the end; a page that a server gives hands it over instead."""


def outline_page(
    photo: Photo,
    outlines: Sequence[Outline],
    flank: Flank | None,
    trusted: bool = True,
    lift: Lift | None = None,
) -> str:
    """The page as HTML, starting from ``outlines``, or from a plain four-sided shape when there are none.

    With ``flank`` None the person has to choose it in the page. Outlines that are not ``trusted`` have to be dragged
    before they can be saved. ``lift``: the photo shows a print off the flank.
    """
    script = pieces((*SCRIPTS, SAVING_SCRIPT))
    job = marking_job(photo, outlines, flank, trusted, lift)
    return framed(TEMPLATE, pieces(STYLES), script, job=job, photo_address=photo_picture(photo_view(photo), "").address)


def marking_job(
    photo: Photo,
    outlines: Sequence[Outline],
    flank: Flank | None,
    trusted: bool = True,
    lift: Lift | None = None,
) -> dict[str, Any]:
    """What the page's script has to know: the outline file that it will write, and the size of the photo."""
    return {
        "format": FILE_FORMAT,
        "version": FILE_VERSION,
        "photo": photo.name,
        "file_name": f"{Path(photo.name).stem}.outline.json",
        "width_px": photo.width_px,
        "height_px": photo.height_px,
        "picture": picture_keys(photo.fingerprint),
        "flanks": [_entry(outline, flank, trusted) for outline in outlines] or [_starting_entry(photo, flank, lift)],
        "lift": lift_keys(lift),
        "said": {**marking.said_of(lift), "safety": safety_lines()},
        "edge_words": marking.EDGE_WORDS,
    }


def _entry(outline: Outline, flank: Flank | None, trusted: bool) -> dict[str, Any]:
    """One flank as in the outline file, its points not rounded; what it says of its origin holds until they move.

    One that is not ``trusted`` is a shape to start from, with few points.
    """
    edges = {
        name: (getattr(outline, name) if trusted else _start_points(outline, name)).tolist() for name in EDGE_NAMES
    }
    named = {"flank": flank and outline.flank.value, "tooth": outline.tooth, "origin": origin_keys(outline)}
    refused = not trusted and outline.source is not OutlineSource.FOUND
    return {**named, "loose": False, "untouched": not trusted, "refused": refused, **edges}


def _start_points(outline: Outline, name: str) -> Edge:
    count = START_END_POINTS if name.startswith("end") else START_ROOT_POINTS
    return resampled(getattr(outline, name), np.linspace(0, 1, count))


def _starting_entry(photo: Photo, flank: Flank | None, lift: Lift | None) -> dict[str, Any]:
    """A four-sided shape in the middle of the photo, tip up; end A on the left unless it is a left flank, or a right
    one in a mirror.
    """
    left, right = 0.2 * (photo.width_px - 1), 0.8 * (photo.width_px - 1)
    tip, root = 0.35 * (photo.height_px - 1), 0.65 * (photo.height_px - 1)
    turned = (flank is Flank.LEFT) is not (lift is not None and lift.mirrored)
    a, b = (right, left) if turned else (left, right)
    edges = {
        "root": np.linspace((a, root), (b, root), START_ROOT_POINTS),
        "tip": np.linspace((a, tip), (b, tip), START_ROOT_POINTS),
        "end_a": np.linspace((a, root), (a, tip), START_END_POINTS),
        "end_b": np.linspace((b, root), (b, tip), START_END_POINTS),
    }
    points = {name: edge.tolist() for name, edge in edges.items()}
    return {"flank": flank and flank.value, "tooth": "1", "origin": {}, "loose": True, "untouched": True, **points}
