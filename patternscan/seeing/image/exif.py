"""What a photo's Exif tells beside how it is turned: when it was taken, only for which of two came first and never
written anywhere, and how much of the scene its lens took in.

Source: Exif 2.32 (CIPA DC-008), tags 34665, 36867, 36881 and 41989 (from memory).
"""

from __future__ import annotations

from datetime import datetime, timedelta
from math import hypot

from PIL import Image

EXIF_TAG, TAKEN_TAG, OFFSET_TAG, FOCAL_35_TAG = 0x8769, 0x9003, 0x9011, 0xA405
FULL_DIAGONAL_MM = hypot(36, 24)
"""Of a picture on 35 mm film, by which focal lengths are compared."""
SENSORS, SAME_SENSOR = (4 / 3, 3 / 2, 16 / 9), 0.01
"""Longer over shorter side as cameras take pictures (common practice), and how near to one that of a whole picture is:
another one was cut, and its lens tells nothing of it."""
SHORTEST_MM, LONGEST_MM = 8, 400
"""Focal lengths that lenses for 35 mm film have; others are no focal lengths (common practice)."""


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


def focal_of(image: Image.Image) -> float | None:
    """Focal length over the picture's longer side; None where none is told, and for a picture that was cut to another
    form. One that was cut and has the same form still is not known from a whole one.
    """
    long, short = max(image.size), min(image.size)
    told = focal_35_mm(image)
    if told is None or all(abs(long / short / ratio - 1) > SAME_SENSOR for ratio in SENSORS):
        return None
    return told / FULL_DIAGONAL_MM * hypot(long, short) / long


def focal_35_mm(image: Image.Image) -> int | None:
    """Focal length of the lens that takes in as much on 35 mm film, in mm; None where none is told or it is broken."""
    try:
        told = round(float(image.getexif().get_ifd(EXIF_TAG)[FOCAL_35_TAG]))
    except Exception:  # broken EXIF raises many things and is no reason to refuse a photo
        return None
    return told if SHORTEST_MM <= told <= LONGEST_MM else None
