"""The document of ``judge --json``: both flanks of one machine and the advice."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct, field

from patternscan.frame import Flank, Made
from patternscan.judging.acceptance import Acceptance
from patternscan.judging.advice import Advice, Move, ShimAdvice
from patternscan.judging.comparison import Target
from patternscan.judging.estimate import Estimate
from patternscan.judging.judgement import Judgement
from patternscan.measuring.interval import Interval
from patternscan.reporting.documents.parts import (
    CautionPart,
    Document,
    FindingPart,
    Shift,
    caution_parts,
    copied,
    head,
    perhaps,
    rounded,
)
from patternscan.reporting.documents.reading import ReadingDocument, reading_document
from patternscan.reporting.text.findings import finding_message
from patternscan.reporting.text.model_limits import LIMITS
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.reports.acceptance import OUTRANKED, SCOPES, SOURCES, TITLES

Place = Annotated[float, Meta(ge=-2, le=2)]
"""A place along the face or its uncertainty; nothing that can be seen lies further than that from 0."""
GearValue = int | float | str


class PooledPart(Struct, frozen=True, kw_only=True):
    """Several teeth of one flank taken together; early results give length and height without low and high."""

    teeth: int
    along: Interval
    up: Interval
    coverage: Interval
    length: Interval | float | None = None
    height: Interval | float | None = None
    spread: float | None = None


class BothPooled(Struct, frozen=True):
    """Both flanks, None for one without contact."""

    left: PooledPart | None
    right: PooledPart | None


class TargetPart(Struct, frozen=True, kw_only=True):
    """Where the pattern belongs; the doubt is that of a reference, 0 for a place that a person wrote down."""

    left_along: Place
    right_along: Place
    left_doubt: Place = 0.0
    right_doubt: Place = 0.0
    reference: str | None = None


class AdvicePart(Struct, frozen=True):
    """The opinion and its reason."""

    move_wheel: Move
    shims: ShimAdvice
    because: str
    findings: tuple[FindingPart, ...]


class OpposedPart(Struct, frozen=True):
    """What opposes the flanks, as if it were all the one or all the other."""

    shaft_angle_error_deg: Interval
    centre_error_mm: Interval | None


class EstimatePart(Struct, frozen=True, kw_only=True):
    """How far the wheel is off in mm."""

    wheel_toward_a_mm: Interval
    saturated: bool
    at_least_mm: float
    opposed_part: OpposedPart
    hob_oversize: Interval
    film_um: Interval
    limits: tuple[str, ...]


class ClassPart(Struct, frozen=True, kw_only=True):
    """The class of one flank; None below the last one."""

    by_length: str | None
    by_height: str | None
    reached: str | None = field(name="class")
    at_worst: str | None
    at_best: str | None


class AcceptancePart(Struct, frozen=True, kw_only=True):
    """What the chosen table says; the class is None below the last one, and when a flank is missing."""

    table: str
    title: str
    scope: str
    source: str
    from_memory: bool = False
    film: str
    flanks: dict[Flank, ClassPart]
    reached: str | None = field(name="class")
    complete: bool
    note: str


class JudgementDocument(Document, frozen=True, kw_only=True, tag="patternscan-judgement"):
    """What ``judge --json`` prints. Keys with a default are lacking in early results.

    ``machine_by_folder``: the machine's name is only that of the photos' folder, which proves nothing.
    """

    machine: str | None = None
    machine_by_folder: bool = False
    gear: dict[str, GearValue | None] | None = None
    seen_hand: str | None = None
    film: str | None = None
    left: tuple[ReadingDocument, ...]
    right: tuple[ReadingDocument, ...]
    pooled: BothPooled
    target: TargetPart
    shared_shift: Shift
    opposed_shift: Shift
    advice: AdvicePart
    estimate: EstimatePart | None = None
    acceptance: AcceptancePart | None = None
    cautions: tuple[CautionPart, ...]

    def readings(self, flank: Flank) -> tuple[ReadingDocument, ...]:
        """The readings of one flank."""
        return self.left if flank is Flank.LEFT else self.right


def judgement_document(judgement: Judgement, made: Made) -> JudgementDocument:
    """The document of one machine."""
    comparison, identity = judgement.comparison, judgement.identity
    document = JudgementDocument(
        **head(made),
        machine=judgement.machine,
        machine_by_folder=judgement.machine_by_folder,
        gear=dict(identity.gear),
        seen_hand=identity.seen_hand,
        film=judgement.film,
        left=tuple(reading_document(reading.photo, [reading], made) for reading in judgement.left),
        right=tuple(reading_document(reading.photo, [reading], made) for reading in judgement.right),
        pooled=copied(BothPooled, comparison),
        target=_target(comparison.target),
        shared_shift=Shift(comparison.shared),
        opposed_shift=Shift(comparison.opposed),
        advice=_advice(judgement.advice),
        estimate=perhaps(_estimate, judgement.estimate),
        acceptance=perhaps(_acceptance, judgement.acceptance),
        cautions=caution_parts(judgement.cautions),
    )
    return rounded(document)


def _target(target: Target) -> TargetPart:
    return TargetPart(
        left_along=target.left,
        right_along=target.right,
        left_doubt=target.left_doubt,
        right_doubt=target.right_doubt,
        reference=target.reference,
    )


def _advice(advice: Advice) -> AdvicePart:
    findings = tuple(FindingPart(one.code, finding_message(one)) for one in advice.findings)
    return AdvicePart(advice.move, advice.shims, reason_sentence(advice.because), findings)


def _estimate(estimate: Estimate) -> EstimatePart:
    return EstimatePart(
        wheel_toward_a_mm=estimate.wheel_toward_a_mm,
        saturated=estimate.saturated,
        at_least_mm=estimate.at_least_mm,
        opposed_part=copied(OpposedPart, estimate),
        hob_oversize=estimate.hob_oversize,
        film_um=estimate.film_um,
        limits=LIMITS[:3],
    )


def _acceptance(acceptance: Acceptance) -> AcceptancePart:
    return AcceptancePart(
        table=acceptance.name,
        title=TITLES[acceptance.name],
        scope=SCOPES[acceptance.name],
        source=SOURCES[acceptance.name],
        film=acceptance.film,
        flanks={one.flank: copied(ClassPart, one) for one in acceptance.flanks},
        reached=acceptance.reached,
        complete=acceptance.complete,
        note=OUTRANKED,
    )
