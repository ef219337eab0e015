"""The pages among slow, broken and hostile clients and files: what they answer, how long others wait, what is left."""

from __future__ import annotations

import http.client
import io
import os
import random
import re
import socket
import statistics
import struct
import tempfile
import threading
import time
import zlib
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from PIL import Image

from patternscan.web.drafts.look import Look
from patternscan.web.drafts.store import DraftStore
from tests.benchmarks.served_phone import FORM, SAMPLE, Phone, Server, free_port

SLOW_CLIENTS, SLOW_SECONDS = 24, 20.0
BROKEN_UPLOADS = 100
NAMES = 300
BOMB_SIDE = 30_000
PATIENCE_S = 120.0
PLAIN = re.compile(r"[.\w-]+", re.ASCII)
HOSTILE = (
    "../",
    "..\\",
    "/etc/passwd",
    "\0",
    "%00",
    "%2e%2e%2f",
    "CON",
    "nul.",
    "a" * 300,
    "\u202egnp.",
    "'; --",
    "<b>",
)
CONTENT_TYPES = (
    "",
    "text/plain",
    "application/json",
    "multipart/form-data",
    "image/jpeg",
    "text/html; charset=x",
    "a/b/c",
)


def limits() -> None:
    """Try all of it on one server, and say what came of it."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "served"
        server = Server.start(folder, free_port())
        try:
            for trial in (slow_clients, broken_uploads, hostile_names, wrong_contents, bombs):
                print(f"{trial.__name__}: {trial(server, folder)}; memory {server.memory_mb():.0f} MB", flush=True)
            beside = sorted(one.name for one in Path(place).iterdir())
            print(f"beside the served folder: {beside}; a page still answers {Phone(server.port).get('/')[0]}")
        finally:
            server.kill()


def begun(server: Server) -> tuple[Phone, str]:
    """A phone with a reading of its own that asks for a photo."""
    phone = Phone(server.port)
    key = phone.post("/readings/new", name="R. Moss")[1].strip("/").split("/")[1]
    phone.post(f"/readings/{key}/machine", machine="")
    phone.post(f"/readings/{key}/marking", marking="transfer")
    return phone, key


def slow_clients(server: Server, _: Path) -> str:
    """Clients that send a byte a second, of a head or of a photo, while another one asks for pages."""
    phone, key = begun(server)
    head = f"POST /readings/{key}/photos/parts/ab HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 90000\r\n"
    head += f"X-Form-Token: {phone.token}\r\nCookie: {phone.cookie}\r\n\r\n"
    stop = threading.Event()
    for number in range(SLOW_CLIENTS):
        content = (head if number % 2 else "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: " + "x" * 900).encode()
        threading.Thread(target=drip, args=(server.port, content, stop), daemon=True).start()
    times, since = list[float](), time.monotonic()
    while time.monotonic() - since < SLOW_SECONDS:
        asked = time.monotonic()
        phone.get("/")
        times.append(time.monotonic() - asked)
    stop.set()
    return f"{SLOW_CLIENTS} at once, pages {statistics.median(times):.3f} s median, {max(times):.3f} s at most"


def drip(port: int, content: bytes, stop: threading.Event) -> None:
    """All but the last piece at once, then a byte a second."""
    with suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=60) as one:
        one.sendall(content[:-40] if content.startswith(b"GET") else content)
        for byte in content[-40:] if content.startswith(b"GET") else b"\xff\xd8" * 60:
            if stop.wait(1.0):
                return
            one.sendall(bytes([byte]))


def broken_uploads(server: Server, folder: Path) -> str:
    """Photos that break off anywhere, then one that goes on where it broke off."""
    phone, key = begun(server)
    content, source = SAMPLE.read_bytes(), random.Random(1)
    address = f"/readings/{key}/photos/parts/abc"
    kept = 0
    for _ in range(BROKEN_UPLOADS):
        connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
        with suppress(OSError):
            connection.putrequest("POST", f"{address}?at={kept}")
            for name, value in (("X-Form-Token", phone.token), ("Cookie", phone.cookie), ("Content-Length", "65536")):
                connection.putheader(name, value)
            connection.endheaders()
            connection.send(content[kept : kept + source.randrange(1, 60_000)])
        connection.close()
        kept = int("".join(filter(str.isdigit, phone.get(address)[1])))
    while kept < len(content):
        phone.piece(f"{address}?at={kept}", content[kept : kept + 65_536])
        kept = int("".join(filter(str.isdigit, phone.get(address)[1])))
    phone.post(f"/readings/{key}/photos/", flank="left", upload="abc", size=str(kept), name="a.jpg")
    drafts = DraftStore(folder / "readings").folder(key)
    whole = drafts.photo_path(drafts.read().photos[0]).read_bytes() == content
    return f"{BROKEN_UPLOADS} broke off, the photo came whole: {whole}"


def hostile_names(server: Server, folder: Path) -> str:
    """Names of files, machines, uploads and readings that no honest page sends."""
    phone, key = begun(server)
    codes: Counter[int] = Counter()
    for name in names():
        codes[phone.post("/readings/new", name="R. Moss", machine=name)[0]] += 1
        codes[phone.post(f"/readings/{key}/machine", machine="new", new=name)[0]] += 1
        codes[phone.post(f"/readings/{key}/photos/", flank="left", upload=name, size="3", name=name)[0]] += 1
        with suppress(http.client.InvalidURL, UnicodeEncodeError):
            codes[phone.get(f"/readings/{name}/")[0]] += 1
            codes[phone.get(f"/machines/{name}/archive.zip")[0]] += 1
    strange = [one.name for one in folder.iterdir() if PLAIN.fullmatch(one.name) is None]
    return f"{NAMES} names, answers {told(codes)}, folders with strange names: {strange or 'none'}"


def names() -> Iterator[str]:
    """Hostile pieces put together by chance."""
    source = random.Random(2)
    for _ in range(NAMES):
        yield "".join(source.choice(HOSTILE) for _ in range(source.randrange(1, 4)))


def wrong_contents(server: Server, _: Path) -> str:
    """Forms whose content is not what its type says."""
    phone, key = begun(server)
    codes: Counter[int] = Counter()
    places = (
        "/readings/new",
        f"/readings/{key}/marking",
        f"/readings/{key}/photos/",
        f"/readings/{key}/photos/1/corners",
    )
    for place in places:
        for kind in CONTENT_TYPES:
            for content in (b"", b"{", b"token=" + phone.token.encode(), os.urandom(5000), b"--x\r\n" * 2000):
                head = {"Content-Type": kind, "Cookie": phone.cookie, "X-Form-Token": phone.token}
                codes[asked(server.port, "POST", place, content, head)] += 1
    for method in ("PUT", "DELETE", "TRACE", "BREW", "HEAD"):
        codes[asked(server.port, method, "/", b"", {})] += 1
    large = {"Content-Type": FORM, "X-Form-Token": phone.token, "Cookie": phone.cookie}
    codes[asked(server.port, "POST", "/readings/new", b"name=" + b"x" * 5_000_000, large)] += 1
    return f"answers {told(codes)}"


def asked(port: int, method: str, place: str, content: bytes, head: dict[str, str]) -> int:
    """The status, 0 for a connection that was closed."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection.request(method, place, content, head)
        return connection.getresponse().status
    except (OSError, http.client.HTTPException):
        return 0
    finally:
        connection.close()


