"""Finding the outline of a flank in a photo, and snapping a rough one onto the edges."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.seeing.outline_search import marked_edges as marked_edges
    from patternscan.seeing.outline_search import marked_flank as marked_flank
    from patternscan.seeing.outline_search import search as search
    from patternscan.seeing.outline_search import snapping as snapping
else:
    __getattr__ = door(__name__, "marked_edges", "marked_flank", "search", "snapping")
