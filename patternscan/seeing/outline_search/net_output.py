"""What the finder net is given and what it answers, in training as in use."""

from __future__ import annotations

SIZE_PX, STEP = 320, 4
"""Side of the square pictures that the net is trained on, tip up; it answers for each STEP-th pixel of each STEP-th
row."""
STRIDE = 32
"""Rows and columns of a picture that the net is given are a multiple of this."""
PARTS = ("nothing", "flank", "back flank", "tip land", "root", "end face")
"""What a pixel may show. "flank" is one whose tip points up in the picture, "back flank" one on teeth's other side."""
PART = slice(0, len(PARTS))
MARKED, COMPOUND = len(PARTS), len(PARTS) + 1
"""Logits: whether the flank seen carries compound anywhere, whether there is compound at this pixel."""
PLACE = slice(COMPOUND + 1, COMPOUND + 3)
"""Place on the flank: 0 at its left end to 1 at its right one, 0 at the root edge to 1 at the tip."""
CORNERS = slice(COMPOUND + 3, COMPOUND + 11)
"""x and y from the pixel to the corners of the flank (root left, root right, tip right, tip left), in CORNER_PX."""
PLACE_SPREAD, CORNER_SPREAD = COMPOUND + 11, COMPOUND + 12
"""Logarithms of the mean errors of both."""
MAPS = COMPOUND + 13
CORNER_PX = 32.0
