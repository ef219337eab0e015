"""The film of marking compound on the drawn flanks: how thick it lies where, and what colour it is."""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor

from patternscan.seeing.segmentation.net_input import NAMES
from patternscan.training.drawn.dice import Dice
from patternscan.training.drawn.fields import Grain, along, noise, one_of, slanted, soft_step, spot, up, warped, waved
from patternscan.training.drawn.pattern import Pattern

KINDS = (*NAMES, "none")
"""What lies on the flank, in the order in which the net names it; red covers orange and red lead."""
SHARES = (0.24, 0.13, 0.09, 0.16, 0.07, 0.31)
"""Blue and red are used most (common practice); of ten flanks three are bare, so that bare metal is well known."""
STREAKS = (Grain(20, 3, 3, 0.7), Grain(40, 4, 3, 0.8), Grain(8, 3, 3, 0.6), Grain(12, 12, 3, 0.6))
BRUSH_MARKS = (
    Grain(10, 2, 3, 0.6),
    Grain(16, 2, 2, 0.6),
    Grain(6, 3, 3, 0.6),
    Grain(1, 10, 3, 0.7),
    Grain(1, 20, 3, 0.7),
    Grain(1, 36, 2, 0.8),
    Grain(2, 14, 3, 0.6),
)
"""The worm slides along the face; the brush is drawn along the face or, as often, from root to tip (own guess)."""
STREAKY = 0.4
"""Share of painted flanks with lines between the brush's hairs that were never painted (own guess)."""
HOLES_IN_PRINT = (Grain(30, 6, 3, 0.8), Grain(50, 12, 2, 0.8), Grain(20, 8, 4, 0.7), Grain(14, 14, 3, 0.7))
HOLES_IN_PAINT = (Grain(16, 3, 3, 0.7), Grain(30, 5, 3, 0.8), Grain(10, 6, 3, 0.7), Grain(4, 5, 4, 0.7))
PAINTED_IN_PART = 0.12
"""Share of rub-off flanks on which only a patch was painted (own guess)."""
EVEN = 0.15
"""Share of films that lie nearly even, as from a roller or a well-worked brush (own guess)."""
THIN = 0.25
"""Share of films through which the metal is seen everywhere (own guess)."""
SMEARS, SMEARED = 3, 0.22
"""Dabs that may lie on a flank, and how often each does: a finger, the brush, the tooth before (own guess)."""


@dataclass(frozen=True, slots=True, eq=False)
class Film:
    """``thickness`` against a full film and true ``contact`` (1 or 0), both (count, rows, columns)."""

    thickness: Tensor
    contact: Tensor


@dataclass(frozen=True, slots=True, eq=False)
class _Touch:
    """What both ways of marking share: gap in films, 1 inside the contact with a soft border, streaks, brush marks."""

    gap: Tensor
    inside: Tensor
    streaks: Tensor
    brush_marks: Tensor


def lay_film(dice: Dice, pattern: Pattern, rub_off: Tensor, kind: Tensor) -> Film:
    """Film printed by the worm, or painted on and rubbed off by it where ``rub_off`` (count, 1, 1) is 1; dabs and a
    thin haze beside it, which are no contact. Nothing where the kind (count,) is none.
    """
    uneven = 1 - 0.85 * dice.happens(EVEN)
    streaks = uneven * one_of(dice, *STREAKS)
    brush_marks = uneven * waved(dice, slanted(dice, warped(dice, one_of(dice, *BRUSH_MARKS), 0.003, 0.04)))
    body, holes = _print_body(dice, pattern.gap, streaks), _print_holes(dice, pattern.gap)
    inside = torch.sigmoid((1 - pattern.gap) / dice.log_between(0.003, 0.08))
    touch = _Touch(pattern.gap, inside, streaks, brush_marks)
    printed = inside * body * (1 - holes * dice.between(0.6, 1))
    painted = _painted_area(dice)
    left_over = _rubbed_off(dice, touch, painted)
    thickness = torch.where(rub_off > 0, left_over, printed)
    contact = torch.where(rub_off > 0, pattern.contact * (painted > 0.5), pattern.contact)
    thickness = _smeared(dice, thickness, rub_off)
    thickness = thickness + dice.happens(0.3) * dice.between(0, 0.08) * torch.exp(0.5 * brush_marks)
    covered = 1 - (kind == KINDS.index("none")).float()[:, None, None]
    return Film(thickness * covered, contact * covered)


