"""The pages under stress: killed at random moments, and with many photos and devices at once.

``python tests/benchmarks/served.py kills --number 100`` kills the server at random moments while a phone sends photos
and entries, and looks after each restart whether anything that was acknowledged is gone.
``python tests/benchmarks/served.py load`` sends 40 photos of 12 megapixels from 8 devices and tells how long pages take
meanwhile, and the memory of the server with its processes.
``python tests/benchmarks/served.py way dev2 [--by-hand] [--only WORD]`` goes from the first page to the answer in a
browser with touch, both flanks of each machine, and counts touches and seconds.
``python tests/benchmarks/served.py limits`` sends slow, broken and hostile requests and files.
``python tests/benchmarks/served.py stages dev`` tells which part of the time each stage of the work takes.
"""

from __future__ import annotations

import argparse
import hashlib
import http.client
import os
import random
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import get_args

sys.path.insert(0, str(Path(__file__).parents[2]))

from patternscan.setting.log.events import Note
from patternscan.setting.log.job_log import read_log
from patternscan.web.drafts.store import DraftStore
from patternscan.workflow.job.folder import start_job
from tests.benchmarks.scenes import Split
from tests.benchmarks.served_limits import limits
from tests.benchmarks.served_phone import PIECE, SAMPLE, Phone, Server, free_port, large_photo
from tests.benchmarks.served_stages import stages
from tests.benchmarks.served_way import way


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


def main() -> None:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", choices=("kills", "load", "way", "limits", "stages"))
    parser.add_argument("split", nargs="?", default="dev", choices=get_args(Split))
    parser.add_argument("--number", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--by-hand", action="store_true")
    parser.add_argument("--only", default="", metavar="WORD")
    parser.add_argument("--scheduler", metavar="ADDRESS")
    given = parser.parse_args()
    match given.what:
        case "kills":
            kills(given.number, given.seed)
        case "load":
            load(40, 8)
        case "way":
            way(given.split, given.by_hand, given.only, given.scheduler)
        case "limits":
            limits()
        case "stages":
            stages(given.split, given.only)


if __name__ == "__main__":
    main()
