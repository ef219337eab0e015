"""The photo as a person sees it: upright, in sRGB, with its size and origin."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.seeing.image import exif as exif
    from patternscan.seeing.image import same_picture as same_picture
else:
    __getattr__ = door(__name__, "exif", "same_picture")
