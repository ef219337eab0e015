"""What is said of both flanks together when their teeth are ever more unlike, or fit the gear data ever less."""

from __future__ import annotations

from collections import Counter
from types import SimpleNamespace
from typing import Any

import numpy as np

from patternscan.seeing.geometry.outline import OutlineSource
from patternscan.workflow.pairing import _loose_gear, _two_shapes


def pairing_figures() -> dict[str, float]:
    """How often each caution is given."""
    told: Counter[str] = Counter()
    for apart in np.linspace(0, 1, 101):
        one, other = (seen(slenderness=3.6 + float(more)) for more in (0, apart))
        told.update(caution.code for caution in _two_shapes([one], [other]))
    for rms in np.linspace(0, 0.02, 101):
        loose = seen(pair="known", fit=SimpleNamespace(rms=float(rms)))
        told.update(caution.code for caution in _loose_gear([loose], [loose]))
    return {code: float(count) for code, count in told.items()}


def seen(pair: object = None, **pose: object) -> Any:
    """What is asked of a reading here: a found outline and the pose that fits it."""
    outline = SimpleNamespace(source=OutlineSource.FOUND)
    return SimpleNamespace(outline=outline, flank_map=SimpleNamespace(pose=SimpleNamespace(pair=pair, **pose)))
