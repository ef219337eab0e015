"""Options for many photos."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import click

from patternscan.cli.options.records import option
from patternscan.cli.options.shared import OutputOptions
from patternscan.frame import Flank
from patternscan.seeing.geometry.outline import PictureSide
from patternscan.workflow.batch.request import PATIENCE_SECONDS, BatchRequest
from patternscan.workflow.disk.spreadsheet import CsvStyle
from patternscan.workflow.inputs.settings import SettingsRequest

STYLE = "With many photos: how the tables are written. 'comma' = decimal commas and semicolons."
WORKERS = "With many photos: how many are read at the same time.  [default: one for each core, up to 4]"
SCHEDULER = (
    "With many photos: let the Dask cluster with this scheduler do the work. Its workers must see the same folders."
)

PATIENCE = option(
    "--patience",
    "With --scheduler: seconds to wait for workers that are gone, before the command ends with what is done.",
    type=click.FloatRange(min=1),
    default=PATIENCE_SECONDS,
    show_default=True,
    metavar="SECONDS",
)


@dataclass(frozen=True, slots=True)
class BatchOptions:
    """How many photos are worked on."""

    csv_style: Annotated[CsvStyle, option("--csv-style", STYLE, default=CsvStyle.POINT, show_default=True)]
    workers: Annotated[int | None, option("--workers", WORKERS, type=click.IntRange(min=1), metavar="NUMBER")]
    scheduler: Annotated[str | None, option("--scheduler", SCHEDULER, metavar="ADDRESS")]
    patience_s: Annotated[float, PATIENCE]

    def request(
        self,
        source: Path,
        settings: SettingsRequest,
        output: OutputOptions,
        flank: Flank | None,
        tip: PictureSide | None,
    ) -> BatchRequest:
        """What is to be done with the photos of a folder or list."""
        return BatchRequest(
            source,
            output.folder,
            settings,
            flank,
            tip,
            output.overwrite,
            self.csv_style,
            self.workers,
            self.scheduler,
            self.patience_s,
        )
