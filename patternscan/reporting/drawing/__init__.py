"""What pictures are drawn with: letters and lines, the photo, the flat flank, and the picture as bytes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.reporting.drawing import encoding as encoding
else:
    __getattr__ = door(__name__, "encoding")
