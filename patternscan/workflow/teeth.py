"""The teeth that the readings of one flank are of: one that was read more than once is still one tooth."""

from __future__ import annotations

from collections.abc import Iterable

from patternscan.cautions import Caution, caution
from patternscan.measuring.measurement import Measurement
from patternscan.measuring.reading import Reading
from patternscan.seeing.quality.same_flank import detail_of, same_flank

Teeth = tuple[tuple[Reading, ...], ...]
"""The readings of each tooth."""
NUMBERED = frozenset("1234")
"""Names that teeth in a photo get of themselves, so that those of two photos may share them."""


def teeth_of(readings: Iterable[Reading]) -> Teeth:
    """The readings of one flank by the tooth that they show, in their order: one by its name, or by its metal."""
    teeth: list[tuple[Reading, ...]] = []
    for one in readings:
        same = next((at for at, tooth in enumerate(teeth) if any(_one_tooth(one, other) for other in tooth)), None)
        if same is None:
            teeth.append((one,))
        else:
            teeth[same] += (one,)
    return tuple(teeth)


def measured(teeth: Teeth) -> list[list[Measurement]]:
    """What was measured on each tooth."""
    return [[one.measurement for one in tooth] for tooth in teeth]


def counted_once(teeth: Teeth) -> Iterable[Caution]:
    """What to say of each tooth that was given more than once."""
    for tooth in teeth:
        if len(tooth) > 1:
            yield caution("tooth-twice", tooth[0].outline.flank, photos=", ".join(one.photo.name for one in tooth))


def _one_tooth(one: Reading, other: Reading) -> bool:
    """Two flanks in one photo are of two teeth; a print on tape or paper shows no metal."""
    if one.photo is other.photo:
        return False
    names = {" ".join(reading.outline.tooth.split()).casefold() for reading in (one, other)}
    if len(names) == 1 and not names <= NUMBERED:
        return True
    on_metal = one.outline.lift is None and other.outline.lift is None
    return on_metal and same_flank(*(detail_of(each.rectified, each.contact_map.contact) for each in (one, other)))
