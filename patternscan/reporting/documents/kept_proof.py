"""The file of ``proof --keep``: what a person's own photographs have shown, for readings to come. It names none."""

from __future__ import annotations

from pathlib import Path

import msgspec

from patternscan.errors import WrongUse
from patternscan.frame import Made
from patternscan.judging.proof.figures import Figures, QuantityFigures
from patternscan.judging.proof.kept_proof import KeptProof
from patternscan.plain_text import one_line
from patternscan.reporting.documents.parts import TOOL, Document, head
from patternscan.text_file import text_bytes

KEEP_AGAIN = "Make it again with 'patternscan proof FOLDER --keep FILE'."


class KeptProofDocument(Document, frozen=True, kw_only=True, tag="patternscan-kept-proof"):
    """The figures of each number, None where none told. ``net``: SHA-256 of the weights of the net that saw contact."""

    net: str
    along: QuantityFigures | None
    up: QuantityFigures | None
    coverage: QuantityFigures | None


def kept_proof_document(figures: Figures, made: Made, net: str) -> KeptProofDocument:
    """The file's content, its numbers as they are: a rounded margin might be too small."""
    quantities = {name: getattr(figures, name) for name in ("along", "up", "coverage")}
    return KeptProofDocument(**head(made), net=net, **quantities)


def read_kept_proof(path: Path, net: str) -> KeptProof:
    """What is kept there; ``net`` is the digest of the net of now. Raises WrongUse for a missing or damaged file."""
    try:
        document = msgspec.json.decode(text_bytes(path).removeprefix(b"\xef\xbb\xbf"), type=KeptProofDocument)
        same = (document.net, document.tool) == (net, TOOL)
        made_with = None if same else f"{one_line(document.tool)}, net {one_line(document.net)[:8]}"
        return KeptProof(document.along, document.up, document.coverage, made_with)
    except OSError as error:
        raise WrongUse(f"The kept proof {path} cannot be read: {error.strerror or error}.", KEEP_AGAIN) from error
    except (ValueError, RecursionError) as error:
        raise WrongUse(f"{path.name} is no kept proof, or it is damaged.", KEEP_AGAIN) from error
