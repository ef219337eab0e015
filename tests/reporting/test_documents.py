"""Every document: its record, its schema, and what other programs find in it."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import jsonschema
import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from patternscan.frame import Flank
from patternscan.judging.advice import Move
from patternscan.judging.judgement import Judgement
from patternscan.judging.proof.checked_flank import CheckedFlank
from patternscan.judging.proof.figures import Figures
from patternscan.judging.states.change import compare_states
from patternscan.judging.states.judged_state import Identity
from patternscan.measuring.interval import Interval
from patternscan.measuring.widening import Widening
from patternscan.reasons import reason
from patternscan.reporting.documents.comparison import comparison_document
from patternscan.reporting.documents.judgement import JudgementDocument, judgement_document
from patternscan.reporting.documents.parts import encode, rounded
from patternscan.reporting.documents.prediction import prediction_document
from patternscan.reporting.documents.proof import FiguresPart, ProofDocument
from patternscan.reporting.documents.reading import OutlinePart, ReadingDocument, reading_document
from patternscan.reporting.documents.schema import DOCUMENTS, FOLDER, schema_bytes
from patternscan.reporting.documents.truth import TrueFlank, TruthDocument
from patternscan.reporting.kept.judgement import judged_state
from patternscan.reporting.text.reasons import reason_sentence
from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.seeing.geometry.outline_file import OutlinedFlank, OutlineDocument, outline_document
from tests.reporting.builders import ADD_AT_A, drawn_inspection, written_inspection
from tests.reporting.computed import WELL_SET, prediction, read_state
from tests.reporting.contents import MADE, VALIDATORS, content, valid

KEYS = {
    "outline": ("format version photo flanks", "flank tooth root tip end_a end_b"),
    "reading": (
        "format version made_at by photo flanks",
        "flank tooth outline marking medium compound coverage centroid length height judged_fraction cautions",
    ),
    "judgement": ("format version made_at by left right shared_shift opposed_shift advice estimate cautions", ""),
    "comparison": (
        "format version made_at by shared_shift opposed_shift left right comparable verdict because cautions",
        "",
    ),
    "prediction": ("format version made_at by left right", ""),
}
"""What other programs rely on: the keys of a document, and those of each of its flanks."""

IN_PLACE = reason("in-place")
NUMBERS = st.integers(-20000, 20000).map(lambda number: number / 10000)
FRACTIONS = st.integers(0, 10000).map(lambda number: number / 10000)
POINTS = st.lists(st.tuples(NUMBERS, NUMBERS), min_size=2, max_size=4).map(tuple)
EDGES = dict.fromkeys(("root", "tip", "end_a", "end_b"), POINTS)


@pytest.fixture(scope="module")
def judgement() -> Judgement:
    return drawn_inspection((2, 1))


@pytest.fixture(scope="module")
def real(judgement: Judgement) -> dict[str, dict[str, Any]]:
    """What the tool writes."""
    reading, *_ = judgement.left
    state = judged_state(judgement_document(judgement, MADE))
    documents: dict[str, msgspec.Struct] = {
        "outline": outline_document("a.jpg", [reading.outline], None),
        "reading": reading_document(reading.photo, [reading], MADE),
        "judgement": judgement_document(judgement, MADE),
        "comparison": comparison_document(compare_states(state, replace(state, identity=Identity())), MADE),
        "prediction": prediction_document(prediction(WELL_SET, read_state(0.4, None)), MADE),
    }
    return {name: valid(encode(document).decode()) for name, document in documents.items()}


@pytest.fixture(autouse=True, scope="module")
def any_part() -> None:
    """How hypothesis makes the parts whose values are bounded."""
    st.register_type_strategy(float, NUMBERS)
    st.register_type_strategy(int, st.integers(0, 99999))
    st.register_type_strategy(msgspec.UnsetType, st.just(msgspec.UNSET))
    ordered = st.tuples(NUMBERS, NUMBERS, NUMBERS).map(sorted)
    st.register_type_strategy(Interval, ordered.map(lambda three: Interval(three[1], three[0], three[2])))
    st.register_type_strategy(Widening, st.builds(Widening, along=FRACTIONS, up=FRACTIONS, coverage=FRACTIONS))
    st.register_type_strategy(OutlinedFlank, st.builds(OutlinedFlank, confidence=FRACTIONS, **EDGES))
    flanks = st.lists(st.from_type(OutlinedFlank), min_size=1, max_size=3).map(tuple)
    st.register_type_strategy(OutlineDocument, st.builds(OutlineDocument, flanks=flanks))
    true_flank = st.builds(TrueFlank, contact=st.text(max_size=9), **EDGES)
    st.register_type_strategy(TruthDocument, st.builds(TruthDocument, flanks=st.tuples(true_flank)))
    checked = st.tuples(st.from_type(CheckedFlank))
    figures = st.from_type(Figures)
    groups = st.dictionaries(st.text(max_size=9), figures, max_size=1)
    part = st.builds(FiguresPart, all=figures, by_marking=groups, by_compound=groups, by_machine=groups)
    proof = st.builds(ProofDocument, flanks=checked, figures=part, made_at=st.none(), files=st.just(msgspec.UNSET))
    st.register_type_strategy(ProofDocument, proof)
    st.register_type_strategy(
        OutlinePart, st.builds(OutlinePart, source=st.sampled_from(OutlineSource), confidence=FRACTIONS, **EDGES)
    )
    few = st.lists(st.from_type(ReadingDocument), max_size=1).map(tuple)
    others = {one.name: ... for one in msgspec.structs.fields(JudgementDocument) if not one.required}
    st.register_type_strategy(JudgementDocument, st.builds(JudgementDocument, left=few, right=few, **others))


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_schema_file_is_that_of_its_record(name: str) -> None:
    written = (FOLDER / f"{name}.schema.json").read_bytes()
    assert written == schema_bytes(DOCUMENTS[name]), "run python -m patternscan.reporting.documents.schema"
    jsonschema.Draft202012Validator.check_schema(json.loads(written))


def test_every_schema_file_has_its_record() -> None:
    assert {path.name for path in FOLDER.iterdir()} == {f"{name}.schema.json" for name in DOCUMENTS}


@pytest.mark.parametrize("name", DOCUMENTS)
@settings(deadline=None, max_examples=12, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(data=st.data())
def test_any_document_comes_back_and_fits_its_schema(name: str, data: st.DataObject) -> None:
    kind = DOCUMENTS[name]
    document = data.draw(st.from_type(kind))
    written = encode(document)
    assert msgspec.json.decode(written, type=kind) == document
    valid(written.decode())


@pytest.mark.parametrize("name", KEYS)
def test_what_the_tool_writes_fits_its_schema_and_has_the_keys_other_programs_rely_on(
    real: dict[str, dict[str, Any]], name: str
) -> None:
    keys, flank_keys = KEYS[name]
    assert set(keys.split()) <= real[name].keys()
    for flank in real[name].get("flanks", ()):
        assert set(flank_keys.split()) <= flank.keys()
    for needed in ("format", "version"):
        with pytest.raises(jsonschema.ValidationError):
            VALIDATORS[name].validate({key: value for key, value in real[name].items() if key != needed})


def test_a_judgement_names_its_parts(real: dict[str, dict[str, Any]]) -> None:
    found = real["judgement"]
    assert [flank["flank"] for one in found["left"] for flank in one["flanks"]] == ["left", "left"]
    assert set(found["advice"]) == {"move_wheel", "shims", "because", "findings"}
    assert set(found["advice"]["shims"]) == {"carrier", "change", "amount_mm"}
    assert set(found["shared_shift"]["along"]) == {"value", "low", "high"}
    assert (found["made_at"], found["by"]) == ("2026-03-02T14:05:06+01:00", "K. Weber")
    (flank,) = found["right"][0]["flanks"]
    assert (flank["medium"], flank["outline"]["source"]) == ("flank", "given")
    assert set(flank["centroid"]) == {"along", "up"}


def test_a_judgement_to_the_letter() -> None:
    judgement = replace(written_inspection(Move.TOWARD_A, ADD_AT_A, IN_PLACE), film="thin")
    written = encode(judgement_document(judgement, MADE)).decode()
    assert written.endswith("}\n")
    pooled = (
        '"up":{"value":0.5,"low":0.4,"high":0.6},"coverage":{"value":0.3,"low":0.25,"high":0.35},'
        '"length":{"value":0.5,"low":0.4,"high":0.6},"height":{"value":0.6,"low":0.5,"high":0.7},"spread":null}'
    )
    assert json.dumps(json.loads(written), separators=(",", ":")) == (
        '{"format":"patternscan-judgement","version":1,"tool":"patternscan 0.1.0",'
        '"made_at":"2026-03-02T14:05:06+01:00","by":"K. Weber","machine":"Barn hoist","machine_by_folder":false,'
        '"gear":{},"seen_hand":null,"film":"thin","left":[],"right":[],'
        '"pooled":{"left":{"teeth":1,"along":{"value":0.4,"low":0.36,"high":0.44},'
        f'{pooled},"right":{{"teeth":1,"along":{{"value":0.42,"low":0.38,"high":0.46}},{pooled}}},'
        '"target":{"left_along":0.5,"right_along":0.5,"left_doubt":0.0,"right_doubt":0.0,"reference":null},'
        '"shared_shift":{"along":{"value":-0.09,"low":-0.12,"high":-0.06}},'
        '"opposed_shift":{"along":{"value":-0.01,"low":-0.04,"high":0.02}},'
        '"advice":{"move_wheel":"toward-A","shims":{"carrier":"A","change":"add","amount_mm":null},'
        f'"because":"{reason_sentence(IN_PLACE)}",'
        '"findings":[]},"estimate":null,"acceptance":null,"cautions":[]}'
    )


def test_numbers_are_rounded_to_a_ten_thousandth_and_zero_has_no_sign() -> None:
    judgement = written_inspection(Move.STAY, ADD_AT_A, IN_PLACE)
    fine = replace(judgement.comparison, shared=Interval(-0.00001, -0.123449, 0.123451))
    shared = content(judgement_document(replace(judgement, comparison=fine), MADE))["shared_shift"]["along"]
    assert [str(shared[key]) for key in ("value", "low", "high")] == ["0.0", "-0.1234", "0.1235"]


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_a_document_holds_finite_numbers(number: float) -> None:
    document = prediction_document(prediction(), MADE)
    with pytest.raises(ValueError, match="finite"):
        rounded(msgspec.structs.replace(document, film_um=number))


def test_both_flanks_are_found_by_their_name(judgement: Judgement) -> None:
    document = judgement_document(judgement, MADE)
    assert (document.readings(Flank.LEFT), document.readings(Flank.RIGHT)) == (document.left, document.right)
