"""Files of text that come in: ordinary ones of a bearable size, and never a device or a pipe."""

from __future__ import annotations

import errno
import stat
from pathlib import Path

MOST_BYTES = 32_000_000
"""A log of 10,000 judgements has 15 MB, and no sheet, list, outline or result comes near it."""


def text_bytes(path: Path) -> bytes:
    """The content of a file. Raises OSError, also for what is no ordinary file and for what is too large for text."""
    state = path.stat()
    if not stat.S_ISREG(state.st_mode):
        kind = "it is a folder" if stat.S_ISDIR(state.st_mode) else "it is no ordinary file"
        raise OSError(errno.EINVAL, kind, str(path))
    if state.st_size > MOST_BYTES:
        raise OSError(errno.EFBIG, f"it is larger than {MOST_BYTES // 1_000_000} MB", str(path))
    with path.open("rb") as file:
        return file.read(MOST_BYTES)
