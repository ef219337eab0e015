"""The worm pair as geometry: surfaces, meshing and the unloaded contact. Cylindrical worms only; numpy only."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.gearing import contact as contact
else:
    __getattr__ = door(__name__, "contact")
