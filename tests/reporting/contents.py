"""Documents as other programs see them."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

import jsonschema
from msgspec import Struct

from patternscan.frame import Made
from patternscan.reporting.documents.parts import encode
from patternscan.reporting.documents.schema import DOCUMENTS, FOLDER

SCHEMAS = {name: json.loads((FOLDER / f"{name}.schema.json").read_bytes()) for name in DOCUMENTS}
VALIDATORS = {name: jsonschema.Draft202012Validator(schema) for name, schema in SCHEMAS.items()}
MADE = Made(datetime.fromisoformat("2026-03-02T14:05:06+01:00"), "K. Weber")


def content(document: Struct) -> dict[str, Any]:
    """What the document's JSON holds."""
    found: dict[str, Any] = json.loads(encode(document))
    return found


def valid(text: str) -> dict[str, Any]:
    """What a JSON document holds; it must fit the schema of its format."""
    found: dict[str, Any] = json.loads(text)
    VALIDATORS[found["format"].removeprefix("patternscan-")].validate(found)
    return found
