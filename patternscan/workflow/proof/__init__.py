"""What a person's own photographs prove: readings beside their truth, what is kept of that, and what is given away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.workflow.proof import kept as kept
else:
    __getattr__ = door(__name__, "kept")
