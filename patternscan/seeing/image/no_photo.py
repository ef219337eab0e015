"""Pictures with drawing in them, known again by their comment, that nobody reads them as photos."""

from __future__ import annotations

from PIL import Image

from patternscan.errors import UnreadablePhoto

DRAWN_HERE = "drawn by patternscan"
"""The comment of every such picture."""


def refuse_drawing(image: Image.Image, name: str) -> None:
    """Raises UnreadablePhoto for a picture that was drawn here."""
    said = image.info.get("comment") or image.info.get("Comment") or ""
    if (said.decode("latin-1") if isinstance(said, bytes) else str(said)) == DRAWN_HERE:
        raise UnreadablePhoto(f"{name} is a picture that patternscan has drawn, not a photo.", "Give the photo itself.")
