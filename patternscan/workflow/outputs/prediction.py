"""What is handed over of a computed pattern."""

from __future__ import annotations

from pathlib import Path

from patternscan.reporting.documents.prediction import prediction_document
from patternscan.reporting.drawing.encoding import drawn_png_bytes
from patternscan.reporting.pictures.predicted_picture import draw_prediction
from patternscan.reporting.text.reports.prediction import prediction_report
from patternscan.workflow.outputs.answer import Answer, Files, inside
from patternscan.workflow.predict import PredictResult


def prediction_answer(result: PredictResult) -> Answer:
    """The document and the report."""
    return Answer(prediction_document(result.prediction, result.made), prediction_report(result.prediction))


def prediction_files(folder: Path, result: PredictResult, answer: Answer) -> Files:
    """The picture, the report and the document."""
    picture = drawn_png_bytes(draw_prediction(result.prediction))
    return inside(folder, answer.beside({"prediction.png": picture}, "prediction.md", "prediction.json"))
