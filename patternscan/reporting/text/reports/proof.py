"""How right the readings were, in words: what was counted, and what the number of machines allows to say."""

from __future__ import annotations

from collections.abc import Iterator

from patternscan.frame import Flank, Made, percent
from patternscan.judging.proof.figures import Figures, QuantityFigures, Spread
from patternscan.judging.proof.hand_spread import HandSpread
from patternscan.judging.proof.proof import Proof
from patternscan.judging.proof.proven_share import ProvenShare
from patternscan.reporting.text.reports.about import about_line
from patternscan.reporting.text.reports.parts import report_text, section_lines
from patternscan.reporting.text.table import Table
from patternscan.reporting.text.wording import as_markdown
from patternscan.units import count_words

QUANTITY_WORDS = {
    "along": "Middle of the pattern along the face",
    "up": "Middle of the pattern from root to tip",
    "coverage": "Part of the flank touched",
}
NEAR_HEAD = ("", "Read", "Machines", "Alike", "Along within", "Along held", "Up held", "Touched held")
NAMED_HEAD = ("", "Compound right", "Marking right", "Outline found")
NOTHING = "-"
LEAST_SHOWN = 0.0005
"""Less than this is nothing in tenths of a hundredth."""
READ_SO = (
    "**Held:** the range that the tool gave holds what was painted; it should do so in 9 cases of 10.",
    "**Alike:** what the tool and the person both call contact, over what either does; 100 % is the same.",
    "**Within:** nine in ten places are no further off, in hundredths of the face width.",
    "**Outlines** are those that a person marked; with outlines that the tool finds, places can be further off.",
    "**Flanks of one machine** are alike, so each machine counts once in what the numbers allow to say.",
    "**Wider:** so that on a machine like yours the range holds in 9 cases of 10; it takes nine machines to say by how "
    "much. Keep it with --keep FILE, and give the file with --proof when you read and judge: ranges are then so much "
    "wider, never narrower, and no value moves.",
)


def proof_headline(proof: Proof) -> str:
    """What the proof comes to in one line, without a full stop."""
    figures = proof.figures
    held = figures.along
    if held is None:
        return f"Nothing could be compared on {figures.flanks} flanks"
    return f"On your photos the range for the place along the face held {_count(held.held)}"


def proof_report(proof: Proof, made: Made) -> str:
    """All of it, as Markdown."""
    lines = [f"# {proof_headline(proof)}", "", about_line(made, None, how_many(proof.figures))]
    lines += section_lines("What came out", [*proof_lines(proof.figures)])
    lines += section_lines("Two people, the same flank", [*hand_lines(proof)])
    lines += section_lines("Not read", [*stop_lines(proof)])
    for table in proof_tables(proof):
        lines += ["", f"## {table.caption}", "", *_markdown(table)]
    return report_text([*lines, *section_lines("How to read this", READ_SO)])


def proof_lines(figures: Figures) -> Iterator[str]:
    """The figures of all flanks, each with what it allows to say."""
    if figures.overlap is not None:
        middle, most = percent(figures.overlap.middle), percent(figures.overlap.nine_in_ten)
        yield f"**Contact:** alike by more than {middle} on half of the flanks, by more than {most} on nine in ten."
    for key, name in QUANTITY_WORDS.items():
        quantity: QuantityFigures | None = getattr(figures, key)
        if quantity is not None:
            held, wider = quantity.held, _wider(quantity.margin)
            yield f"**{name}:** {_off(quantity.error)}. Its range held {_count(held)}. {_means(held)}{wider}"
    for name, share in (
        ("Compound named right", figures.compound),
        ("Marking not mistaken", figures.marking),
        ("Outline found by itself", figures.outline),
    ):
        if share is not None:
            yield f"**{name}:** {_count(share)}. {_means(share)}"


def hand_lines(proof: Proof) -> Iterator[str]:
    """How far two people were apart, flank by flank."""
    for hand in proof.hands:
        first, second = (as_markdown(one or "nobody named") for one in (hand.first, hand.second))
        yield (
            f"{as_markdown(hand.photo)}, {hand.flank} flank: {first} and {second} painted alike by "
            f"{percent(hand.overlap)}{_apart(hand)}."
        )


def stop_lines(proof: Proof) -> Iterator[str]:
    """Every flank that was not read, and why."""
    for one in proof.flanks:
        if one.stop:
            yield f"{as_markdown(one.photo)}, {one.flank} flank: {as_markdown(one.stop)}"


def proof_tables(proof: Proof) -> tuple[Table, Table]:
    """How near the readings were and what was named right: all flanks, then each marking, compound and machine."""
    groups = {"all": proof.figures, **proof.by_marking, **proof.by_compound, **proof.by_machine}
    near, named = (tuple(row(*group) for group in groups.items()) for row in (_near_row, _named_row))
    return Table("How near the readings were", NEAR_HEAD, near), Table("What was named right", NAMED_HEAD, named)


def shown_words(photo: str, flank: Flank, overlap: float) -> str:
    """What stands with the picture of one flank."""
    return f"{photo}, {flank} flank: alike by {percent(overlap)}"


def _near_row(name: str, figures: Figures) -> tuple[str, ...]:
    return (
        name,
        f"{figures.read} of {figures.flanks}",
        str(figures.machines),
        percent(figures.overlap.middle) if figures.overlap else NOTHING,
        _points(figures.along.error.nine_in_ten) if figures.along else NOTHING,
        *(_fraction(one.held if one else None) for one in (figures.along, figures.up, figures.coverage)),
    )


def _named_row(name: str, figures: Figures) -> tuple[str, ...]:
    return (name, *(_fraction(one) for one in (figures.compound, figures.marking, figures.outline)))


def how_many(figures: Figures) -> str:
    """How many flanks, machines and readings."""
    return f"{figures.flanks} flanks of {count_words(figures.machines, 'machine')}, {figures.read} read"


def _off(error: Spread) -> str:
    return f"half are off by less than {_points(error.middle)}, nine in ten by less than {_points(error.nine_in_ten)}"


def _points(fraction: float) -> str:
    return f"{fraction * 100:.1f} %"


def _fraction(share: ProvenShare | None) -> str:
    return NOTHING if share is None else f"{share.right} of {share.flanks}"


def _count(share: ProvenShare) -> str:
    return f"{share.right} of {share.flanks} times ({percent(share.share)})"


def _means(share: ProvenShare) -> str:
    """What the number of machines allows to say."""
    machines = count_words(share.machines, "machine")
    return f"With {machines} that means at least {percent(share.at_least)}, in 19 cases of 20."


def _wider(margin: float | None) -> str:
    """What has to be added to further ranges; nothing where too few machines tell."""
    if margin is None:
        return ""
    if margin < LEAST_SHOWN:
        return " For a further machine it need not be wider."
    return f" For a further machine it has to be wider by {_points(margin)} on either side."


def _apart(hand: HandSpread) -> str:
    if hand.along is None or hand.up is None:
        return "; only one of them saw contact"
    along, up, coverage = map(_points, (hand.along, hand.up, hand.coverage))
    return f"; their middles lie {along} apart along the face and {up} from root to tip, {coverage} in what is touched"


def _markdown(table: Table) -> list[str]:
    rows = (tuple(map(as_markdown, row)) for row in table.rows)
    return [
        f"| {' | '.join(table.head)} |",
        f"|{'---|' * len(table.head)}",
        *(f"| {' | '.join(row)} |" for row in rows),
    ]
