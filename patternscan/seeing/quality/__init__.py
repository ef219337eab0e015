"""How well a flank was photographed: light, sharpness, view, and what hides part of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.seeing.quality import same_exposure as same_exposure
else:
    __getattr__ = door(__name__, "same_exposure")
