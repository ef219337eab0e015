"""The document of ``proof --json``: how right the readings were on photographs with known truth."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from patternscan.frame import Made
from patternscan.judging.proof.checked_flank import CheckedFlank
from patternscan.judging.proof.figures import Figures
from patternscan.judging.proof.hand_spread import HandSpread
from patternscan.judging.proof.proof import Proof
from patternscan.reporting.documents.parts import Document, head, rounded


class FiguresPart(Struct, frozen=True, kw_only=True):
    """The figures of all flanks and of each group."""

    all: Figures
    by_marking: dict[str, Figures]
    by_compound: dict[str, Figures]
    by_machine: dict[str, Figures]


class ProofDocument(Document, frozen=True, kw_only=True, tag="patternscan-proof"):
    """What ``proof --json`` prints: every flank beside its truth, and the figures made of them."""

    flanks: Annotated[tuple[CheckedFlank, ...], Meta(min_length=1)]
    hands: tuple[HandSpread, ...] = ()
    figures: FiguresPart


def proof_document(proof: Proof, made: Made) -> ProofDocument:
    """The document of a proof."""
    figures = FiguresPart(
        all=proof.figures,
        by_marking=proof.by_marking,
        by_compound=proof.by_compound,
        by_machine=proof.by_machine,
    )
    return rounded(ProofDocument(**head(made), flanks=proof.flanks, hands=proof.hands, figures=figures))
