"""One file replaced in one step: whoever reads it meanwhile sees the older one or the new one, whole."""

from __future__ import annotations

import io
import os
import shutil
from contextlib import suppress
from pathlib import Path
from secrets import token_hex
from typing import IO

from patternscan.errors import CannotWrite

PREFIX = ".waiting-"


def replace_file(path: Path, content: bytes | IO[bytes]) -> None:
    """Put a file onto the disk under its name, in place of an older one; a stream is copied piece by piece.

    It may be read by whom the folder's other files may be read. Raises CannotWrite; then all is as it was.
    """
    waiting = path.parent / f"{PREFIX}{token_hex(8)}"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with waiting.open("xb") as file:
            shutil.copyfileobj(io.BytesIO(content) if isinstance(content, bytes) else content, file)
            file.flush()
            os.fsync(file.fileno())
        os.replace(waiting, path)
    except OSError as error:
        with suppress(OSError):
            waiting.unlink()
        told = f"{path} cannot be written: {error.strerror or error}."
        raise CannotWrite(told, "Make room on the disk, or give another folder.") from error
