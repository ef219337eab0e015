"""Copies of photos without what the camera wrote beside the picture: place, serial numbers, names, comments, previews.

JPEG and PNG only, whose picture stays bit for bit what it was. Sources: ITU-T T.81 (JPEG) annex B, ITU-T T.871 (JFIF),
PNG specification (third edition) clauses 5 and 11, Exif 2.32 (CIPA DC-008), all from memory.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator

from PIL import Image

JPEG_START, PNG_START = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
START, END, SCAN, COMMENT = 0xD8, 0xD9, 0xDA, 0xFE
APPLICATION = range(0xE0, 0xF0)
NEEDED = {0xE0: b"JFIF\0", 0xE2: b"ICC_PROFILE\0", 0xEE: b"Adobe"}
"""Application segments without which the picture looks otherwise."""
IN_SCAN = {0x00, *range(0xD0, 0xD8)}
"""What follows 0xFF inside a scan: a stuffed byte, or a restart marker."""
PNG_ASIDE = {b"tEXt", b"zTXt", b"iTXt", b"eXIf", b"tIME"}
ORIENTATION_TAG = 0x0112


def without_origin(content: bytes) -> bytes | None:
    """The photo with its picture, colour profile and orientation alone; None for a format that is not known here."""
    if not content.startswith((JPEG_START, PNG_START)):
        return None
    try:
        turned = _orientation_exif(content)
        return _jpeg(content, turned) if content.startswith(JPEG_START) else _png(content, turned)
    except (IndexError, struct.error, OSError, ValueError):
        return None


def _orientation_exif(content: bytes) -> bytes:
    """A TIFF block with the orientation and nothing else; nothing where the picture is upright."""
    with Image.open(io.BytesIO(content), formats=("JPEG", "PNG")) as image:
        orientation = image.getexif().get(ORIENTATION_TAG, 1)
    if orientation not in range(2, 9):
        return b""
    return b"MM\0*" + struct.pack(">IHHHIHHI", 8, 1, ORIENTATION_TAG, 3, 1, orientation, 0, 0)


def _jpeg(content: bytes, turned: bytes) -> bytes:
    kept = [segment for marker, segment in _segments(content) if _is_needed(marker, segment)]
    exif = b"Exif\0\0" + turned
    extra = b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif if turned else b""
    return content[:2] + extra + b"".join(kept) + bytes([0xFF, END])


def _segments(content: bytes) -> Iterator[tuple[int, bytes]]:
    """Every segment up to the end of the first picture, a scan with what follows its head."""
    at = 2
    while content[at + 1] != END:
        marker, length = content[at + 1], struct.unpack_from(">H", content, at + 2)[0]
        end = at + 2 + length
        if marker == SCAN:
            while content[end] != 0xFF or content[end + 1] in IN_SCAN:
                end += 1
        if content[at] != 0xFF or length < 2:
            raise ValueError("no segment")
        yield marker, content[at:end]
        at = end


def _is_needed(marker: int, segment: bytes) -> bool:
    if marker in APPLICATION:
        return marker in NEEDED and segment[4:].startswith(NEEDED[marker])
    return marker != COMMENT


def _png(content: bytes, turned: bytes) -> bytes:
    parts, at = [PNG_START], len(PNG_START)
    while at < len(content):
        (length,), kind = struct.unpack_from(">I", content, at), content[at + 4 : at + 8]
        if kind not in PNG_ASIDE:
            parts.append(content[at : at + 12 + length])
        if kind == b"IHDR" and turned:
            chunk = b"eXIf" + turned
            parts.append(struct.pack(">I", len(turned)) + chunk + struct.pack(">I", zlib.crc32(chunk)))
        at += 12 + length
        if kind == b"IEND":
            break
    return b"".join(parts)
