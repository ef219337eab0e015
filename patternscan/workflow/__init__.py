"""What a person wants done, once: a frozen request in, a frozen result out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.workflow import delivery as delivery
else:
    __getattr__ = door(__name__, "delivery")
