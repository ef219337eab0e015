"""Writes a trained contact net as the package carries it: ONNX, and beside it a JSON that says what it is."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import torch

from patternscan.training.contact.net import PLANES, ContactNet
from patternscan.training.drawn.fields import COLUMNS, ROWS
from patternscan.training.drawn.film import KINDS

OPSET = 17
"""Of ONNX; OpenCV's dnn module reads what it makes of this net (tried with OpenCV 5.0)."""
VERSION = 1
"""Of the net's input and output; a net with other planes or names gets the next one."""


def export(net: ContactNet, folder: Path) -> None:
    """Write contact_net.onnx (``planes`` (1, 11, 128, 256) in, ``maps`` (1, 2, 128, 256) and ``name`` (1, 5) out) and
    contact_net.json. The net is left on the processor, ready for reading.
    """
    out = folder / "contact_net.onnx"
    torch.onnx.export(
        net.cpu().to(memory_format=torch.contiguous_format).eval(),
        (torch.zeros(1, PLANES, ROWS, COLUMNS),),
        str(out),
        opset_version=OPSET,
        dynamo=False,
        input_names=["planes"],
        output_names=["maps", "name"],
    )
    digest = hashlib.sha256(out.read_bytes()).hexdigest()
    about = {"version": VERSION, "planes": PLANES, "names": KINDS, "sha256": digest}
    out.with_suffix(".json").write_text(json.dumps(about, indent=2) + "\n", encoding="utf-8")
