"""The page of a proof: how right the readings were, and the flanks where they were least so."""

from __future__ import annotations

from collections.abc import Mapping

from PIL import Image

from patternscan.frame import Made
from patternscan.judging.proof.proof import Proof
from patternscan.reporting.documents.provenance import versions_line
from patternscan.reporting.pages.parts import Figure, Section, WebPage, photo_picture
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.text.reports.about import about_line
from patternscan.reporting.text.reports.proof import (
    READ_SO,
    hand_lines,
    how_many,
    proof_headline,
    proof_lines,
    proof_tables,
    stop_lines,
)
from patternscan.reporting.text.safety import LIMIT


def proof_page(proof: Proof, worst: Mapping[str, Image.Image], made: Made) -> str:
    """The page as HTML; ``worst`` are pictures of the least alike flanks with their words."""
    answer = proof_headline(proof)
    figures = [Figure(photo_picture(image, words), f"{words}.") for words, image in worst.items()]
    return web_page(
        WebPage(
            title=answer,
            answer=f"{answer}.",
            subject=about_line(made, None, how_many(proof.figures)),
            sections=[
                Section("What came out", [*proof_lines(proof.figures)]),
                Section("By marking, compound and machine", tables=proof_tables(proof)),
                Section("Two people, the same flank", [*hand_lines(proof)]),
                Section("Where tool and person differ most", figures=figures),
                Section("Not read", [*stop_lines(proof)]),
                Section("How to read this", READ_SO),
                Section("Versions", [versions_line()], small=True),
            ],
            closing=LIMIT,
            long=True,
        )
    )
