"""A folder that is served, and a phone that knows the forms, without a network."""

from __future__ import annotations

import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("flask", reason="the extra 'web' is not installed")

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from patternscan.web.app import make_app
from patternscan.web.door.code import Doorkeeper
from patternscan.web.door.site import Site
from patternscan.web.work.pool import Pool

CODE = "402199"
ELSEWHERE = {"REMOTE_ADDR": "192.168.7.20"}


@dataclass(frozen=True, slots=True)
class Phone:
    """A browser: it takes the token of the forms from the last page and follows where it is sent."""

    client: FlaskClient

    def get(self, address: str) -> TestResponse:
        return _read(self.client.get(address, follow_redirects=True))

    def post(self, address: str, token: str | None = None, **form: Any) -> TestResponse:
        form["token"] = token if token is not None else self.token()
        return _read(self.client.post(address, data=form, follow_redirects=True, content_type="multipart/form-data"))

    def token(self) -> str:
        """The token in a page that every device may see."""
        page = self.get("/readings/new").text
        found = re.search(r'name="token" value="([^"]+)"', page)
        assert found is not None, page
        return found[1]


def served(folder: Path, pool: Pool | None = None) -> Flask:
    """The application for a folder; work is done by one thread."""
    app = make_app(Site(folder, Doorkeeper(CODE), pool or Pool(lambda: ThreadPoolExecutor(1))))
    app.testing = False
    return app


@contextmanager
def phone(folder: Path, elsewhere: bool = False, pool: Pool | None = None) -> Iterator[Phone]:
    """A phone in front of a folder, on this computer or elsewhere in the network."""
    with served(folder, pool).test_client() as client:
        if elsewhere:
            client.environ_base |= ELSEWHERE
        yield Phone(client)


def _read(answer: TestResponse) -> TestResponse:
    """The answer with all of its content here and its file closed."""
    answer.get_data()
    answer.close()
    return answer


def key_of(answer: TestResponse) -> str:
    """The reading that a page belongs to, by its address."""
    found = re.search(r"/readings/([0-9a-f-]+)/", answer.request.path)
    assert found is not None, answer.request.path
    return found[1]


def heading(answer: TestResponse) -> str:
    """The heading of a page."""
    found = re.search(r"<h1[^>]*>(.*?)</h1>", answer.text, re.S)
    assert found is not None, answer.text
    return found[1].strip()
