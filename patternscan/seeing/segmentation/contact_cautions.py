"""What makes a reading of the compound uncertain."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

import cv2
import numpy as np

from patternscan.calibration.marking import UNCLEAR_IOU
from patternscan.cautions import Caution, caution
from patternscan.frame import Compound, End, Marking
from patternscan.seeing.segmentation.film import Mask
from patternscan.seeing.segmentation.film_split import FilmSplit
from patternscan.seeing.segmentation.fused import FusedSegmentation

RIVAL_NAME = 0.25
"""A second name that is likelier than this is told."""
UNLIKELY_NAME = 0.05
"""A compound that a person named is none when its name is less likely than this. On the photographs of dev, rims and
port that were read, right names were likelier than 0.89 (61), wrong ones less likely than 0.1 (214)."""
MUCH_CONTACT, HOPELESS_CONTACT = 0.65, 0.8
"""Parts of the flank from which on its contact says little of the place of the wheel, and next to nothing."""
ALL_OVER = {
    (Marking.TRANSFER, False): "thick-coat",
    (Marking.TRANSFER, True): "marked-all-over",
    (Marking.RUB_OFF, False): "rubbed-all-over",
    (Marking.RUB_OFF, True): "rubbed-bare",
}
OTHER_PLACE, FAR_APART = 0.25, 0.2
"""A second patch of contact this large, as a part of the largest one, whose middle lies so far from that one's along
the face (face widths) may be the only one that counts, or none: a smear, lines that the brush left bare, a
reflection."""
LEAST_PRINT = 0.05
"""A print smaller than this part of the flank is easily a smear or a reflection; thin films print a tenth or more."""


BARE_END, END_STRIP = 0.2, 1 / 64
"""Part of an end's height that is rubbed bare from which on nobody can see whether it was painted, and the part of the
face width that is looked at there. On 18 flanks painted whole (dev, rims, port) it was 0.12 at most. With the paint of
15 or 28 % at one end turned into metal, 65 readings of theirs were off by more than 5 %: this asks, or tells of two
places, or the marking is doubted, on 62."""


def cautions_of_fused(fused: FusedSegmentation, names: Mapping[Compound, float], like_metal: bool) -> Iterator[Caution]:
    """Contact that can hardly be told from metal, and compound whose name is uncertain, most likely name first.

    ``like_metal``: what is taken for a print looks like the metal beside the flank.
    """
    if fused.unclear or like_metal:
        yield caution("contact-unclear")
    elif fused.faint:
        yield caution("weak-contrast")
    first, *others = names
    if others and names[others[0]] > RIVAL_NAME:
        yield caution("compound-uncertain", seen=first.value, rival=others[0].value)


def cautions_of_marking(other_marking: float, told: Marking) -> Iterator[Caution]:
    """A flank that looks more like the other marking than the one that was told."""
    if other_marking > 0:
        yield caution("marking-doubtful", told=told.value, seen=told.other.value)


def cautions_of_told(told: Compound, names: Mapping[Compound, float]) -> Iterator[Caution]:
    """A compound that a person named and that looks like another, most likely name first; many shops call violet layout
    dye blue.
    """
    seen = next(iter(names))
    if names[told] < UNLIKELY_NAME:
        dye = (told, seen) == (Compound.BLUE, Compound.VIOLET)
        yield caution("compound-unlike" if dye else "compound-wrong", told=told.value, seen=seen.value)


def cautions_of_film(readings: Sequence[FilmSplit], fused: FusedSegmentation, name: Compound) -> Iterator[Caution]:
    """Film that colours alone may mistake for mirrored bronze, best reading first, and that is not plain otherwise."""
    if fused.plain or fused.agreed or fused.expected_iou >= UNCLEAR_IOU or not readings:
        return
    best = readings[0]
    if best.beyond < best.pigment.maybe_metal_below:
        yield caution("bare-metal", compound=name.value)


def cautions_of_places(contact: Mask, bare_ends: Collection[End] = ()) -> Iterator[Caution]:
    """Two patches of contact far from each other: the pattern's place has two possible answers.

    ``bare_ends`` are asked about already (``cautions_of_ends``): where the lesser patch reaches one of them it is the
    same fault, and whether it was painted there decides whether it is contact. A lesser one elsewhere may be a smear.
    """
    count, labels, stats, middles = cv2.connectedComponentsWithStats(contact.astype(np.uint8), connectivity=8)
    if count < 3:
        return
    areas = stats[1:, cv2.CC_STAT_AREA]
    largest, second = np.argsort(-areas)[:2]
    along, other = ((middles[1 + patch, 0] + 0.5) / contact.shape[1] for patch in (largest, second))
    told = any((labels[:, _strip(contact, end)] == 1 + second).any() for end in bare_ends)
    if areas[second] >= OTHER_PLACE * areas[largest] and abs(along - other) >= FAR_APART and not told:
        yield caution("two-places", along=float(along), other=float(other))


def cautions_of_ends(contact: Mask, judged: Mask, marking: Marking) -> Iterator[Caution]:
    """Bare metal that runs to an end of a flank that was painted: rubbed off there, or never painted."""
    yield from (caution("bare-to-end", end=end.value) for end in _bare_ends(contact, judged, marking))


def cautions_of_shape(contact: Mask, judged: Mask, marking: Marking) -> Iterator[Caution]:
    """What only a person can tell of the contact's patches, each of them asked about once."""
    yield from cautions_of_places(contact & judged, _bare_ends(contact, judged, marking))
    yield from cautions_of_ends(contact, judged, marking)


def _bare_ends(contact: Mask, judged: Mask, marking: Marking) -> Sequence[End]:
    """The ends up to which a flank is bare that was painted."""
    strips = {end: (contact & judged)[:, _strip(contact, end)] for end in End}
    return [end for end, bare in strips.items() if marking is Marking.RUB_OFF and bare.mean() > BARE_END]


def _strip(contact: Mask, end: End) -> slice:
    """The columns along an end of the flank."""
    strip = max(1, round(contact.shape[1] * END_STRIP))
    return slice(0, strip) if end is End.A else slice(-strip, None)


def cautions_of_contact(contact: Mask, judged: Mask, marking: Marking) -> Iterator[Caution]:
    """A flank that carries no contact, or hardly anything else."""
    coverage = float(contact[judged].mean()) if judged.any() else 0.0
    if coverage > MUCH_CONTACT:
        yield caution(ALL_OVER[marking, coverage > HOPELESS_CONTACT], share=coverage)
    elif coverage == 0.0:
        yield caution("no-contact")
    elif coverage < LEAST_PRINT:
        yield caution("tiny-print" if marking is Marking.TRANSFER else "hardly-rubbed", share=coverage)
