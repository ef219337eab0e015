"""The contact net: planes of a rectified flank in; contact, hidden metal, compound and marking out."""

from __future__ import annotations

import torch
from torch import Tensor, nn
from torch.nn import functional

from patternscan.seeing.segmentation.net_input import PLANES
from patternscan.training.drawn.film import KINDS
from patternscan.training.layers import doubled, layer, layer_pair

WIDTHS = (24, 48, 80, 144, 224)
"""Channels at a half, a quarter ... a thirty-second of the flank's size; the small sizes cost least and judge most."""


class ContactNet(nn.Module):
    """Five sizes down, five sizes up, each given what was seen at its own size on the way down (a U-net)."""

    def __init__(self) -> None:
        super().__init__()
        half, quarter, eighth, sixteenth, least = WIDTHS
        self.stem, self.e0 = layer(len(PLANES), half, 2), layer(half, half)
        self.d1, self.e1 = layer(half, quarter, 2), layer_pair(quarter)
        self.d2, self.e2 = layer(quarter, eighth, 2), layer_pair(eighth)
        self.d3, self.e3 = layer(eighth, sixteenth, 2), layer_pair(sixteenth)
        self.d4, self.e4 = layer(sixteenth, least, 2), layer_pair(least)
        self.e5 = layer_pair(least)
        self.glob = nn.Conv2d(least, least, 1)
        self.u3 = layer(least + sixteenth, sixteenth)
        self.u2 = layer(sixteenth + eighth, eighth)
        self.u1 = layer(eighth + quarter, quarter)
        self.u0, self.v0 = layer(quarter + half, half), layer(half, half)
        self.out = nn.Conv2d(half, 8, 3, 1, 1)
        self.whole = nn.Sequential(nn.Conv2d(2 * least, 96, 1), nn.ReLU(inplace=True), nn.Conv2d(96, len(KINDS) + 1, 1))

    def forward(self, given: Tensor) -> tuple[Tensor, Tensor]:
        """``given`` (n, planes, rows, columns), see ``net_input.PLANES``; rows and columns must divide by 32.

        Gives maps (n, 2, rows, columns), the logits of contact and of hidden metal, and answers (n, 7), those of each
        of film.KINDS and, last, of paint that was rubbed off.
        """
        half = self.e0(self.stem(given))
        quarter = self.e1(self.d1(half))
        eighth = self.e2(self.d2(quarter))
        sixteenth = self.e3(self.d3(eighth))
        least = self.e4(self.d4(sixteenth))
        least = least + self.e5(least)
        least = least + functional.relu(self.glob(least.mean((2, 3), keepdim=True)))
        field = self.u3(torch.cat([doubled(least), sixteenth], 1))
        field = self.u2(torch.cat([doubled(field), eighth], 1))
        field = self.u1(torch.cat([doubled(field), quarter], 1))
        field = self.v0(self.u0(torch.cat([doubled(field), half], 1)))
        maps = functional.pixel_shuffle(self.out(field), 2)
        whole = torch.cat([least.mean((2, 3), keepdim=True), torch.amax(least, (2, 3), keepdim=True)], 1)
        return maps, self.whole(whole)[:, :, 0, 0]
