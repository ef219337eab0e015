"""Writes a trained contact net as the package carries it: ONNX, and beside it a JSON that says what it is."""

from __future__ import annotations

import io
import json
import warnings
from pathlib import Path

import numpy as np
import onnx
import torch
from onnx import TensorProto, helper, numpy_helper

from patternscan.seeing.quality.light import WORK_COLUMNS, WORK_ROWS
from patternscan.seeing.segmentation.net_input import PLANES, net_description
from patternscan.seeing.segmentation.net_segmentation import CONTACT_NET
from patternscan.training.contact.net import ContactNet

OPSET = 17
"""Of ONNX; OpenCV's dnn module reads what the older exporter makes of this net (tried with OpenCV 5.0)."""
LARGE = 1000
"""Weights of so many numbers and more are kept in half as many bits."""


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
    save_net(halved(onnx.load_from_string(weights.getvalue())).SerializeToString(), folder)


def save_net(weights: bytes, folder: Path) -> None:
    """Write a net's weights with their description."""
    (folder / CONTACT_NET.weights).write_bytes(weights)
    description = json.dumps(net_description(weights), indent=1)
    (folder / CONTACT_NET.description).write_text(description + "\n", encoding="utf-8")


def halved(net: onnx.ModelProto) -> onnx.ModelProto:
    """The net with its large weights kept in half as many bits, from which the logits change by hundredths."""
    kept, casts = [], []
    for tensor in net.graph.initializer:
        weights = numpy_helper.to_array(tensor)
        if weights.size < LARGE:
            kept.append(tensor)
            continue
        kept.append(numpy_helper.from_array(weights.astype(np.float16), f"{tensor.name}/half"))
        casts.append(helper.make_node("Cast", [f"{tensor.name}/half"], [tensor.name], to=TensorProto.FLOAT))
    graph = helper.make_graph([*casts, *net.graph.node], "contact", net.graph.input, net.graph.output, kept)
    return helper.make_model(graph, opset_imports=net.opset_import, ir_version=net.ir_version)