def _print_body(dice: Dice, gap: Tensor, streaks: Tensor) -> Tensor:
    """Thickness of a print: streaky, heaped up or starved along its border, wiped thin where the worm bears hardest or
    towards the border (common practice; amounts own guess).
    """
    border = torch.exp(-(((gap - 0.85) / 0.12) ** 2))
    body = torch.exp(dice.between(0.05, 0.6) * streaks + dice.amount(0.35) * noise(dice, 60, 110))
    body = body * (1 + dice.between(-0.3, 0.6) * border)
    thinned = dice.between(0, 0.95) * dice.happens(0.6) * gap.clamp(0, 1) ** dice.log_between(1, 6)
    return body * (1 - thinned)


def _print_holes(dice: Dice, gap: Tensor) -> Tensor:
    """1 where the print skips: in the valleys of the hob marks, more of them toward the border (common practice)."""
    field, level = one_of(dice, *HOLES_IN_PRINT), dice.between(0.9, 3.2)
    toward_border = dice.between(0, 2.5) * dice.happens(0.6) * gap.clamp(0, 1.2) ** dice.log_between(2, 8)
    return soft_step(field - level + toward_border, 12)


def _painted_area(dice: Dice) -> Tensor:
    """1 where the flank was painted before rolling: nearly all of it, its ragged margin short of or beyond the edges;
    sometimes only a patch (own guess).
    """
    ragged = noise(dice, 3, 20) * 0.6 + noise(dice, 6, 60) * 0.5
    from_root, from_tip = up(dice) - dice.between(-0.05, 0.14), dice.between(0.9, 1.06) - up(dice)
    from_ends = along(dice) - dice.between(-0.08, 0.06), dice.between(0.94, 1.08) - along(dice)
    inward = torch.minimum(torch.minimum(from_root, from_tip) * 0.45, torch.minimum(*from_ends))
    in_part = dice.happens(PAINTED_IN_PART)
    inward = torch.where(in_part > 0, torch.minimum(inward, 0.25 * spot(dice, 0.25, 0.6)), inward)
    return torch.sigmoid((inward + dice.log_between(0.003, 0.03) * ragged) / dice.log_between(0.002, 0.01))


def _rubbed_off(dice: Dice, touch: _Touch, painted: Tensor) -> Tensor:
    """What the worm leaves of the paint: brush marks and bare spots outside the contact, a ridge pushed up along its
    border, inside it nothing or a streaky rest (common practice; amounts own guess).
    """
    bare_spots = soft_step(one_of(dice, *HOLES_IN_PAINT) - dice.between(0.9, 3.2), 10)
    brushed = torch.exp(dice.between(0.05, 1.2) * touch.brush_marks + 0.15 * touch.streaks)
    missed = soft_step(-touch.brush_marks - dice.between(0.2, 2), dice.log_between(4, 30))
    brushed = brushed * (1 - missed * dice.happens(STREAKY) * dice.between(0.6, 1))
    brushed = brushed * (1 - bare_spots * dice.between(0.5, 1))
    ridge = 1 + dice.between(0, 1.2) * torch.exp(-(((touch.gap - 1.1) / dice.between(0.05, 0.2)) ** 2))
    rest = dice.between(0, 0.25) * dice.happens(0.7) * torch.exp(0.8 * touch.streaks)
    return painted * (brushed * ridge * (1 - touch.inside) + touch.inside * rest * brushed)


