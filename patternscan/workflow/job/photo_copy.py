"""Copies of photos without what the camera wrote beside the picture: place, serial numbers, names, comments, previews.
How the picture is turned and how much its lens takes in stay, for it is read by these.

JPEG and PNG only, whose picture stays bit for bit what it was. Sources: ITU-T T.81 (JPEG) annex B, ITU-T T.871 (JFIF),
PNG specification (third edition) clauses 5 and 11, Exif 2.32 (CIPA DC-008), all from memory.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator

from PIL import Image

from patternscan.seeing.image.exif import EXIF_TAG, FOCAL_35_TAG, focal_35_mm

JPEG_START, PNG_START = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
START, END, SCAN, COMMENT = 0xD8, 0xD9, 0xDA, 0xFE
APPLICATION = range(0xE0, 0xF0)
NEEDED = {0xE0: b"JFIF\0", 0xE2: b"ICC_PROFILE\0", 0xEE: b"Adobe"}
"""Application segments without which the picture looks otherwise."""
IN_SCAN = {0x00, *range(0xD0, 0xD8)}
"""What follows 0xFF inside a scan: a stuffed byte, or a restart marker."""
PNG_ASIDE = {b"tEXt", b"zTXt", b"iTXt", b"eXIf", b"tIME"}
ORIENTATION_TAG, EXIF_HEAD = 0x0112, b"Exif\0\0"


def without_origin(content: bytes) -> bytes | None:
    """The photo with its picture, colour profile, orientation and focal length alone; None for a format that is not
    known here.
    """
    if not content.startswith((JPEG_START, PNG_START)):
        return None
    try:
        exif = _kept_exif(content)
        return _jpeg(content, exif) if content.startswith(JPEG_START) else _png(content, exif)
    except (IndexError, struct.error, OSError, ValueError):
        return None


def _kept_exif(content: bytes) -> bytes:
    """A TIFF block with orientation and focal length as far as they are told; nothing where neither is."""
    kept = Image.Exif()
    with Image.open(io.BytesIO(content), formats=("JPEG", "PNG")) as image:
        orientation, focal = image.getexif().get(ORIENTATION_TAG), focal_35_mm(image)
    if orientation in range(2, 9):
        kept[ORIENTATION_TAG] = orientation
    if focal is not None:
        kept.get_ifd(EXIF_TAG)[FOCAL_35_TAG] = focal
    return kept.tobytes().removeprefix(EXIF_HEAD) if orientation in range(2, 9) or focal is not None else b""


def _jpeg(content: bytes, told: bytes) -> bytes:
    kept = [segment for marker, segment in _segments(content) if _is_needed(marker, segment)]
    exif = EXIF_HEAD + told
    extra = b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif if told else b""
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


def _png(content: bytes, told: bytes) -> bytes:
    parts, at = [PNG_START], len(PNG_START)
    while at < len(content):
        (length,), kind = struct.unpack_from(">I", content, at), content[at + 4 : at + 8]
        if kind not in PNG_ASIDE:
            parts.append(content[at : at + 12 + length])
        if kind == b"IHDR" and told:
            chunk = b"eXIf" + told
            parts.append(struct.pack(">I", len(told)) + chunk + struct.pack(">I", zlib.crc32(chunk)))
        at += 12 + length
        if kind == b"IEND":
            break
    return b"".join(parts)
