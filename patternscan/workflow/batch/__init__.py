"""Many photos at once: the list of them, who does the work, what is kept of it, and the table at the end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from patternscan.doors import door

if TYPE_CHECKING:
    from patternscan.workflow.batch import machines as machines
    from patternscan.workflow.batch import readings as readings
    from patternscan.workflow.batch import run as run
    from patternscan.workflow.batch import summary as summary
    from patternscan.workflow.batch import task as task
else:
    __getattr__ = door(__name__, "machines", "readings", "run", "summary", "task")
