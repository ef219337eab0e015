"""What is kept of a proof, as the readings to come take it."""

from __future__ import annotations

from pathlib import Path

from patternscan.frame import Made
from patternscan.judging.proof.figures import Figures
from patternscan.judging.proof.kept_proof import KeptProof
from patternscan.reporting.documents.kept_proof import kept_proof_document, read_kept_proof
from patternscan.reporting.documents.parts import encode
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET


def own_proof(path: Path) -> KeptProof:
    """What the file keeps. Raises WrongUse for one that is missing or damaged."""
    return read_kept_proof(path, CONTACT_NET.sha256)


def kept_bytes(figures: Figures, made: Made) -> bytes:
    """The file that keeps a proof with these figures."""
    return encode(kept_proof_document(figures, made, CONTACT_NET.sha256))
