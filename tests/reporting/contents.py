"""Documents as other programs see them."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from msgspec import Struct

from patternscan.frame import Made
from patternscan.reporting.documents.parts import encode

MADE = Made(datetime.fromisoformat("2026-03-02T14:05:06+01:00"), "K. Weber")


def content(document: Struct) -> dict[str, Any]:
    """What the document's JSON holds."""
    found: dict[str, Any] = json.loads(encode(document))
    return found
