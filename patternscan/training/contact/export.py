"""Writes a trained contact net as the package carries it: ONNX, and beside it a JSON that says what it is."""

from __future__ import annotations

import io
import json
import warnings
from pathlib import Path

import torch

from patternscan.seeing.quality.light import WORK_COLUMNS, WORK_ROWS
from patternscan.seeing.segmentation.net_input import PLANES, net_description
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET
from patternscan.training.contact.net import ContactNet

OPSET = 17
"""Of ONNX; OpenCV's dnn module reads what the older exporter makes of this net (tried with OpenCV 5.0)."""


def export(net: ContactNet, folder: Path) -> None:
    """Write contact_net.onnx (``planes`` (1, 12, 128, 256) in, ``maps`` (1, 2, 128, 256) and ``answers`` (1, 7) out)
    and contact_net.json. The net is left on the processor, ready for reading.
    """
    planes, weights = torch.zeros(1, len(PLANES), WORK_ROWS, WORK_COLUMNS), io.BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        torch.onnx.export(
            net.cpu().to(memory_format=torch.contiguous_format).eval(),
            (planes,),
            weights,
            opset_version=OPSET,
            dynamo=False,
            input_names=["planes"],
            output_names=["maps", "answers"],
        )
    save_net(weights.getvalue(), folder)


def save_net(weights: bytes, folder: Path) -> None:
    """Write a net's weights with their description."""
    (folder / CONTACT_NET.weights).write_bytes(weights)
    description = json.dumps(net_description(weights), indent=1)
    (folder / CONTACT_NET.description).write_text(description + "\n", encoding="utf-8")
