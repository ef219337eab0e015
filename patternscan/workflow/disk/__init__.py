"""Files on the disk: whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.workflow.disk import delivery as delivery
else:
    __getattr__ = door(__name__, "delivery")
