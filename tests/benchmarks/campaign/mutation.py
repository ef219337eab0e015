"""Damage by chance: bytes and text as broken disks, half copies and careless editors leave them."""

from __future__ import annotations

import json
from random import Random
from typing import Any

HOSTILE = (
    *("", " ", "\n# forged", "\x1b[31m", "\u202e", "\u2028", "\ud800", "x" * 5000, "../../etc", "<script>", "=1+1"),
    *("9" * 400, "9" * 5000, "1e308", "-1", "0", "NaN", "null", "[]", "[" * 3000, "{}", '"', "\x00", "\ufeff", "\r"),
)
WRONG: tuple[Any, ...] = (None, True, -1, 0, 1e308, 10**400, "", "x" * 5000, "a\nb\x1b[2J", [], {}, [[[]]], [1, 2])


def damaged(content: bytes, chance: Random) -> bytes:
    """Bytes changed, cut off, doubled or overwritten at one to eight places."""
    data = bytearray(content)
    for _ in range(chance.randint(1, 8)):
        at, size = chance.randrange(len(data) + 1), chance.randint(1, 64)
        match chance.randrange(5):
            case 0:
                data[at : at + 1] = bytes([chance.randrange(256)])
            case 1:
                data[at : at + size] = chance.randbytes(size)
            case 2:
                del data[at : at + size]
            case 3:
                data[at:at] = data[max(at - size, 0) : at] * chance.randint(1, 4)
            case _ if chance.random() < 0.2:
                del data[at:]
            case _:
                data[: min(at, 64)] = chance.randbytes(min(at, 64, len(data)))[: len(data)]
    return bytes(data)


def garbled(content: bytes, chance: Random) -> bytes:
    """Text with hostile words put in or in place of some of it; JSON also with a wrong value at one place."""
    text = content.decode()
    if chance.random() < 0.5 and text[:1] == "{" and "\n{" not in text:
        document = json.loads(text)
        _put_wrong(document, chance)
        return json.dumps(document).encode()
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(text) + 1)
        text = text[:at] + chance.choice(HOSTILE) + text[at + chance.choice((0, 0, 1, 5, 50)) :]
    return text.encode("utf-8", "surrogatepass")


def _put_wrong(document: Any, chance: Random) -> None:
    """One value of a document, at any depth, becomes a wrong one."""
    while True:
        keys = list(document) if isinstance(document, dict) else range(len(document))
        key = chance.choice(list(keys))
        inner = document[key]
        if isinstance(inner, dict | list) and inner and chance.random() < 0.8:
            document = inner
            continue
        document[key] = chance.choice(WRONG)
        return
