"""Prints of worm pairs that an independent program computed for its rendered photographs, beside ours."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from patternscan.frame import Flank
from patternscan.gearing.contact import roll, trim_hob
from patternscan.gearing.pair import Hand, Placement, Profile, WormPair
from patternscan.gearing.wheel_flank import cut_flank
from patternscan.gearing.worm import Numbers


def points_apart() -> Numbers:
    """Our print less theirs, (prints, 3): coverage, along and up in points (hundredths)."""
    text = Path(__file__).with_name("rendered_pairs.json").read_text(encoding="utf-8")
    return np.array([_apart(known) for known in json.loads(text)["prints"]])


def _apart(known: dict[str, Any]) -> list[float]:
    words = {"hand": Hand(known["gear"]["hand"]), "profile": Profile(known["gear"]["profile"])}
    wheel = cut_flank(trim_hob(WormPair(**known["gear"] | words)), Flank(known["flank"]))
    contact = roll(wheel, Placement(**known["placement"]))
    middle = contact.centroid(known["film_um"])
    assert middle is not None
    found = {"coverage": contact.coverage(known["film_um"]), "along": middle.along, "up": middle.up}
    return [100 * (value - known["print"][name]) for name, value in found.items()]