def _smeared(dice: Dice, thickness: Tensor, rub_off: Tensor) -> Tensor:
    """Dabs of compound that are no contact, on printed flanks."""
    for _ in range(SMEARS):
        dab = spot(dice, 0.015, 0.09)
        there = dice.happens(SMEARED) * soft_step(dab, 6) * dice.between(0.15, 1)
        thickness = torch.maximum(thickness, there * (1 - rub_off))
    return thickness


def draw_pigment(dice: Dice, kind: Tensor) -> Tensor:
    """Linear reflectance of a full film, (count, 3, 1, 1): from Prussian to light blue, yellow to ochre, whites warm
    and cold, red lead to orange and brown red; some thinned with white (own guess around published paint charts).
    """
    inks = (_blues(dice), _yellows(dice), _whites(dice), _reds(dice), _violets(dice))
    colours = torch.stack([*inks, torch.zeros_like(inks[0])], 1)
    chosen = colours[torch.arange(dice.count, device=dice.device), kind]
    something = (kind != KINDS.index("none")).float()
    chalk = (dice.numbers(0, 0.35) * (dice.numbers() < 0.3).float() * something)[:, None]
    return (chosen * (1 - chalk) + 0.8 * chalk)[:, :, None, None]


def _blues(dice: Dice) -> Tensor:
    """Blue is strongest and red weakest, from nearly black Prussian blue to a chalky light blue."""
    strongest = 0.04 * torch.exp(dice.numbers(0, 3.05))
    green = strongest * dice.numbers(0.2, 0.7)
    return torch.stack([green * dice.numbers(0.02, 0.7), green, strongest], 1)


def _yellows(dice: Dice) -> Tensor:
    """Red is strongest and hardly any blue is left, from ochre to chrome yellow."""
    red = dice.numbers(0.35, 0.92)
    return torch.stack([red, red * dice.numbers(0.57, 0.95), red * dice.numbers(0.01, 0.2)], 1)


def _whites(dice: Dice) -> Tensor:
    """Nearly grey, a little warm or cold, from dirty to clean."""
    green = dice.numbers(0.5, 0.95)
    return torch.stack([green * dice.numbers(0.93, 1.05), green, green * dice.numbers(0.85, 1.05)], 1)


def _violets(dice: Dice) -> Tensor:
    """Layout dye: blue strongest, red near it, green weakest; from deep violet to purple."""
    blue = 0.06 * torch.exp(dice.numbers(0, 2.2))
    return torch.stack([blue * dice.numbers(0.45, 0.95), blue * dice.numbers(0.05, 0.4), blue], 1)


def _reds(dice: Dice) -> Tensor:
    """Half of them red, half toward orange; none as brown as tarnished bronze."""
    red = dice.numbers(0.15, 0.92)
    greens = dice.numbers() < 0.5, dice.numbers(0.03, 0.2), dice.numbers(0.12, 0.36)
    green = red * torch.where(*greens)
    return torch.stack([red, green, green * dice.numbers(0.1, 0.6)], 1)


@dataclass(frozen=True, slots=True, eq=False)
class Cover:
    """How a film hides: ``through`` (count, 3, rows, columns), the part of the metal's light that comes through it, and
    ``amount`` (count, rows, columns), the part of the metal that is hidden in all.
    """

    through: Tensor
    amount: Tensor


def hide(dice: Dice, thickness: Tensor, pigment: Tensor) -> Cover:
    """Light through a film falls off exponentially with its thickness (Beer-Lambert law); pigments take most where they
    reflect least, or, with much filler in them, all colours alike. Depth of a full film: own guess.
    """
    depth = torch.where(dice.happens(THIN) > 0, dice.log_between(0.45, 1.5), dice.log_between(1.5, 8))
    taken = 0.35 + 0.65 * (1 - pigment / pigment.amax(1, keepdim=True).clamp(min=0.02))
    taken = taken / taken.amax(1, keepdim=True).clamp(min=0.05)
    purity = dice.between()[:, None]
    taken = purity * taken + (1 - purity)
    through = torch.exp(-depth[:, None] * thickness[:, None] * taken)
    return Cover(through, 1 - torch.exp(-thickness * depth))
