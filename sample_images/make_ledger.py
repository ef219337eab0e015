"""Keep the checksums in LEDGER.md: `python sample_images/make_ledger.py` rewrites them, `--check` only compares.

Every file here has a row (file, what it shows, origin, sha256); a person writes the first three columns.
"""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Iterator
from pathlib import Path

HERE = Path(__file__).parent
LEDGER = HERE / "LEDGER.md"


def files() -> list[str]:
    """Every file here but the ledger, as a path with forward slashes."""
    found = (path.relative_to(HERE) for path in HERE.rglob("*") if path.is_file() and path != LEDGER)
    return sorted(path.as_posix() for path in found if "__pycache__" not in path.parts)


def rows(text: str) -> Iterator[list[str]]:
    """The ledger's rows as their four columns."""
    for line in text.splitlines():
        if line.startswith("| `"):
            yield [column.strip().strip("`") for column in line.strip("|").split("|")]


def checksum(name: str) -> str:
    """SHA-256 of a file here."""
    return hashlib.sha256((HERE / name).read_bytes()).hexdigest()


def faults(text: str) -> list[str]:
    """What is wrong with the ledger: files without a row, rows without a file, empty columns, wrong checksums."""
    ledger = {row[0]: row for row in rows(text)}
    there = files()
    missing = [f"{name} has no row" for name in there if name not in ledger]
    gone = [f"{name} has a row but is not there" for name in ledger if name not in there]
    empty = [f"{name}: what it shows or its origin is not said" for name, row in ledger.items() if not all(row[1:3])]
    wrong = [f"{name} has another checksum" for name in there if name in ledger and ledger[name][3] != checksum(name)]
    return [*missing, *gone, *empty, *wrong]


def rewritten(text: str) -> str:
    """The ledger with its last column computed anew; rows of files that are gone are kept for a person to remove."""
    there, lines = set(files()), []
    for line in text.splitlines():
        row = next(rows(line), None)
        if row is not None and row[0] in there:
            line = f"| `{row[0]}` | {row[1]} | {row[2]} | `{checksum(row[0])}` |"
        lines.append(line)
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    content = LEDGER.read_text(encoding="utf-8")
    if "--check" not in sys.argv[1:]:
        content = rewritten(content)
        LEDGER.write_text(content, encoding="utf-8")
    found = faults(content)
    sys.stdout.write("".join(f"{fault}\n" for fault in found))
    raise SystemExit(bool(found))
