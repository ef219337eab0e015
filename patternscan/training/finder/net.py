"""The finder net: a picture in; of every second pixel, what part of a tooth it shows, and where its corners lie."""

from __future__ import annotations

import torch
from torch import Tensor, nn
from torch.nn import functional

from patternscan.seeing.outline_search.net_output import MAPS

WIDTHS = (24, 48, 80, 128, 160)
"""Channels at a half, a quarter ... a thirty-second of the picture's size."""


def _layer(channels: int, wanted: int, step: int = 1) -> nn.Module:
    """A 3 by 3 convolution, normalized; ``step`` 2 halves the size."""
    convolution = nn.Conv2d(channels, wanted, 3, step, 1, bias=False)
    return nn.Sequential(convolution, nn.BatchNorm2d(wanted), nn.ReLU(inplace=True))


def _pair(channels: int) -> nn.Module:
    return nn.Sequential(_layer(channels, channels), _layer(channels, channels))


def _doubled(field: Tensor) -> Tensor:
    return functional.interpolate(field, scale_factor=2, mode="bilinear", align_corners=False)


class FinderNet(nn.Module):
    """Five sizes down, four up, each given what was seen at its own size on the way down (a U-net)."""

    def __init__(self) -> None:
        super().__init__()
        half, quarter, eighth, sixteenth, least = WIDTHS
        self.stem, self.e0 = _layer(3, half, 2), _layer(half, half)
        self.d1, self.e1 = _layer(half, quarter, 2), _pair(quarter)
        self.d2, self.e2 = _layer(quarter, eighth, 2), _pair(eighth)
        self.d3, self.e3 = _layer(eighth, sixteenth, 2), _pair(sixteenth)
        self.d4, self.e4, self.e5 = _layer(sixteenth, least, 2), _pair(least), _pair(least)
        self.glob = nn.Conv2d(least, least, 1)
        self.u3 = _layer(least + sixteenth, sixteenth)
        self.u2 = _layer(sixteenth + eighth, eighth)
        self.u1 = _layer(eighth + quarter, quarter)
        self.u0, self.v0 = _layer(quarter + half, half), _layer(half, half)
        self.out = nn.Conv2d(half, MAPS, 3, 1, 1)

    def forward(self, picture: Tensor) -> Tensor:
        """``picture`` (n, 3, rows, columns), -1 to 1, rows and columns divide by 32; maps (n, MAPS, rows / 2,
        columns / 2), see ``net_output``.
        """
        half = self.e0(self.stem(picture))
        quarter = self.e1(self.d1(half))
        eighth = self.e2(self.d2(quarter))
        sixteenth = self.e3(self.d3(eighth))
        least = self.e4(self.d4(sixteenth))
        least = least + self.e5(least)
        least = least + functional.relu(self.glob(least.mean((2, 3), keepdim=True)))
        field = self.u3(torch.cat([_doubled(least), sixteenth], 1))
        field = self.u2(torch.cat([_doubled(field), eighth], 1))
        field = self.u1(torch.cat([_doubled(field), quarter], 1))
        field = self.v0(self.u0(torch.cat([_doubled(field), half], 1)))
        maps: Tensor = self.out(field)
        return maps
