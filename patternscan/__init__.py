"""Photos of blued worm-wheel teeth in, the direction to move the wheel out.

Read both flanks of a wheel before and after a change of its shims, ask which way it has to move, and whether it helped:

>>> from patternscan import Flank, compare, judge, load_outlines, load_photo, load_sheet, read_flank
>>> sheet = load_sheet("sample_images/goods_lift.toml")
>>> pair = sheet.gear.worm_pair()
>>> judgements = []
>>> for state in ("before", "after"):
...     readings = {}
...     for flank in Flank:
...         name = f"sample_images/goods_lift_{state}_{flank}"
...         (outline,) = load_outlines(f"{name}.outline.json")
...         readings[flank] = read_flank(load_photo(f"{name}.jpg"), outline, sheet.marking, pair=pair)
...     judgements.append(judge([readings[Flank.LEFT]], [readings[Flank.RIGHT]], sheet))
>>> print(judgements[0].advice.move)
toward-B
>>> print(compare(*judgements).verdict)
better

Compute where the pattern of such a pair would lie with the wheel 0.1 mm too far toward end A:

>>> from patternscan import Placement, predict
>>> prediction = predict(pair, Placement(wheel_toward_a_mm=0.1))
>>> print(f"{prediction.stands.shared_shift(prediction.film_um):.2f} of the face width toward end B")
0.13 of the face width toward end B

Every name here is loaded when it is first used. What cannot be done raises a PatternscanError, whose ``found`` and
``remedy`` are two plain sentences. Places and shifts are fractions of the flank: along the face from end A (0) to end B
(1), up from the root (0) to the tip (1).
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from patternscan.version import __version__

if TYPE_CHECKING:
    from patternscan.errors import (
        InconsistentInputs,
        NoCompound,
        NoTrustworthyOutline,
        PatternscanError,
        UnreadablePhoto,
        WrongUse,
    )
    from patternscan.frame import Compound, End, Flank, Marking
    from patternscan.gearing.contact import PairContact, roll_pair, trim_hob
    from patternscan.gearing.pair import Hand, Placement, Profile, WormPair
    from patternscan.gearing.worm import worm_thread
    from patternscan.judging.judgement import Judgement
    from patternscan.judging.prediction import Prediction
    from patternscan.judging.states.change import Change
    from patternscan.measuring.interval import Interval
    from patternscan.measuring.reading import Reading
    from patternscan.reporting.text.cautions import caution_message, caution_remedy
    from patternscan.reporting.text.findings import finding_message
    from patternscan.reporting.text.reasons import reason_sentence
    from patternscan.reporting.text.reports.judgement import judgement_report
    from patternscan.reporting.text.reports.reading import reading_report
    from patternscan.seeing.geometry.outline import Outline, PictureSide
    from patternscan.seeing.image.photo import Photo, load_photo
    from patternscan.seeing.outline_search.hint import Hint
    from patternscan.seeing.outline_search.search import find_outlines
    from patternscan.setting.machine.sheet import Sheet
    from patternscan.workflow.compare import compare
    from patternscan.workflow.inputs.outlines import load_outlines
    from patternscan.workflow.inputs.settings import load_sheet
    from patternscan.workflow.judge import judge
    from patternscan.workflow.predict import predict
    from patternscan.workflow.read import read_flank

_HOMES = {
    "errors": (
        "InconsistentInputs",
        "NoCompound",
        "NoTrustworthyOutline",
        "PatternscanError",
        "UnreadablePhoto",
        "WrongUse",
    ),
    "frame": ("Compound", "End", "Flank", "Marking"),
    "gearing.contact": ("PairContact", "roll_pair", "trim_hob"),
    "gearing.pair": ("Hand", "Placement", "Profile", "WormPair"),
    "gearing.worm": ("worm_thread",),
    "judging.states.change": ("Change",),
    "judging.judgement": ("Judgement",),
    "measuring.interval": ("Interval",),
    "measuring.reading": ("Reading",),
    "judging.prediction": ("Prediction",),
    "reporting.text.cautions": ("caution_message", "caution_remedy"),
    "reporting.text.findings": ("finding_message",),
    "reporting.text.reasons": ("reason_sentence",),
    "reporting.text.reports.judgement": ("judgement_report",),
    "reporting.text.reports.reading": ("reading_report",),
    "seeing.geometry.outline": ("Outline", "PictureSide"),
    "seeing.image.photo": ("Photo", "load_photo"),
    "seeing.outline_search.hint": ("Hint",),
    "seeing.outline_search.search": ("find_outlines",),
    "setting.machine.sheet": ("Sheet",),
    "workflow.compare": ("compare",),
    "workflow.inputs.outlines": ("load_outlines",),
    "workflow.inputs.settings": ("load_sheet",),
    "workflow.judge": ("judge",),
    "workflow.predict": ("predict",),
    "workflow.read": ("read_flank",),
}

__all__ = [
    "Change",
    "Compound",
    "End",
    "Flank",
    "Hand",
    "Hint",
    "InconsistentInputs",
    "Interval",
    "Judgement",
    "Marking",
    "NoCompound",
    "NoTrustworthyOutline",
    "Outline",
    "PairContact",
    "PatternscanError",
    "Photo",
    "PictureSide",
    "Placement",
    "Prediction",
    "Profile",
    "Reading",
    "Sheet",
    "UnreadablePhoto",
    "WormPair",
    "WrongUse",
    "__version__",
    "caution_message",
    "caution_remedy",
    "compare",
    "find_outlines",
    "finding_message",
    "judge",
    "judgement_report",
    "load_outlines",
    "load_photo",
    "load_sheet",
    "predict",
    "read_flank",
    "reading_report",
    "reason_sentence",
    "roll_pair",
    "trim_hob",
    "worm_thread",
]


if not TYPE_CHECKING:

    def __getattr__(name: str) -> object:
        """A public name, loaded from where it lives (PEP 562)."""
        for home, names in _HOMES.items():
            if name in names:
                return getattr(import_module(f"patternscan.{home}"), name)
        raise AttributeError(f"module 'patternscan' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
