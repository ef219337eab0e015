"""Tables of codes and of sentences cover each other, every code is made somewhere, sentences read as sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest

import patternscan
from patternscan import cautions as tables
from patternscan.cautions import CAUTIONS, Kind, Value, caution
from patternscan.frame import Flank
from patternscan.reasons import FINDINGS, REASONS, finding, reason
from patternscan.reporting.text import cautions as caution_texts
from patternscan.reporting.text import findings as finding_texts
from patternscan.reporting.text import reasons as reason_texts
from patternscan.reporting.text.cautions import caution_message, caution_messages, caution_remedy, caution_sentence
from patternscan.reporting.text.findings import finding_message
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.reporting.text.wording import AT

EXAMPLES: dict[str, Value] = {
    "share": 0.256, "misfit": 0.034, "size": 0.12, "least": 0.09, "most": 0.15, "before": 0.18, "after": -0.06,
    "width_px": 150, "height_px": 38, "line": 3, "entry": 2, "changed_mm": 0.3, "thinnest_mm": 0.05, "toward": "A",
    "from_mm": 0.0, "to_mm": -0.05, "step_mm": 0.125, "by_mm": 0.05, "thin_mm": 0.0, "thick_mm": 0.1,
    "back_mm": -0.05, "beyond_mm": -0.0375, "end": "A", "edge": "tip", "left_end": "A", "right_end": "B",
    "flank": "left", "lacking": "right", "when": "before", "hand": "left", "other_hand": "right",
    "film_before": "thin", "film_after": "thick",
    "photos": "a.jpg, b.jpg", "other_photos": "c.jpg", "compound": "blue", "rival": "white", "medium": "tape",
    "told": "transfer", "seen": "rub-off", "found": "It is so.", "remedy": "Do so.", "cure": "Do so.",
    "answer": 9,
    "folder": "patterns/01", "machines": 8, "right": 3, "flanks": 12, "up": 0.02, "coverage": 0.01,
    "made_with": "patternscan 0.0.1, net c0321ff7", "along": 0.3, "other": 0.7, "left_ratio": 3.4, "right_ratio": 2.7,
}  # fmt: skip
"""One value of every name; ``told`` and ``seen`` also stand for words."""
SHOP_TALK = re.compile(
    r"pixel map|segment|threshold|logit|probab|confidence|IoU|mask|algorithm|parameter|centroid|interval", re.IGNORECASE
)


def gaps(*templates: str) -> set[str]:
    names = {name for template in templates for _, name, _, _ in Formatter().parse(template) if name is not None}
    return {name for name in names if not name.startswith(AT)}


def values_of(kind: Kind) -> dict[str, Value]:
    return {name: EXAMPLES[name] for name in kind.values}


def sentences() -> Iterator[tuple[str, str]]:
    for code, kind in CAUTIONS.items():
        told = caution(code, None, None, **values_of(kind))
        yield code, caution_sentence(told)
        yield code, caution_remedy(told)
    yield from ((code, finding_message(finding(code, **values_of(kind)))) for code, kind in FINDINGS.items())
    dark = caution("too-blurred", Flank.LEFT, "a.jpg")
    yield from ((code, reason_sentence(reason(code, dark, **values_of(kind)))) for code, kind in REASONS.items())


def test_every_code_has_its_words_and_no_words_lack_a_code() -> None:
    assert caution_texts.TEXTS.keys() == CAUTIONS.keys()
    assert finding_texts.TEXTS.keys() == finding_texts.NOTES.keys() == FINDINGS.keys()
    assert reason_texts.TEXTS.keys() == REASONS.keys()


def test_words_use_every_value_and_no_other() -> None:
    assert {code: gaps(*texts) for code, texts in caution_texts.TEXTS.items()} == {
        code: set(kind.values) for code, kind in CAUTIONS.items()
    }
    for texts, kinds in ((finding_texts.TEXTS, FINDINGS), (reason_texts.TEXTS, REASONS)):
        assert {code: gaps(text) - {"caution", "remedy"} for code, text in texts.items()} == {
            code: set(kind.values) for code, kind in kinds.items()
        }


def test_sentences_of_the_next_shims() -> None:
    between = reason("between", step_mm=-0.025, thin_mm=0.0, thick_mm=0.1)
    assert reason_sentence(between) == (
        "Remove 0.025 mm (0.0010 in): the pattern lay on one side of its place with the shims as found and on the "
        "other with 0.10 mm (0.004 in) more than as found, so the right pack lies between."
    )
    assert reason_sentence(reason("back-half-way", step_mm=-0.0875, back_mm=-0.05, beyond_mm=-0.0375)).startswith(
        "Remove 0.087 mm (0.0034 in), 0.05 mm (0.002 in) of it back to the shims with which the pattern lay nearer, "
        "and beyond them 0.037 mm (0.0015 in), half of what the readings point to"
    )
    assert "with a ruler" in reason_sentence(reason("by-shift", step_mm=0.05))
    assert "0.50 mm (0.020 in) at once" in reason_sentence(reason("as-capped", step_mm=0.15))
    assert "either way" in reason_sentence(reason("either-way", by_mm=0.05))
    assert reason_sentence(reason("thinner-shims", step_mm=0.05, thinnest_mm=0.2, share=0.2)) == (
        "Add 0.05 mm (0.002 in), of thinner shims than those on hand: the thinnest change that these make, 0.20 mm "
        "(0.008 in), moves the pattern by 20 % of the face width."
    )
    assert reason_sentence(reason("to-nearest-pack", step_mm=-0.2)).startswith(
        "Remove 0.20 mm (0.008 in), back to the shims with which the pattern lay nearest"
    )


def test_a_trial_the_wrong_way_names_the_shims_and_what_to_check() -> None:
    wrong = caution("trial-against-rule", from_mm=0.0, to_mm=-0.05, share=0.1, end="A", toward="A")
    sentence = reason_sentence(reason("wrong-way", wrong))
    assert sentence.startswith(
        "From the shims as found to 0.05 mm (0.002 in) less than as found the pattern moved 10 % of the face width "
        "toward end A, against the shim rule of the machine sheet. Stop, and check which end face carries the letter A"
    )
    assert 'the rule is wrong: write adding_moves_wheel = "toward-A" on the sheet.' in sentence


def test_every_code_is_made_somewhere() -> None:
    """Each code stands as a word of its own outside the tables and the texts; families are put together."""
    root = Path(patternscan.__file__).parent
    texts = {root / "cautions.py", root / "reasons.py", *(root / "reporting" / "text").rglob("*.py")}
    source = "\n".join(path.read_text(encoding="utf-8") for path in root.rglob("*.py") if path not in texts)
    missing = {
        code
        for code in (*CAUTIONS, *FINDINGS, *REASONS)
        if f'"{code.removesuffix("-beyond").removeprefix("back-")}"' not in source
    }
    assert missing == set()


@pytest.mark.parametrize(("code", "sentence"), list(sentences()))
def test_sentences_read_as_sentences(code: str, sentence: str) -> None:
    assert re.fullmatch(r"(?:[A-Z]|\d).*\.", sentence), code
    assert "  " not in sentence
    assert not re.search(r"[{}]|\bNone\b|\d\.\d{5}", sentence)
    assert not SHOP_TALK.search(sentence)


def test_meanings_are_told_once() -> None:
    for table in (CAUTIONS, FINDINGS, REASONS):
        assert len({kind.meaning for kind in table.values()}) == len(table)


def test_other_values_than_the_table_names_are_refused() -> None:
    with pytest.raises(ValueError, match="glare takes share"):
        caution("glare")
    with pytest.raises(ValueError, match="blurred takes no values"):
        caution("blurred", share=0.1)
    with pytest.raises(KeyError):
        finding("glare", share=0.1)
    assert finding("runs-out", end="A", flank="left") == finding("runs-out", flank="left", end="A")
    assert tables.caution("glare", share=0.1)["share"] == 0.1


def test_flank_and_photo_stand_first() -> None:
    assert caution_message(caution("glare", Flank.RIGHT, "IMG_0412.jpg", share=0.2)) == (
        "Right flank, IMG_0412.jpg: Glare from the lamp lies on 20 % of the flank."
    )
    assert caution_message(caution("film-unknown")).startswith("How much was touched")
    assert caution_message(caution("runs-out", Flank.LEFT, when="before")).startswith("Left flank: The pattern before")


def test_what_holds_of_several_photos_is_told_once() -> None:
    shaken = [caution("blurred", flank, f"{flank}.jpg") for flank in (Flank.LEFT, Flank.RIGHT, Flank.RIGHT)]
    told = caution_messages([*shaken, caution("glare", Flank.LEFT, "left.jpg", share=0.2)])
    assert list(told) == [
        "Left flank, left.jpg; right flank, right.jpg: The flank is out of focus or shaken.",
        "Left flank, left.jpg: Glare from the lamp lies on 20 % of the flank.",
    ]


def test_a_grave_caution_is_quoted_in_the_reason() -> None:
    dark = caution("too-blurred", Flank.LEFT, "a.jpg")
    assert reason_sentence(reason("grave-caution", dark)) == (
        "What was read gives no direction. Left flank, a.jpg: The flank is far out of focus or badly shaken."
    )


def test_words_of_the_direction() -> None:
    assert reason_sentence(reason("toward", end="A", share=0.18)) == (
        "Taken together, the two flanks carry the pattern 18 % of the face width off toward end A, "
        "so the wheel sits too far toward end B: move it toward end A."
    )
    moved = {"size": 0.12, "least": 0.09, "most": 0.15, "before": 0.18, "after": 0.06}
    assert reason_sentence(reason("nearer", None, **moved)) == (
        "The pattern lies 12 % of the face width nearer to its place (9 to 15 %): 18 % toward end B before and "
        "6 % toward end B after."
    )
    assert "on the other side" in reason_sentence(reason("further-beyond", None, **moved))


def test_flanks_pulled_apart_name_what_to_measure() -> None:
    message = finding_message(finding("mixed", left_end="A", right_end="B", share=0.19))
    for word in (
        "flank toward end A",
        "square",
        "eccentric carriers",
        "centre distance",
        "backlash",
        "matched",
        "maker's own",
    ):
        assert word in message
