"""The layers of which both nets are built."""

from __future__ import annotations

from torch import Tensor, nn
from torch.nn import functional


def layer(channels: int, wanted: int, step: int = 1) -> nn.Module:
    """A 3 by 3 convolution, normalized; ``step`` 2 halves the size."""
    convolution = nn.Conv2d(channels, wanted, 3, step, 1, bias=False)
    return nn.Sequential(convolution, nn.BatchNorm2d(wanted), nn.ReLU(inplace=True))


def layer_pair(channels: int) -> nn.Module:
    """Two layers that keep size and channels."""
    return nn.Sequential(layer(channels, channels), layer(channels, channels))


def doubled(field: Tensor) -> Tensor:
    """(n, channels, rows, columns) at twice the rows and columns."""
    return functional.interpolate(field, scale_factor=2, mode="bilinear", align_corners=False)
