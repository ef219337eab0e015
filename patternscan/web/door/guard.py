"""What every request has to keep to before it is heard, and every answer says to the browser."""

from __future__ import annotations

import secrets
from datetime import timedelta

from flask import Flask, Response, abort, redirect, request, session, url_for
from werkzeug.wrappers import Response as AnyResponse

from patternscan.web.door.address import is_own_name
from patternscan.web.door.code import is_this_computer

MOST_REQUEST_BYTES = 42_000_000
"""One photo of 40 MB and the form around it."""
MOST_FORM_BYTES, MOST_FORM_PARTS = 300_000, 60
STAYS_KNOWN = timedelta(days=180)
OPEN = ("door.enter", "door.given", "assets.asset", "static")
"""What a stranger may see: where the code is asked for, and how that page looks."""
POLICY = (
    "default-src 'none'; img-src 'self' data:; style-src 'self'; script-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""Content Security Policy: nothing from elsewhere, no script and no style inside a page."""
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


def put_on_guard(app: Flask, key: bytes) -> None:
    """Set the limits of the application, and have each request checked and each answer labelled."""
    app.config |= {
        "SECRET_KEY": key,
        "MAX_CONTENT_LENGTH": MOST_REQUEST_BYTES,
        "MAX_FORM_MEMORY_SIZE": MOST_FORM_BYTES,
        "MAX_FORM_PARTS": MOST_FORM_PARTS,
        "SESSION_COOKIE_NAME": "patternscan",
        "SESSION_COOKIE_SAMESITE": "Lax",
        "PERMANENT_SESSION_LIFETIME": STAYS_KNOWN,
    }
    app.before_request(_check)
    app.after_request(_labelled)
    app.add_template_global(form_token)


def form_token() -> str:
    """What a form of this device has to hand back, so that no other site can send it."""
    if "form" not in session:
        session["form"] = secrets.token_hex(24)
        session.permanent = True
    return str(session["form"])


def let_in() -> None:
    """Remember that this device gave the code."""
    session["inside"] = True
    session.permanent = True


def is_inside() -> bool:
    """Whether this is the computer itself, or a device that gave the code."""
    return is_this_computer(request.remote_addr) or session.get("inside") is True


def _check() -> AnyResponse | None:
    if not is_own_name(request.host):
        abort(421)
    if request.endpoint not in OPEN and not is_inside():
        return redirect(url_for("door.enter"))
    if request.method == "POST":
        given = request.headers.get("X-Form-Token") or request.form.get("token", "")
        if not secrets.compare_digest(given.encode(), form_token().encode()):
            abort(403)
    return None


def _labelled(response: Response) -> Response:
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if response.mimetype == "text/html" or "Cache-Control" not in response.headers:
        response.headers.setdefault("Cache-Control", "no-store")
    return response
