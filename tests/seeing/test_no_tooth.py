"""Pictures without any gear tooth: the open ones that come with scikit-image (sources in its data/README.txt)."""

from __future__ import annotations

from pathlib import Path

import pytest
import skimage.data

from patternscan.errors import NoCompound, NoTrustworthyOutline, UnreadablePhoto
from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.seeing.image.photo import load_photo
from patternscan.seeing.outline_search.hint import Hint
from patternscan.seeing.outline_search.search import find_outlines

PICTURES = sorted(
    path for path in Path(skimage.data.__file__).parent.iterdir() if path.suffix in {".png", ".jpg", ".tif"}
)


def test_there_are_pictures() -> None:
    assert len(PICTURES) > 20


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.name)
def test_no_tooth_is_found(picture: Path) -> None:
    """The flank's name only tells the ends apart, see test_outline_search."""
    with pytest.raises((NoCompound, NoTrustworthyOutline, UnreadablePhoto)):
        find_outlines(load_photo(picture), Flank.LEFT, Hint(PictureSide.UP))
