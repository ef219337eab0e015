"""What is to be done with many photos."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path

from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.workflow.disk.spreadsheet import CsvStyle
from patternscan.workflow.inputs.settings import SettingsRequest

PATIENCE_SECONDS = 30.0
"""Workers that restart are back by then."""


@dataclass(frozen=True, slots=True)
class BatchRequest:
    """Photos of a folder or list, and the folder for the results.

    ``flank`` and ``tip`` hold where the list says nothing. ``workers`` None: one for each core, up to a bound;
    ``scheduler`` is the address of a Dask cluster's, without which the work ends after ``patience_s`` seconds.
    """

    source: Path
    out: Path | None
    settings: SettingsRequest = field(default_factory=SettingsRequest)
    flank: Flank | None = None
    tip: PictureSide | None = None
    overwrite: bool = False
    csv_style: CsvStyle = CsvStyle.POINT
    workers: int | None = None
    scheduler: str | None = None
    patience_s: float = PATIENCE_SECONDS


def holds_many(path: Path) -> bool:
    """Whether a path stands for many photos: a folder, or a list of photos as a CSV file."""
    return path.suffix.casefold() == ".csv" or os.path.isdir(path)
