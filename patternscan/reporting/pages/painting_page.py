"""One self-contained page on which a person paints where a flank carries contact, and saves that as a truth file.

The person paints on the bare flank laid flat and sees what the tool calls contact only on asking, so that no eye is
led. Nothing of the photo but the flank's own pixels goes into the page.
"""

from __future__ import annotations

from base64 import b64encode

import msgspec
from PIL import Image

from patternscan.frame import Compound
from patternscan.judging.proof.truth import TRUTH_COLUMNS, TRUTH_ROWS, Truth
from patternscan.reporting.documents.truth import truth_document
from patternscan.reporting.pages.frame import framed, pieces
from patternscan.reporting.pages.parts import photo_picture
from patternscan.reporting.pictures.encoding import png_bytes
from patternscan.reporting.text.painting import CONTACT_IS, HOW_TO, TITLE

STYLES = ("base.css", "painting.css")
SCRIPTS = ("painting.js",)


def painting_page(start: Truth, flat: Image.Image, seen: Image.Image | None, file_name: str, machine: str = "") -> str:
    """The page as HTML. ``start`` tells photo, outline and marking; ``flat`` is the bare flank laid flat.

    ``seen`` is the contact map as the tool sees it, 256 by 128 in the grey levels of maps; None when it saw none.
    """
    job = {
        "truth": msgspec.to_builtins(truth_document([start], machine)),
        "file_name": file_name,
        "columns": TRUTH_COLUMNS,
        "rows": TRUTH_ROWS,
        "seen": "" if seen is None else f"data:image/png;base64,{b64encode(png_bytes(seen)).decode('ascii')}",
    }
    return framed(
        "painting.html.jinja",
        pieces(STYLES),
        pieces(SCRIPTS),
        job=job,
        title=TITLE,
        contact_is=CONTACT_IS[start.marking.value],
        how_to=HOW_TO,
        compounds=[one.value for one in Compound],
        flank=start.outline.flank.value,
        flat=photo_picture(flat, "The bare flank laid flat: tip on top, end A on the left."),
    )
