"""The pages under stress: killed at random moments, and with many photos and devices at once.

``python tests/benchmarks/served.py kills --number 100`` kills the server at random moments while a phone sends photos
and entries, and looks after each restart whether anything that was acknowledged is gone.
``python tests/benchmarks/served.py load`` sends 40 photos of 12 megapixels from 8 devices and tells how long pages take
meanwhile, and the memory of the server with its processes.
"""

from __future__ import annotations

import argparse
import hashlib
import http.client
import io
import os
import random
import re
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

from PIL import Image

from patternscan.setting.log.events import Note
from patternscan.setting.log.job_log import read_log
from patternscan.web.drafts.store import DraftStore
from patternscan.workflow.job import start_job

SAMPLE = Path(__file__).parent.parent.parent / "sample_images" / "goods_lift_before_left.jpg"
PIECE = 1 << 16
START_SECONDS = 60.0
FORM = "application/x-www-form-urlencoded"


@dataclass
class Server:
    """The command in a process of its own."""

    folder: Path
    port: int
    process: subprocess.Popen[bytes]

    @classmethod
    def start(cls, folder: Path, port: int) -> Server:
        """Start it and wait until it answers."""
        command = [sys.executable, "-m", "patternscan", "serve", str(folder), "--port", str(port), "--no-browser"]
        process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
        begun = time.monotonic()
        while time.monotonic() - begun < START_SECONDS:
            with suppress(OSError, http.client.HTTPException):
                Phone(port).get("/")
                return cls(folder, port, process)
            time.sleep(0.02)
        raise RuntimeError("the server does not answer")

    def kill(self) -> None:
        """End it as the kernel does, without a last word."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def memory_mb(self) -> float:
        """Resident memory of the server and its children, MB (Linux: /proc)."""
        parents = {self.process.pid}
        for path in sorted(Path("/proc").glob("[0-9]*/stat")):
            with suppress(OSError, ValueError):
                if int(path.read_text().rpartition(")")[2].split()[1]) == self.process.pid:
                    parents.add(int(path.parent.name))
        return sum(_proportional_kb(pid) for pid in parents) / 1024


def _proportional_kb(pid: int) -> int:
    with suppress(OSError):
        found = re.search(r"^Pss:\s+(\d+)", Path(f"/proc/{pid}/smaps_rollup").read_text(), re.M)
        return int(found[1]) if found else 0
    return 0


@dataclass
class Phone:
    """A browser without pictures: it keeps its cookie and the token of the forms."""

    port: int
    cookie: str = ""
    token: str = ""

    def get(self, address: str) -> tuple[int, str]:
        """Status and page."""
        return self._asked("GET", address, None, {})[:2]

    def post(self, address: str, **form: str) -> tuple[int, str]:
        """Send a form; status and where it leads."""
        body = urlencode({"token": self._token(), **form}).encode()
        status, _, place = self._asked("POST", address, body, {"Content-Type": FORM})
        return status, place

    def piece(self, address: str, content: bytes) -> int:
        """Send a piece of a file; status."""
        return self._asked("POST", address, content, {"X-Form-Token": self._token()})[0]

    def _token(self) -> str:
        if not self.token:
            page = self.get("/readings/new")[1]
            self.token = page.partition('name="token" value="')[2].partition('"')[0]
        return self.token

    def _asked(self, method: str, address: str, body: bytes | None, head: dict[str, str]) -> tuple[int, str, str]:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.request(method, address, body, {**head, "Cookie": self.cookie})
            answer = connection.getresponse()
            page = answer.read().decode(errors="replace")
            for line in answer.headers.get_all("Set-Cookie") or ():
                self.cookie = line.partition(";")[0]
            return answer.status, page, answer.headers.get("Location") or ""
        finally:
            connection.close()


@dataclass
class Acknowledged:
    """What a phone was told is kept."""

    notes: list[str] = field(default_factory=list)
    readings: list[str] = field(default_factory=list)
    photos: list[tuple[str, str]] = field(default_factory=list)
    pieces: dict[tuple[str, str], int] = field(default_factory=dict)


def work(phone: Phone, told: Acknowledged, source: random.Random) -> None:
    """Begin readings, send photos in pieces and log entries, until the server is gone."""
    while True:
        text = f"note {source.random()}"
        if phone.post("/machines/lift/log/note", text=text, by="R. Moss", keep="1")[0] == 303:
            told.notes.append(text)
        status, place = phone.post("/readings/new", name="R. Moss", machine="lift")
        if status != 303:
            continue
        key = place.strip("/").split("/")[1]
        told.readings.append(key)
        content = SAMPLE.read_bytes() + source.randbytes(8)
        upload = f"{source.getrandbits(60):x}"
        for at in range(0, len(content), PIECE):
            piece = content[at : at + PIECE]
            if phone.piece(f"/readings/{key}/photos/parts/{upload}?at={at}", piece) == 200:
                told.pieces[key, upload] = at + len(piece)
        size = str(len(content))
        if phone.post(f"/readings/{key}/photos/", flank="left", upload=upload, size=size, name="a.jpg")[0] == 303:
            told.photos.append((key, hashlib.sha256(content).hexdigest()))
            told.pieces.pop((key, upload), None)
        phone.get(f"/readings/{key}/")


def lost(folder: Path, told: Acknowledged) -> list[str]:
    """What was acknowledged and is not on the disk."""
    store = DraftStore(folder / "readings")
    notes = {one.event.text for one in read_log(folder / "lift").entries if isinstance(one.event, Note)}
    gone = [text for text in told.notes if text not in notes]
    gone += [key for key in told.readings if not (store.path / key / "reading.json").is_file()]
    for key, digest in told.photos:
        kept = [store.folder(key).photo_path(one) for one in store.folder(key).read().photos]
        if digest not in {hashlib.sha256(path.read_bytes()).hexdigest() for path in kept if path.is_file()}:
            gone.append(f"{key} {digest}")
    for (key, upload), size in told.pieces.items():
        path = store.path / key / "incoming" / f"{upload}.part"
        moved = bool(store.folder(key).read().photos)
        if not moved and (not path.is_file() or path.stat().st_size < size):
            gone.append(f"{key} {upload}")
    return gone


def kills(number: int, seed: int) -> None:
    """Kill the server so often, each time after a random while, and say what was lost."""
    source, told, port = random.Random(seed), Acknowledged(), free_port()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        start_job(folder / "lift", "Lift")
        gone: list[str] = []
        for _ in range(number):
            server = Server.start(folder, port)
            threads = [
                threading.Thread(target=until_gone, args=(port, told, random.Random(source.random()))) for _ in range(2)
            ]
            for thread in threads:
                thread.start()
            time.sleep(source.uniform(0.02, 1.5))
            server.kill()
            for thread in threads:
                thread.join()
            gone += lost(folder, told)
            for one in gone:
                print(f"lost: {one}")
        damage = read_log(folder / "lift").damage
    counts = f"{len(told.notes)} entries, {len(told.readings)} readings, {len(told.photos)} photos"
    print(f"{number} kills: {counts} acknowledged, {len(gone)} lost, {len(damage)} damaged lines in the log")


def until_gone(port: int, told: Acknowledged, source: random.Random) -> None:
    """Work until nobody answers any more."""
    with suppress(OSError, http.client.HTTPException):
        work(Phone(port), told, source)


def load(photos: int, devices: int) -> None:
    """Send photos of 12 megapixels from several devices at once, and measure pages meanwhile."""
    with tempfile.TemporaryDirectory() as place:
        server = Server.start(Path(place), free_port())
        contents = [large_photo(number) for number in range(4)]
        times, memory, stop = list[float](), list[float](), threading.Event()
        watch = threading.Thread(target=watched, args=(server, times, memory, stop))
        watch.start()
        begun = time.monotonic()
        senders = [
            threading.Thread(target=send_all, args=(server.port, contents, photos // devices)) for _ in range(devices)
        ]
        for sender in senders:
            sender.start()
        for sender in senders:
            sender.join()
        sent = time.monotonic() - begun
        read = wait_for_looks(Path(place), photos)
        looked = time.monotonic() - begun
        stop.set()
        watch.join()
        server.kill()
    print(f"{photos} photos from {devices} devices: sent in {sent:.0f} s, first {read} looked at in {looked:.0f} s")
    pages = f"{statistics.median(times):.3f} s median, {sorted(times)[int(0.95 * len(times))]:.3f} s at 95 %"
    print(f"pages {pages}, {max(times):.3f} s at most; memory {max(memory):.0f} MB at most")


def send_all(port: int, contents: Sequence[bytes], number: int) -> None:
    """One device: a reading of its own, and its photos."""
    phone = Phone(port)
    key = phone.post("/readings/new", name="R. Moss")[1].strip("/").split("/")[1]
    phone.post(f"/readings/{key}/machine", machine="")
    phone.post(f"/readings/{key}/marking", marking="transfer")
    for one in range(number):
        content = contents[one % len(contents)] + os.urandom(8)
        upload = os.urandom(7).hex()
        for at in range(0, len(content), 1 << 18):
            phone.piece(f"/readings/{key}/photos/parts/{upload}?at={at}", content[at : at + (1 << 18)])
        phone.post(f"/readings/{key}/photos/", flank="left", upload=upload, size=str(len(content)), name="a.jpg")
        phone.get(f"/readings/{key}/")


def watched(server: Server, times: list[float], memory: list[float], stop: threading.Event) -> None:
    """The time of the first page and the memory, again and again."""
    phone = Phone(server.port)
    while not stop.wait(0.25):
        begun = time.monotonic()
        phone.get("/")
        times.append(time.monotonic() - begun)
        memory.append(server.memory_mb())


def wait_for_looks(folder: Path, photos: int) -> int:
    """How many photos were looked at: each reading asks for one after the other, so their first ones are waited for."""
    readings = [one for one in (folder / "readings").iterdir() if one.is_dir()]
    begun = time.monotonic()
    while time.monotonic() - begun < 10 * photos and any(not list(one.glob("*.look.json")) for one in readings):
        time.sleep(0.2)
    return sum(len(list(one.glob("*.look.json"))) for one in readings)


def large_photo(seed: int) -> bytes:
    """The sample at 4032 by 3024 pixels, as a phone saves it."""
    with Image.open(SAMPLE) as image:
        large = image.convert("RGB").resize((4032, 3024), Image.Resampling.BICUBIC).rotate(seed)
    memory = io.BytesIO()
    large.save(memory, "JPEG", quality=92)
    return memory.getvalue()


def free_port() -> int:
    """A port that nobody listens at."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", choices=("kills", "load"))
    parser.add_argument("--number", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    kills(given.number, given.seed) if given.what == "kills" else load(40, 8)
