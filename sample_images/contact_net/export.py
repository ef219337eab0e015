"""Writes the trained contact net as the package carries it, in ONNX.

`python sample_images/contact_net/export.py WEIGHTS --out FILE`; needs the dependency group "training".
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import torch

sys.path.insert(0, str(Path(__file__).parents[2]))

from sample_images.contact_net.fields import COLUMNS, ROWS
from sample_images.contact_net.net import PLANES, ContactNet, read_weights

OPSET = 17
"""Of ONNX; OpenCV's dnn module reads what it makes of this net (tried with OpenCV 5.0)."""


def export(weights: Path, out: Path) -> None:
    """Write the net as ONNX: ``planes`` (1, 11, 128, 256) in, ``maps`` (1, 2, 128, 256) and ``name`` (1, 5) out."""
    net = ContactNet()
    read_weights(net, weights)
    out.parent.mkdir(parents=True, exist_ok=True)
    torch.onnx.export(
        net.eval(),
        (torch.zeros(1, PLANES, ROWS, COLUMNS),),
        str(out),
        opset_version=OPSET,
        dynamo=False,
        input_names=["planes"],
        output_names=["maps", "name"],
    )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("weights", type=Path)
    parser.add_argument("--out", type=Path, default=Path("patternscan/seeing/contact_net.onnx"))
    asked = parser.parse_args()
    export(asked.weights, asked.out)
    print(f"{asked.out.stat().st_size / 1e6:.1f} MB in {asked.out}")
