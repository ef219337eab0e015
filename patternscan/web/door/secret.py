"""The secret with which cookies are signed, kept in the folder so that devices stay known after a restart."""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from patternscan.errors import CannotWrite

NAME = ".serve-key"
BYTES = 32


def kept_secret(folder: Path) -> bytes:
    """The secret of this folder, made when it is missing, for this person alone to read. Raises CannotWrite."""
    path = folder / NAME
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT, 0o600), "r+b") as file:
            content = file.read()
            if len(content) != BYTES:
                content = secrets.token_bytes(BYTES)
                file.seek(0)
                file.truncate()
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            return content
    except OSError as error:
        raise CannotWrite(
            f"{path} cannot be written: {error.strerror or error}.", "Give a folder that you may write to."
        ) from error
