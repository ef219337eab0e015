"""What is to be read, as a person gave it: photos with their outlines, and how they are to be read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.workflow.inputs import own_proof as own_proof
else:
    __getattr__ = door(__name__, "own_proof")
