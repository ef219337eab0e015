"""When a photo was taken, as its camera says: only for which of two came first, and never written anywhere.

Source: Exif 2.32 (CIPA DC-008), tags 34665, 36867 and 36881 (from memory).
"""

from __future__ import annotations

from datetime import datetime, timedelta

from PIL import Image

EXIF_TAG, TAKEN_TAG, OFFSET_TAG = 0x8769, 0x9003, 0x9011


def taken_of(image: Image.Image) -> datetime | None:
    """The time by the camera's clock, with its time zone where it tells that; None where none is told or it is broken.

    A copy that was edited and saved keeps the time of its original.
    """
    try:
        told = image.getexif().get_ifd(EXIF_TAG)
        at = datetime.strptime(str(told[TAKEN_TAG]).strip("\0 "), "%Y:%m:%d %H:%M:%S")
        zone = str(told.get(OFFSET_TAG, "")).strip("\0 ")
        return datetime.strptime(f"{at.isoformat()}{zone}", "%Y-%m-%dT%H:%M:%S%z") if zone else at
    except Exception:  # broken EXIF raises many things and is no reason to refuse a photo
        return None


def time_between(earlier: datetime, later: datetime) -> timedelta:
    """How much later the second was taken, negative when it came first; by the clocks where one tells no time zone."""
    if earlier.tzinfo and later.tzinfo:
        return later - earlier
    return later.replace(tzinfo=None) - earlier.replace(tzinfo=None)
