"""A machine sheet to be filled in: every key is there with what it means, none of them says anything yet."""

from __future__ import annotations

import json
from importlib.resources import files


def blank_sheet(machine: str) -> str:
    """The text of a sheet for a machine of this name."""
    text = files("patternscan.setting.machine").joinpath("blank_sheet.toml").read_text(encoding="utf-8")
    return text.replace("{NAME}", _quoted(machine))


def _quoted(words: str) -> str:
    """A TOML basic string; JSON's way of writing is one too, but for the sign DEL (TOML 1.0, "String")."""
    return json.dumps(" ".join(words.split()), ensure_ascii=False).replace("\x7f", "\\u007f")
