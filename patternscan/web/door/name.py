"""Who says or does it: the name in a form, remembered on the device that sent it."""

from __future__ import annotations

from flask import request, session

from patternscan.errors import WrongUse
from patternscan.plain_text import one_line
from patternscan.reporting.text.web.reading_words import NO_NAME

LONGEST_NAME = 60


def given_name(field: str) -> str:
    """The name in a field of the form that was sent. Raises WrongUse without one."""
    name = one_line(request.form.get(field, ""))[:LONGEST_NAME]
    if not name:
        raise WrongUse(*NO_NAME)
    session["name"] = name
    return name


def known_name() -> str:
    """The name that this device gave last, empty for none."""
    return str(session.get("name", ""))
