"""Two trained contact nets as one: `python -m patternscan.training.contact.join FIRST.onnx SECOND.onnx --out DIR`.

Nets trained on different pictures go wrong on different photographs; the mean of their odds is right more often than
either. FIRST is of the earlier kind, which knows no violet, takes it for blue and does not tell the marking.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import onnx
from numpy.typing import NDArray
from onnx import TensorProto, compose, helper, numpy_helper

from patternscan.frame import Compound
from patternscan.seeing.quality.light import WORK_COLUMNS, WORK_ROWS
from patternscan.seeing.segmentation.net_input import NAMES, PLANES
from patternscan.training.contact.export import OPSET, save_net

FIRST_NAMES = NAMES[: NAMES.index(Compound.VIOLET)]
"""What the earlier net names, before "no compound"."""
SHARED = len(PLANES) - len(NAMES)
"""Planes before those of the told compound."""
ANSWERS = len(NAMES) + 2
LARGE = 1000
"""Weights of so many numbers and more are kept in half as many bits."""


def planes_of_first() -> NDArray[np.float32]:
    """Weights (planes, PLANES, 1, 1) that make the first net's planes: violet is told as blue."""
    weights = np.eye(SHARED + len(FIRST_NAMES), len(PLANES), dtype=np.float32)
    weights[SHARED + FIRST_NAMES.index(Compound.BLUE), SHARED + NAMES.index(Compound.VIOLET)] = 1
    return weights[..., None, None]


def answers_of_first() -> NDArray[np.float32]:
    """Weights (names and none, ANSWERS) that give half of the first net's answers: of violet what it says of blue."""
    weights = np.zeros((len(FIRST_NAMES) + 1, ANSWERS), dtype=np.float32)
    for number, name in enumerate(NAMES):
        told = name if name in FIRST_NAMES else Compound.BLUE
        weights[FIRST_NAMES.index(told), number] = 0.5
    weights[-1, len(NAMES)] = 0.5
    return weights


def answers_of_second() -> NDArray[np.float32]:
    """Weights (ANSWERS, ANSWERS) that add half of the second net's answers, and all that it says of the marking."""
    return np.diag(np.array([0.5] * (len(NAMES) + 1) + [1.0], dtype=np.float32))


def joined(first: onnx.ModelProto, second: onnx.ModelProto) -> onnx.ModelProto:
    """One net that runs both on the same ``planes`` and gives the means of ``maps`` and ``answers``."""
    graphs = [compose.add_prefix(net, f"net{number}/").graph for number, net in enumerate((first, second))]
    one, two = graphs
    constants = {
        "to_first": planes_of_first(),
        "half": np.array(0.5, dtype=np.float32),
        "from_first": answers_of_first(),
        "from_second": answers_of_second(),
    }
    nodes = [
        helper.make_node("Conv", ["planes", "to_first"], [one.input[0].name]),
        helper.make_node("Identity", ["planes"], [two.input[0].name]),
        *one.node,
        *two.node,
        helper.make_node("Add", [one.output[0].name, two.output[0].name], ["sum"]),
        helper.make_node("Mul", ["sum", "half"], ["maps"]),
        helper.make_node("MatMul", [one.output[1].name, "from_first"], ["said_first"]),
        helper.make_node("MatMul", [two.output[1].name, "from_second"], ["said_second"]),
        helper.make_node("Add", ["said_first", "said_second"], ["answers"]),
    ]
    weights = [*one.initializer, *two.initializer, *_tensors(constants.items())]
    shapes = {
        "planes": (len(PLANES), WORK_ROWS, WORK_COLUMNS),
        "maps": (2, WORK_ROWS, WORK_COLUMNS),
        "answers": (ANSWERS,),
    }
    told = {name: helper.make_tensor_value_info(name, TensorProto.FLOAT, (1, *shape)) for name, shape in shapes.items()}
    graph = helper.make_graph(nodes, "contact", [told["planes"]], [told["maps"], told["answers"]], weights)
    return helper.make_model(graph, opset_imports=[helper.make_opsetid("", OPSET)], ir_version=8)


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


def _tensors(constants: Iterable[tuple[str, NDArray[np.float32]]]) -> list[TensorProto]:
    return [numpy_helper.from_array(value, name) for name, value in constants]


def main() -> None:
    """Join as asked on the command line."""
    parser = argparse.ArgumentParser(prog="python -m patternscan.training.contact.join", description=__doc__)
    parser.add_argument("first", type=Path)
    parser.add_argument("second", type=Path)
    parser.add_argument("--out", type=Path, required=True, help="folder of contact_net.onnx and contact_net.json")
    asked = parser.parse_args()
    asked.out.mkdir(parents=True, exist_ok=True)
    save_net(halved(joined(onnx.load(asked.first), onnx.load(asked.second))).SerializeToString(), asked.out)


if __name__ == "__main__":
    main()
