"""Doubts that travel with a number: what is doubtful, and how to retake the photo or the print."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """A doubt about a reading. ``grave`` means that no direction may be given on this photo alone."""

    code: str
    message: str
    remedy: str
    grave: bool = False


@dataclass(frozen=True, slots=True)
class Finding:
    """Something the pattern shows beside the direction, in one plain sentence."""

    code: str
    message: str
