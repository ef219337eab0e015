"""One file replaced in one step: whoever reads it meanwhile sees the older one or the new one, whole."""

from __future__ import annotations

import io
import os
import shutil
from contextlib import suppress
from pathlib import Path
from tempfile import mkstemp
from typing import IO

from patternscan.errors import CannotWrite

PREFIX = ".waiting-"


def replace_file(path: Path, content: bytes | IO[bytes]) -> None:
    """Put a file onto the disk under its name, in place of an older one; a stream is copied piece by piece.

    Raises CannotWrite; then all is as it was.
    """
    waiting: str | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, waiting = mkstemp(prefix=PREFIX, dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            shutil.copyfileobj(io.BytesIO(content) if isinstance(content, bytes) else content, file)
            file.flush()
            os.fsync(file.fileno())
        os.replace(waiting, path)
    except OSError as error:
        if waiting is not None:
            with suppress(OSError):
                os.unlink(waiting)
        told = f"{path} cannot be written: {error.strerror or error}."
        raise CannotWrite(told, "Make room on the disk, or give another folder.") from error
