"""What is given for a photo and is none: another kind of file, known by its first bytes.

The marks of files are those of ISO/IEC 14496-12, RFC 8794, ISO 32000-1, ZIP and GIF89a, all from memory.
"""

from __future__ import annotations

TAKE_A_PHOTO = "Take a photo of the tooth: the single pictures of a video are small and blurred."
GIVE_THE_PHOTO = "Give the photo itself: JPEG, PNG, TIFF, WebP, AVIF or HEIC."
KINDS = (
    (4, b"ftyp", ("a video", TAKE_A_PHOTO)),
    (0, b"\x1aE\xdf\xa3", ("a video", TAKE_A_PHOTO)),
    (0, b"%PDF", ("a PDF", GIVE_THE_PHOTO)),
    (0, b"PK\3\4", ("an office document or a packed folder", GIVE_THE_PHOTO)),
    (0, b"GIF8", ("a GIF picture, which holds too few colours", GIVE_THE_PHOTO)),
)
"""Where the mark stands in a file, the mark, what the file is and what to do."""


def other_file(head: bytes) -> tuple[str, str] | None:
    """What a file with these first bytes is, and what to do; None where they do not tell, or it is a damaged photo."""
    if b"avif" in head:
        return None
    return next((told for at, mark, told in KINDS if head[at : at + len(mark)] == mark), None)