def told(codes: Counter[int]) -> str:
    """How often each status came."""
    return ", ".join(f"{code}: {count}" for code, count in sorted(codes.items()))


def bombs(server: Server, folder: Path) -> str:
    """Small files that become very large pictures."""
    said, most = [], 0.0
    for kind, content in (
        ("PNG", png_bomb()),
        ("GIF", gif_bomb()),
        ("TIFF", tiff_bomb()),
        ("rubbish", os.urandom(90_000)),
    ):
        phone, key = begun(server)
        asked_at = time.monotonic()
        phone.piece(f"/readings/{key}/photos/parts/ab?at=0", content)
        phone.post(f"/readings/{key}/photos/", flank="left", upload="ab", size=str(len(content)), name=f"a.{kind}")
        look, memory = looked(server, phone, folder, key)
        most = max(most, memory)
        stopped = "taken" if look is None or look.stop is None else "refused"
        said.append(f"{kind} of {len(content) / 1e6:.1f} MB {stopped} in {time.monotonic() - asked_at:.1f} s")
    return f"{', '.join(said)}, {most:.0f} MB at most"


def looked(server: Server, phone: Phone, folder: Path, key: str) -> tuple[Look | None, float]:
    """What came of the photo, and the most memory meanwhile; None after a long time without an answer."""
    drafts = DraftStore(folder / "readings").folder(key)
    since, most = time.monotonic(), 0.0
    while time.monotonic() - since < PATIENCE_S:
        phone.get(f"/readings/{key}/")
        most = max(most, server.memory_mb())
        photos = drafts.read().photos
        look = drafts.look(photos[0]) if photos else None
        if look is not None:
            return look, most
        time.sleep(0.1)
    return None, most


def png_bomb() -> bytes:
    """Nothing but black, 900 megapixels."""
    rows = zlib.compress(bytes((BOMB_SIDE // 8 + 1) * BOMB_SIDE), 9)
    head = struct.pack(">IIBBBBB", BOMB_SIDE, BOMB_SIDE, 1, 0, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", rows), (b"IEND", b""))
    parts = (
        struct.pack(">I", len(one)) + name + one + struct.pack(">I", zlib.crc32(name + one)) for name, one in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def gif_bomb() -> bytes:
    """A small picture whose head says that it is very large."""
    memory = io.BytesIO()
    Image.new("P", (64, 64)).save(memory, "GIF")
    content = bytearray(memory.getvalue())
    content[6:10] = struct.pack("<HH", BOMB_SIDE, BOMB_SIDE)
    return bytes(content)


def tiff_bomb() -> bytes:
    """Black, packed, 400 megapixels."""
    memory = io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(memory, "TIFF", compression="group4")
    return memory.getvalue()
