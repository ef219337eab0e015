"""Under which address other devices reach the pages, and that address as a QR code for their camera."""

from __future__ import annotations

import io
import socket
from ipaddress import ip_address

import segno

ANY = ("0.0.0.0", "::", "")
DISCARD = ("192.0.2.1", 9)
"""An address that is nobody's (RFC 5737) and the discard port: asked which way a packet would go, none is sent."""


def reached_at(host: str, port: int) -> str:
    """The address as a browser on another device takes it."""
    name = _own_address() if host in ANY else host
    return f"http://[{name}]:{port}/" if ":" in name else f"http://{name}:{port}/"


def qr_code(text: str) -> str:
    """A QR code as lines of blocks for a terminal."""
    lines = io.StringIO()
    segno.make(text, error="m").terminal(lines, compact=True)
    return lines.getvalue()


def is_own_name(host: str) -> bool:
    """Whether a request's Host names this computer by number or by its own name.

    A foreign name that was made to point here (DNS rebinding) is not one of them.
    """
    name = host.rpartition(":")[0] if ":" in host and not host.endswith("]") else host
    if name.casefold() in {"localhost", socket.gethostname().casefold(), f"{socket.gethostname()}.local".casefold()}:
        return True
    try:
        ip_address(name.strip("[]"))
    except ValueError:
        return False
    return True


def _own_address() -> str:
    """The address by which this computer is seen in its network; itself alone where there is none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(DISCARD)
            return str(asked.getsockname()[0])
        except OSError:
            return "127.0.0.1"
