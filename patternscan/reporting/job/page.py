"""The record of a setting job as one page that opens without a network and prints on A4 and Letter."""

from __future__ import annotations

from base64 import b64encode

from patternscan.reporting.job.chapters import Chapter, chapters, opening
from patternscan.reporting.job.record import JobRecord
from patternscan.reporting.pages.parts import Figure, Picture, Section, WebPage, photo_picture
from patternscan.reporting.pages.web_page import web_page
from patternscan.reporting.pictures.charts import Chart, chart_svg
from patternscan.units import MM_PER_INCH

SCREEN_DOTS = 96 / MM_PER_INCH
"""Pixels of a page for each mm (CSS Values 3, 5.2: an inch is 96 px)."""
ALONE = "\u2068", "\u2069"
"""Round a name that may be written from right to left, so that the date behind it stays as it is (Unicode, UAX 9)."""


def job_page(record: JobRecord) -> str:
    """The page as HTML, with everything in it."""
    top = opening(record)
    return web_page(
        WebPage(
            title=f"{top.answer}: {record.machine}",
            answer=f"{top.answer}.",
            sections=[_section(chapter) for chapter in chapters(record)],
            subject=f"{ALONE[0]}{record.machine}{ALONE[1]}, {record.made_at:%Y-%m-%d}",
            checks=[top.why],
            long=True,
        )
    )


def _section(chapter: Chapter) -> Section:
    figures = [Figure(photo_picture(plate.image, plate.words), plate.caption) for plate in chapter.plates]
    figures += map(_chart_figure, chapter.charts)
    return Section(chapter.title, chapter.lines, chapter.tables, figures, chapter.small)


def _chart_figure(chart: Chart) -> Figure:
    address = f"data:image/svg+xml;base64,{b64encode(chart_svg(chart)).decode('ascii')}"
    size = round(chart.width_mm * SCREEN_DOTS), round(chart.height_mm * SCREEN_DOTS)
    return Figure(Picture(address, *size, f"{chart.caption}. {chart.words}"), chart.caption)
