"""What is handed over to a person who is to paint the truth."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PIL import Image

from patternscan.plain_text import file_stem
from patternscan.reporting.pages.painting_page import painting_job, painting_page
from patternscan.reporting.pictures.bare_flank import contact_map_image
from patternscan.reporting.pictures.photo_piece import piece_round
from patternscan.workflow.outputs.answer import Files
from patternscan.workflow.proof.truth import BareFlank


def painting_files(folder: Path, bare: BareFlank) -> Files:
    """The page to paint on."""
    job, flat = painting_parts(bare)
    return {folder / f"{job['stem']}.truth.html": painting_page(job, flat).encode()}


def painting_parts(bare: BareFlank) -> tuple[dict[str, Any], Image.Image]:
    """What such a page is made of: what its script has to know, and the picture of the bare flank laid flat."""
    seen = None if bare.reading is None else contact_map_image(bare.reading)
    job = painting_job(bare.truth, piece_round(bare.placed), seen, file_stem(bare.truth.photo), bare.machine)
    return job, Image.fromarray(bare.placed.rectified.pixels)
