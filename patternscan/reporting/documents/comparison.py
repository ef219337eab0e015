"""The document of ``compare --json``: what changed between two judgements of one machine."""

from __future__ import annotations

from functools import partial

from msgspec import Struct

from patternscan.frame import Made
from patternscan.judging.states.change import BeforeAfter, Change
from patternscan.judging.states.verdict import Verdict
from patternscan.measuring.interval import Interval
from patternscan.reporting.documents.parts import CautionPart, Document, caution_parts, copied, head, perhaps, rounded
from patternscan.reporting.text.reasons import reason_sentence


class SharedChange(Struct, frozen=True):
    """The shared shift, None when it cannot be compared."""

    along: BeforeAfter | None


class OpposedChange(Struct, frozen=True):
    """The opposed shift and whether it came nearer to none."""

    along: BeforeAfter | None
    verdict: Verdict


class FlankChangePart(Struct, frozen=True, kw_only=True):
    """One flank; length and height are None when an early result lacks their low and high."""

    verdict: Verdict
    along: BeforeAfter
    up: BeforeAfter
    coverage: BeforeAfter
    length: BeforeAfter | None
    height: BeforeAfter | None


class ComparablePart(Struct, frozen=True):
    """What may be compared, and why the rest may not."""

    position: bool
    coverage: bool
    why: tuple[str, ...]


class ComparisonDocument(Document, frozen=True, kw_only=True, tag="patternscan-comparison"):
    """What ``compare --json`` prints."""

    shared_shift: SharedChange
    opposed_shift: OpposedChange
    left: FlankChangePart | None
    right: FlankChangePart | None
    comparable: ComparablePart
    nearer_by: Interval | None
    verdict: Verdict
    because: str
    cautions: tuple[CautionPart, ...]


def comparison_document(change: Change, made: Made) -> ComparisonDocument:
    """The document of a comparison."""
    why = tuple(map(reason_sentence, change.why))
    flank = partial(copied, FlankChangePart)
    document = ComparisonDocument(
        **head(made),
        shared_shift=SharedChange(change.shared),
        opposed_shift=OpposedChange(change.opposed, change.opposed_verdict),
        left=perhaps(flank, change.left),
        right=perhaps(flank, change.right),
        comparable=ComparablePart(change.position_comparable, change.coverage_comparable, why),
        nearer_by=change.nearer,
        verdict=change.verdict,
        because=reason_sentence(change.because),
        cautions=caution_parts(change.cautions),
    )
    return rounded(document)
