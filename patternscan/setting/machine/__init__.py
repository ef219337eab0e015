"""The machine sheet: what is known of a machine before a job begins."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.setting.machine import sheet_file as sheet_file
else:
    __getattr__ = door(__name__, "sheet_file")
