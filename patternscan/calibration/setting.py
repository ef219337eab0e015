"""Setting: the job around the photos."""

from __future__ import annotations

from typing import Annotated

from patternscan.calibration.origin import JUDGED, TRADE, Chosen

PACK_TOLERANCE_MM: Annotated[float, Chosen("mm", TRADE)] = 0.01
"""A pack counts as the wanted one within this: what a workshop micrometer can tell apart."""
UNEVEN_BACKLASH: Annotated[float, Chosen("part of the mean backlash", TRADE)] = 0.25
"""From which the spread of backlash round the wheel is worth a hint."""
ABSURD_TIMES: Annotated[float, Chosen("ratio", TRADE)] = 3.0
"""A reading beyond so many times the maker's most, or the median of its fellows, is asked back; and so is a change of
shims that is so many times the one advised."""
ABSURD_PLAY_MM: Annotated[float, Chosen("mm", TRADE)] = 1.0
ABSURD_CHANGE_MM: Annotated[float, Chosen("mm", TRADE)] = 1.0
ABSURD_PACK_MM: Annotated[float, Chosen("mm", TRADE)] = 5.0
"""Where sheet and advice tell no more: end plays, errors of line, changes of shims and packs beyond these are asked
back. Whoever writes inches for millimetres is beyond them."""
SMALLEST_MOVE_MM: Annotated[float, Chosen("mm", JUDGED)] = 0.005
SMALLEST_TURN_DEG: Annotated[float, Chosen("degrees", JUDGED)] = 0.0005
"""Below these nothing is said of what a turn of the carriers did to the centres and to the shaft."""
