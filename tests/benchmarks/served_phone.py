"""A server in a process of its own, and a phone that speaks to it without any browser."""

from __future__ import annotations

import http.client
import io
import re
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode

from PIL import Image

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
    def start(cls, folder: Path, port: int, *options: str) -> Server:
        """Start it and wait until it answers."""
        command = [sys.executable, "-m", "patternscan", "serve", str(folder), "--port", str(port), "--no-browser"]
        command += options
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
