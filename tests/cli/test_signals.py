"""Stopped by a signal, a command leaves nothing half-written and says so by its exit code."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.test_commands import judge_words

STOPPED = """
import os, signal, sys
from patternscan.cli import main
from patternscan.workflow.disk import staging
sync, number = os.fsync, int(sys.argv.pop(1))
def stop(file):
    sync(file)
    os.kill(os.getpid(), number)
staging.os.fsync = stop
signal.signal(signal.SIGINT, signal.default_int_handler)
main()
"""
"""Ctrl-C is made to count, which a shell that runs the tests in the background has switched off for all below it."""


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
@pytest.mark.parametrize(("number", "code"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
def test_stopped_while_writing(tmp_path: Path, number: int, code: int) -> None:
    words = [str(word) for word in (*judge_words("goods_lift_before"), "--out", tmp_path / "out")]
    ended = subprocess.run([sys.executable, "-c", STOPPED, str(int(number)), *words], capture_output=True, check=False)
    assert (ended.returncode, ended.stdout) == (code, b"")
    assert b"Stopped." in ended.stderr
    assert b"Traceback" not in ended.stderr
    assert list(tmp_path.iterdir()) == []
