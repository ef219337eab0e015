"""Marking compound on the drawn wheels: prints of the worm, paint rubbed off, smears; which teeth carry it."""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor

from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.film import KINDS, draw_pigment
from patternscan.training.scenes.texture import Noise
from patternscan.training.scenes.wheel_solid import Meeting, Part

INKS = (0.26, 0.2, 0.12, 0.28, 0.14)
"""Shares of blue, yellow, white, red and violet; those near the colour of bronze are hard to tell (own guess)."""
UNMARKED, ALL_MARKED, BOTH_SIDES, RUB_OFF, SPILLED = 0.15, 0.06, 0.25, 0.55, 0.4
"""Share of scenes without any marked tooth, with paint on all, on both sides of the marked teeth; rub-off among them,
and of that with paint on the tip lands too (own guess)."""
LEAST = 0.25
"""Film that counts as compound."""
HARDLY, SURELY = 0.01, 0.05
"""Part of what is seen of a flank that compound covers: up to the first it counts as bare, from the second as marked.
"""
MOST_TEETH = 128
STREAKED = ((0.5, 4.0), (1.0, 10.0), (3.0, 3.0), (6.0, 6.0))
"""Waves of smears along and up, in flank lengths: mostly drawn out along the face."""


@dataclass(frozen=True, slots=True, eq=False)
class Compound:
    """What lies on the teeth: first and last marked tooth (n, 1), whether both sides carry it, whether it was rubbed
    off and whether the tip lands carry it then (n, 1); the contact's place, size, slant and raggedness (n, 6); of the
    film: cover, streaks, smears, sharpness of its border, thickness (n, 5); ``pigment`` (n, 3), linear.
    """

    first: Tensor
    last: Tensor
    both: Tensor
    rub_off: Tensor
    spilled: Tensor
    contact: Tensor
    film: Tensor
    pigment: Tensor
    grain: Tensor

    def laid_on(self, meeting: Meeting) -> Tensor:
        """1 where compound was meant to be, (n, m)."""
        within = (meeting.tooth >= self.first) & (meeting.tooth <= self.last)
        back = (meeting.part == Part.BACK_FLANK) & (self.both > 0)
        land = (meeting.part == Part.TIP_LAND) & (self.rub_off * self.spilled > 0)
        return ((meeting.part == Part.FLANK) | back | land).float() * within

    def marked(self, meeting: Meeting, seen: Tensor, film: Tensor) -> Tensor:
        """How surely a flank shows compound, 0 to 1, (n, m): by how much of what is ``seen`` of it (n, m) carries
        ``film`` (n, m); none that was not marked.
        """
        flank = seen * (meeting.part == Part.FLANK)
        tooth = (meeting.tooth + MOST_TEETH // 2).clamp(0, MOST_TEETH - 1).nan_to_num(0).long()
        pixels, covered = torch.zeros(2, len(flank), MOST_TEETH, device=flank.device)
        pixels = pixels.scatter_add(1, tooth, flank)
        covered = covered.scatter_add(1, tooth, flank * (film > LEAST))
        share = (covered / pixels.clamp(min=1)).gather(1, tooth)
        return self.laid_on(meeting) * ((share - HARDLY) / (SURELY - HARDLY)).clamp(0, 1)

    def thickness(self, meeting: Meeting, noise: Noise) -> Tensor:
        """Film at places of the wheel, (n, m), 1 hides the metal well."""
        along, up = meeting.along, meeting.up
        far = 0.617 * meeting.tooth
        rag = noise.at(1.5 * along + far, 0.8 * up + far)
        streaks = noise.at(self.grain[:, :1] * along + far, self.grain[:, 1:] * 0.4 * up + far)
        middle_along, middle_up, length, height, slant, ragged = self.contact[..., None].unbind(1)
        aside = (along - middle_along - slant * (up - 0.5)) / length
        touch = 1 - aside**2 - ((up - middle_up) / height) ** 2 + ragged * (rag[:, 0] + 0.5 * streaks[:, 1])
        cover, streaked, smeared, sharp, thick = self.film[..., None].unbind(1)
        touch = torch.sigmoid(sharp * touch)
        even = (1 + streaked * streaks[:, 0]).clamp(min=0) * torch.sigmoid(sharp * (cover + rag[:, 1]))
        film = torch.where(self.rub_off > 0, even * (1 - 0.92 * touch), even * touch)
        smear = torch.sigmoid(8 * (rag[:, 2] - 2.3 + 2 * smeared)) * (streaks[:, 2] > 0)
        body = meeting.part > Part.NOTHING
        return (thick * film * self.laid_on(meeting) + 0.7 * smear * body).clamp(0, 2)


def draw_compound(dice: Dice) -> Compound:
    """One to three teeth about the one in view, marked by printing or by painting."""
    bare, every = dice.happens(UNMARKED)[:, 0], dice.happens(ALL_MARKED)[:, 0]
    first, last = (torch.round(dice.between(-low, high)[:, 0]) for low, high in ((1.49, 0.49), (0.49, 1.49)))
    first, last = torch.minimum(first, torch.zeros_like(first)), torch.maximum(last, torch.zeros_like(last))
    kind = dice.weighted_picks(INKS)
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
    smears = often * (1 - bare) * dice.between(0, 0.9)[:, 0]
    looks = (dice.between(0.0, 2.5), dice.between(0, 0.8), dice.log_between(4, 30), dice.log_between(0.4, 1.6))
    cover, streaks, sharp, thick = (look[:, 0] for look in looks)
    grains = torch.tensor(STREAKED, device=dice.device)
    pigment = draw_pigment(dice, kind)[:, :, 0, 0]
    return Compound(
        torch.where(bare > 0, 1000.0, torch.where(every > 0, -1000.0, first)),
        torch.where(every > 0, 1000.0, last),
        dice.happens(BOTH_SIDES)[:, 0],
        dice.happens(RUB_OFF)[:, 0],
        dice.happens(SPILLED)[:, 0],
        contact,
        torch.cat([cover, streaks, smears, sharp, thick], 1),
        pigment,
        grains[dice.picks(len(STREAKED))],
    )


assert len(KINDS) == len(INKS) + 1
