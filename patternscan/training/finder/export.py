"""Writes a trained finder net as the package carries it: ONNX, and beside it a JSON that says what it is."""

from __future__ import annotations

import json
import warnings
from pathlib import Path

import torch

from patternscan.seeing.outline_search.finder_net import FINDER_NET, SIZE_PX, net_description
from patternscan.training.contact.export import OPSET
from patternscan.training.finder.net import FinderNet


def export(net: FinderNet, folder: Path) -> None:
    """Write finder_net.onnx (``picture`` (1, 3, SIZE_PX, SIZE_PX) in, ``maps`` out, see ``finder_net``) and
    finder_net.json. The net is left on the processor, ready for reading.
    """
    out = folder / FINDER_NET.weights
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        torch.onnx.export(
            net.cpu().to(memory_format=torch.contiguous_format).eval(),
            (torch.zeros(1, 3, SIZE_PX, SIZE_PX),),
            str(out),
            opset_version=OPSET,
            dynamo=False,
            input_names=["picture"],
            output_names=["maps"],
        )
    description = json.dumps(net_description(out.read_bytes()), indent=1)
    (folder / FINDER_NET.description).write_text(description + "\n", encoding="utf-8")
