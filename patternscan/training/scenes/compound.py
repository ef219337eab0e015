"""Marking compound on the drawn wheels: prints of the worm, paint rubbed off, smears; which teeth carry it."""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.film import KINDS, SHARES, draw_pigment
from patternscan.training.scenes.texture import Noise
from patternscan.training.scenes.wheel_solid import Meeting, Part

UNMARKED, ALL_MARKED, BOTH_SIDES, RUB_OFF = 0.12, 0.08, 0.25, 0.5
"""Share of scenes without any marked tooth, with paint on all, on both sides of the marked teeth; rub-off among them
(own guess)."""
LEAST = 0.25
"""Film that counts as compound."""
STREAKED = ((0.5, 4.0), (1.0, 10.0), (3.0, 3.0), (6.0, 6.0))
"""Waves of smears along and up, in flank lengths: mostly drawn out along the face."""


@dataclass(frozen=True, slots=True, eq=False)
class Compound:
    """What lies on the teeth: first and last marked tooth (n, 1), whether both sides carry it and whether it was rubbed
    off (n, 1); the contact's place, size, slant and raggedness (n, 6); of the film: cover, streaks, smears (n, 3);
    ``pigment`` (n, 3), linear.
    """

    first: Tensor
    last: Tensor
    both: Tensor
    rub_off: Tensor
    contact: Tensor
    film: Tensor
    pigment: Tensor
    grain: Tensor

    def marked(self, meeting: Meeting) -> Tensor:
        """1 on flanks that carry compound, (n, m)."""
        within = (meeting.tooth >= self.first) & (meeting.tooth <= self.last)
        back = (meeting.part == Part.BACK_FLANK) & (self.both > 0)
        return ((meeting.part == Part.FLANK) | back).float() * within

    def thickness(self, meeting: Meeting, noise: Noise) -> Tensor:
        """Film at places of the wheel, (n, m), 1 hides the metal well."""
        along, up = meeting.along, meeting.up
        far = 0.617 * meeting.tooth
        rag = noise.at(1.5 * along + far, 0.8 * up + far)
        streaks = noise.at(self.grain[:, :1] * along + far, self.grain[:, 1:] * 0.4 * up + far)
        middle_along, middle_up, length, height, slant, ragged = self.contact[..., None].unbind(1)
        aside = (along - middle_along - slant * (up - 0.5)) / length
        touch = 1 - aside**2 - ((up - middle_up) / height) ** 2 + ragged * (rag[:, 0] + 0.5 * streaks[:, 1])
        touch = torch.sigmoid(8 * touch)
        cover, streaked, smeared = self.film[..., None].unbind(1)
        even = (1 + streaked * streaks[:, 0]).clamp(min=0) * torch.sigmoid(6 * (cover + rag[:, 1]))
        film = torch.where(self.rub_off > 0, even * (1 - 0.92 * touch), even * touch)
        smear = torch.sigmoid(8 * (rag[:, 2] - 2.3 + 2 * smeared)) * (streaks[:, 2] > 0)
        body = meeting.part > Part.NOTHING
        return (film * self.marked(meeting) + 0.7 * smear * body).clamp(0, 2)


def draw_compound(dice: Dice) -> Compound:
    """One to three teeth about the one in view, marked by printing or by painting."""
    bare, every = dice.happens(UNMARKED)[:, 0], dice.happens(ALL_MARKED)[:, 0]
    first, last = (torch.round(dice.between(-low, high)[:, 0]) for low, high in ((1.49, 0.49), (0.49, 1.49)))
    first, last = torch.minimum(first, torch.zeros_like(first)), torch.maximum(last, torch.zeros_like(last))
    kind = dice.weighted_picks(SHARES[:-1])
    contact = torch.cat(
        [
            dice.between(-0.05, 1.05)[:, 0],
            dice.between(0.1, 0.95)[:, 0],
            dice.log_between(0.08, 0.6)[:, 0],
            dice.log_between(0.3, 1.5)[:, 0],
            dice.between(-0.5, 0.5)[:, 0],
            dice.between(0.05, 0.6)[:, 0],
        ],
        1,
    )
    often = dice.happens(0.3)[:, 0]
    film = torch.cat([dice.between(0.0, 2.5)[:, 0], dice.between(0, 0.8)[:, 0], often * dice.between(0, 0.9)[:, 0]], 1)
    grains = torch.tensor(STREAKED, device=dice.device)
    pigment = draw_pigment(dice, kind)[:, :, 0, 0]
    return Compound(
        torch.where(bare > 0, 1000.0, torch.where(every > 0, -1000.0, first)),
        torch.where(every > 0, 1000.0, last),
        dice.happens(BOTH_SIDES)[:, 0],
        dice.happens(RUB_OFF)[:, 0],
        contact,
        film * torch.cat([torch.ones_like(bare), torch.ones_like(bare), 1 - bare], 1),
        pigment,
        grains[dice.picks(len(STREAKED))],
    )


assert len(KINDS) == len(SHARES)
