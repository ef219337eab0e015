"""Random numbers, one for each picture that is being drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import torch
from torch import Tensor


@dataclass(frozen=True, slots=True, eq=False)
class Dice:
    """Draws for ``count`` pictures at once on ``device``. Single numbers come as (count, 1, 1) to go with fields
    (count, rows, columns). ``wildness`` (count, 1, 1), 0 to 1, says how much goes on in each picture, see ``amount``.
    """

    count: int
    device: str
    generator: Any
    wildness: Tensor

    def between(self, low: float = 0.0, high: float = 1.0) -> Tensor:
        """Evenly between two numbers, (count, 1, 1)."""
        return low + (high - low) * torch.rand(self.count, 1, 1, device=self.device, generator=self.generator)

    def log_between(self, low: float, high: float) -> Tensor:
        """Between two numbers, each doubling as likely as the next, (count, 1, 1)."""
        return torch.exp(self.between(math.log(low), math.log(high)))

    def amount(self, most: float) -> Tensor:
        """From nothing to so much, (count, 1, 1); little of it wherever a picture is a quiet one."""
        return self.between(0, most) * self.wildness

    def numbers(self, low: float = 0.0, high: float = 1.0) -> Tensor:
        """Evenly between two numbers, (count,)."""
        return low + (high - low) * torch.rand(self.count, device=self.device, generator=self.generator)

    def happens(self, share: float) -> Tensor:
        """1 in this share of the pictures, 0 in the others, (count, 1, 1)."""
        return (torch.rand(self.count, 1, 1, device=self.device, generator=self.generator) < share).float()

    def normals(self, *shape: int) -> Tensor:
        """Normal numbers of mean 0 and spread 1, (count, *shape)."""
        return torch.randn(self.count, *shape, device=self.device, generator=self.generator)

    def picks(self, choices: int) -> Tensor:
        """One of so many choices, (count,)."""
        return torch.randint(0, choices, (self.count,), device=self.device, generator=self.generator)

    def weighted_picks(self, shares: tuple[float, ...]) -> Tensor:
        """One of so many choices that come in these shares, (count,)."""
        weights = torch.tensor(shares, device=self.device)
        return torch.multinomial(weights, self.count, replacement=True, generator=self.generator)

    def order(self) -> Tensor:
        """The pictures' numbers in any order, (count,)."""
        return torch.randperm(self.count, device=self.device, generator=self.generator)

    def of(self, count: int) -> Dice:
        """The same dice for another count of pictures."""
        return Dice(count, self.device, self.generator, self.wildness[:count])

    def shaken(self) -> Dice:
        """The same dice with a wildness of its own for each of the next pictures, as many quiet as wild ones."""
        return replace(self, wildness=self.between())


def throw(count: int, device: str, seed: int) -> Dice:
    """Fresh dice; the same seed gives the same pictures on the same kind of device."""
    generator = torch.Generator(device=device).manual_seed(seed)
    return Dice(count, device, generator, torch.ones(count, 1, 1, device=device))
