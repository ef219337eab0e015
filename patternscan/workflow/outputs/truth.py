"""What is handed over to a person who is to paint the truth."""

from __future__ import annotations

from pathlib import Path

from PIL import Image

from patternscan.reporting.documents.truth import TRUTH_ENDING
from patternscan.reporting.pages.painting_page import painting_page
from patternscan.reporting.pictures.bare_flank import contact_map_image
from patternscan.workflow.outputs.answer import Files, file_stem
from patternscan.workflow.truth import BareFlank


def painting_files(folder: Path, bare: BareFlank) -> Files:
    """The page to paint on."""
    stem = file_stem(bare.truth.photo)
    seen = None if bare.reading is None else contact_map_image(bare.reading)
    flat = Image.fromarray(bare.rectified.pixels)
    page = painting_page(bare.truth, flat, seen, f"{stem}{TRUTH_ENDING}", bare.machine)
    return {folder / f"{stem}.truth.html": page.encode()}
