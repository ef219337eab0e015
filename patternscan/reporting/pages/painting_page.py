"""One self-contained page on which a person paints where a flank carries contact, and saves that as a truth file.

The person paints on the bare flank laid flat or in the photo, and sees what the tool calls contact only on asking, so
that no eye is led. Of the photo the flank and a little round it goes into the page, as bare pixels.
"""

from __future__ import annotations

from base64 import b64encode
from typing import Any

import msgspec
from PIL import Image

from patternscan.frame import Compound
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth
from patternscan.reporting.documents.truth import truth_document
from patternscan.reporting.drawing.encoding import png_bytes
from patternscan.reporting.pages.frame import framed, pieces
from patternscan.reporting.pages.parts import photo_picture
from patternscan.reporting.pictures.photo_piece import PhotoPiece
from patternscan.reporting.text.painting import painting_words

TEMPLATE = "painting.html.jinja"
STYLES = ("base.css", "painting.css")
SCRIPTS = ("painting.js", "painting_views.js", "painting_hands.js")
SAVING_SCRIPT = "painting_saving.js"
"""What becomes of the truth in the end; a page that a server gives hands it over instead."""


def painting_page(job: dict[str, Any], flat: Image.Image) -> str:
    """The page as HTML; ``flat`` is the bare flank laid flat."""
    script = pieces((*SCRIPTS, SAVING_SCRIPT))
    return framed(TEMPLATE, pieces(STYLES), script, job=job, flat_address=photo_picture(flat, "").address)


def painting_job(
    start: Truth, piece: PhotoPiece, seen: Image.Image | None, stem: str, machine: str = ""
) -> dict[str, Any]:
    """What the page's script has to know. ``start`` tells photo, outline, marking and, where known, the person.

    ``piece`` is what is seen of the photo, ``seen`` the contact map as the tool sees it, 256 by 128 in the grey levels
    of maps; None when it saw none. ``stem`` begins the name of the truth file.
    """
    picture = photo_picture(piece.image, "")
    return {
        "truth": msgspec.to_builtins(truth_document([start], machine)),
        "stem": stem,
        "columns": TRUTH_COLUMNS,
        "rows": TRUTH_ROWS,
        "compounds": [one.value for one in Compound],
        "piece": {
            "address": picture.address,
            "width": picture.width_px,
            "height": picture.height_px,
            "net": piece.net.round(1).tolist(),
        },
        "seen": "" if seen is None else f"data:image/png;base64,{b64encode(png_bytes(seen)).decode('ascii')}",
        "said": painting_words(start.marking),
    }
