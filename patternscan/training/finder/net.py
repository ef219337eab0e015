"""The finder net: a picture in; of every fourth pixel, what part of a tooth it shows, and where its corners lie."""

from __future__ import annotations

import torch
from torch import Tensor, nn
from torch.nn import functional

from patternscan.seeing.outline_search.finder_net import MAPS
from patternscan.training.layers import doubled, layer, layer_pair

WIDTHS = (24, 48, 80, 128, 160)
"""Channels at a half, a quarter ... a thirty-second of the picture's size."""


class FinderNet(nn.Module):
    """Five sizes down, three up, each given what was seen at its own size on the way down (a U-net)."""

    def __init__(self) -> None:
        super().__init__()
        half, quarter, eighth, sixteenth, least = WIDTHS
        self.stem, self.e0 = layer(3, half, 2), layer(half, half)
        self.d1, self.e1 = layer(half, quarter, 2), layer_pair(quarter)
        self.d2, self.e2 = layer(quarter, eighth, 2), layer_pair(eighth)
        self.d3, self.e3 = layer(eighth, sixteenth, 2), layer_pair(sixteenth)
        self.d4, self.e4, self.e5 = layer(sixteenth, least, 2), layer_pair(least), layer_pair(least)
        self.glob = nn.Conv2d(least, least, 1)
        self.u3 = layer(least + sixteenth, sixteenth)
        self.u2 = layer(sixteenth + eighth, eighth)
        self.u1 = layer(eighth + quarter, quarter)
        self.out = nn.Conv2d(quarter, MAPS, 3, 1, 1)

    def forward(self, picture: Tensor) -> Tensor:
        """``picture`` (n, 3, rows, columns), -1 to 1, rows and columns divide by 32; maps (n, MAPS, rows / 4,
        columns / 4), see ``finder_net``.
        """
        half = self.e0(self.stem(picture))
        quarter = self.e1(self.d1(half))
        eighth = self.e2(self.d2(quarter))
        sixteenth = self.e3(self.d3(eighth))
        least = self.e4(self.d4(sixteenth))
        least = least + self.e5(least)
        least = least + functional.relu(self.glob(least.mean((2, 3), keepdim=True)))
        field = self.u3(torch.cat([doubled(least), sixteenth], 1))
        field = self.u2(torch.cat([doubled(field), eighth], 1))
        field = self.u1(torch.cat([doubled(field), quarter], 1))
        maps: Tensor = self.out(field)
        return maps
