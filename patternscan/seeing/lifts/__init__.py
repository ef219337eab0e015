"""Prints lifted on clear tape or pressed onto paper: a film on a flat white card."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.seeing.lifts import frame_search as frame_search
    from patternscan.seeing.lifts import lifted_contact as lifted_contact
    from patternscan.seeing.lifts import placed_lift as placed_lift
else:
    __getattr__ = door(__name__, "frame_search", "lifted_contact", "placed_lift")
