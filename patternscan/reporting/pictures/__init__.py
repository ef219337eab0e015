"""Pictures of flanks, pairs and changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.reporting.pictures import annotation as annotation
    from patternscan.reporting.pictures import bare_flank as bare_flank
    from patternscan.reporting.pictures import check_picture as check_picture
    from patternscan.reporting.pictures import pair_picture as pair_picture
else:
    __getattr__ = door(__name__, "annotation", "bare_flank", "check_picture", "pair_picture")
