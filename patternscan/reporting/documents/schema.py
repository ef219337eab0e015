"""JSON Schemas of all documents, made from their records: ``python -m patternscan.reporting.documents.schema``."""

from __future__ import annotations

from collections.abc import Mapping
from inspect import cleandoc
from pathlib import Path
from typing import Any

import msgspec

from patternscan.reporting.documents.comparison import ComparisonDocument
from patternscan.reporting.documents.judgement import JudgementDocument
from patternscan.reporting.documents.kept_proof import KeptProofDocument
from patternscan.reporting.documents.next_actions import NextDocument
from patternscan.reporting.documents.prediction import PredictionDocument
from patternscan.reporting.documents.proof import ProofDocument
from patternscan.reporting.documents.reading import ReadingDocument
from patternscan.reporting.documents.summary import SummaryDocument
from patternscan.reporting.documents.truth import TruthDocument
from patternscan.seeing.geometry.outline_file import OutlineDocument

DOCUMENTS: Mapping[str, type[msgspec.Struct]] = {
    "outline": OutlineDocument,
    "reading": ReadingDocument,
    "judgement": JudgementDocument,
    "comparison": ComparisonDocument,
    "prediction": PredictionDocument,
    "next": NextDocument,
    "summary": SummaryDocument,
    "truth": TruthDocument,
    "proof": ProofDocument,
    "kept-proof": KeptProofDocument,
}
"""Every document by the name of its schema file."""
FOLDER = Path(__file__).with_name("schemas")


def schema_bytes(document: type[msgspec.Struct]) -> bytes:
    """The JSON Schema (draft 2020-12) of a document."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **_cleaned(msgspec.json.schema(document))}
    return msgspec.json.format(msgspec.json.encode(schema), indent=1) + b"\n"


def _cleaned(part: Any) -> Any:
    """The same as every version of the library writes it: descriptions not indented, names of keys not told."""
    if isinstance(part, list):
        return [_cleaned(one) for one in part]
    if not isinstance(part, dict):
        return part
    return {
        key: cleandoc(value) if key == "description" and isinstance(value, str) else _cleaned(value)
        for key, value in part.items()
        if key != "propertyNames"
    }


if __name__ == "__main__":
    for name, document in DOCUMENTS.items():
        (FOLDER / f"{name}.schema.json").write_bytes(schema_bytes(document))
