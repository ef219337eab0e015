"""Who comes in, and what every request and answer keeps to."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import pytest

from patternscan.cli.show import say
from patternscan.reporting.text.web import door_words
from patternscan.web.door.address import is_own_name, qr_code, reached_at
from patternscan.web.door.code import WAIT_SECONDS, WRONG_TRIES, Doorkeeper, new_code
from patternscan.web.door.secret import NAME, kept_secret
from patternscan.web.server import ServeRequest, serve
from tests.web.served import CODE, Phone, heading, phone


def test_this_computer_needs_no_code(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        assert heading(here.get("/")) == door_words.TITLE


def test_another_device_is_asked_once(tmp_path: Path) -> None:
    with phone(tmp_path, elsewhere=True) as strange:
        assert heading(strange.get("/")) == door_words.ENTER
        assert heading(strange.post("/enter", code=CODE)) == door_words.TITLE
        assert heading(strange.get("/readings/new")) != door_words.ENTER


def test_a_known_device_stays_known_after_a_restart(tmp_path: Path) -> None:
    with phone(tmp_path, elsewhere=True) as strange:
        strange.post("/enter", code=CODE)
        cookie = strange.client.get_cookie("patternscan")
    assert cookie is not None
    with phone(tmp_path, elsewhere=True) as again:
        again.client.set_cookie("patternscan", cookie.value)
        assert heading(again.get("/")) == door_words.TITLE


def test_a_cookie_of_another_folder_does_not_count(tmp_path: Path) -> None:
    with phone(tmp_path / "one", elsewhere=True) as strange:
        strange.post("/enter", code=CODE)
        cookie = strange.client.get_cookie("patternscan")
    assert cookie is not None
    with phone(tmp_path / "other", elsewhere=True) as other:
        other.client.set_cookie("patternscan", cookie.value)
        assert heading(other.get("/")) == door_words.ENTER


@pytest.mark.parametrize("address", ["/", "/readings/new", "/readings/20260101-000000-0123456789ab/", "/no/such"])
def test_a_stranger_sees_nothing(tmp_path: Path, address: str) -> None:
    with phone(tmp_path, elsewhere=True) as strange:
        assert heading(strange.get(address)) == door_words.ENTER


def test_five_wrong_codes_wait_and_then_even_the_right_one_does() -> None:
    now = [0.0]
    keeper = Doorkeeper(CODE, lambda: now[0])
    for _ in range(WRONG_TRIES):
        assert keeper.wait_seconds("one") == 0
        assert not keeper.lets_in("one", "000000")
    assert keeper.wait_seconds("one") == WAIT_SECONDS
    assert not keeper.lets_in("one", CODE)
    assert keeper.lets_in("another", CODE)
    now[0] = WAIT_SECONDS + 1
    assert keeper.lets_in("one", CODE)


def test_many_devices_together_cannot_guess_faster() -> None:
    keeper = Doorkeeper(CODE, lambda: 0.0)
    for number in range(100):
        keeper.lets_in(f"device {number}", "000000")
    assert keeper.wait_seconds("one more") > 0
    assert not keeper.lets_in("one more", CODE)


def test_a_device_that_guesses_is_told_to_wait(tmp_path: Path) -> None:
    with phone(tmp_path, elsewhere=True) as strange:
        answers = [strange.post("/enter", token=_token(strange), code="000000") for _ in range(WRONG_TRIES + 1)]
        assert [answer.status_code for answer in answers] == [403] * WRONG_TRIES + [429]
        assert strange.post("/enter", token=_token(strange), code=CODE).status_code == 429


def test_a_form_of_another_site_is_refused(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        for token in ("", "guessed"):
            answer = here.post("/readings/new", token=token, name="R. Moss")
            assert answer.status_code == 403
            assert door_words.OLD_FORM[0] in answer.text
    assert not list(tmp_path.glob("readings/*"))


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8080", "localhost.evil.example"])
def test_a_foreign_name_that_points_here_is_refused(tmp_path: Path, host: str) -> None:
    assert not is_own_name(host)
    with phone(tmp_path) as here:
        assert here.client.get("/", headers={"Host": host}).status_code == 421


def test_own_names() -> None:
    assert all(
        is_own_name(host) for host in ("localhost", "localhost:8080", "192.168.1.4:8080", "[::1]:8080", "127.0.0.1")
    )


def test_every_answer_forbids_foreign_and_inline_content(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        for address in ("/", "/readings/new", "/no/such", "/assets/marking.js", "/static/screens.css"):
            policy = here.get(address).headers["Content-Security-Policy"]
            assert "default-src 'none'" in policy
            assert "unsafe" not in policy
            assert "http" not in policy


def test_errors_are_two_sentences(tmp_path: Path) -> None:
    with phone(tmp_path) as here:
        for answer in (here.get("/no/such"), here.get("/readings/..%2f..%2fetc/"), here.client.put("/")):
            assert heading(answer) == door_words.STOPPED
            assert "Traceback" not in answer.text


def test_the_secret_is_kept_for_one_person(tmp_path: Path) -> None:
    first = kept_secret(tmp_path)
    assert kept_secret(tmp_path) == first
    assert len(first) == 32
    assert (tmp_path / NAME).stat().st_mode & 0o077 == 0


def test_codes_differ_and_have_six_digits() -> None:
    codes = {new_code() for _ in range(50)}
    assert len(codes) > 45
    assert all(len(code) == 6 and code.isdigit() for code in codes)


def test_the_address_as_a_qr_code() -> None:
    assert reached_at("192.168.1.4", 8080) == "http://192.168.1.4:8080/"
    assert reached_at("::1", 80) == "http://[::1]:80/"
    assert len(qr_code("http://192.168.1.4:8080/").splitlines()) > 10


def test_the_qr_code_stands_on_the_terminal_row_by_row(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """On one line, as the command says everything, no phone can read it."""
    monkeypatch.setattr("patternscan.web.server.create_server", lambda *_, **__: SimpleNamespace(run=lambda: None))
    serve(ServeRequest(tmp_path / "site", "192.168.1.4"), say, lambda _: None)
    rows = qr_code("http://192.168.1.4:8080/").splitlines()
    assert capsys.readouterr().err.splitlines()[: len(rows)] == rows


def _token(strange: Phone) -> str:
    page = strange.get("/enter").text
    return page.partition('name="token" value="')[2].partition('"')[0]
