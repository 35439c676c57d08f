"""`castclock demo`, `serve`, `worker`, `backup`, `restore` as processes of their own."""

import json
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest

from tests.support.command import castclock
from tests.support.ports import free_port
from tests.support.raw import Json

COMMAND = Path(sys.executable).with_name("castclock")
PATIENCE_S = 120  # a cold machine compiles first


@contextmanager
def running(*arguments: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A castclock that listens, and its address; ended by the signal of a service manager."""
    port = free_port()
    process = subprocess.Popen(
        [COMMAND, *arguments, "--port", str(port)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    address = f"http://127.0.0.1:{port}"
    try:
        wait_for(lambda: get(f"{address}/healthz") is not None, process)
        yield process, address
    finally:
        process.send_signal(signal.SIGTERM)
        try:
            process.wait(PATIENCE_S)
        finally:
            process.kill()
            for pipe in (process.stdout, process.stderr):
                assert pipe is not None
                pipe.close()


def wait_for(ready: Callable[[], object], process: subprocess.Popen[str]) -> None:
    until = time.monotonic() + PATIENCE_S
    while not ready():
        if process.poll() is not None:
            assert process.stderr is not None
            pytest.fail(process.stderr.read())
        if time.monotonic() > until:
            pytest.fail("not ready")
        time.sleep(0.1)


def get(url: str) -> Json:
    try:
        with urllib.request.urlopen(url, timeout=PATIENCE_S) as answer:
            body = answer.read()
    except (urllib.error.URLError, ConnectionError):
        return None
    return json.loads(body) if body[:1] in (b"[", b"{") else body.decode()


def run(*arguments: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [COMMAND, *arguments], capture_output=True, text=True, timeout=PATIENCE_S, check=False
    )


def test_the_demo_shows_five_pieces_in_different_stages_without_internet() -> None:
    with running("demo") as (process, address):
        pours = get(f"{address}/api/v1/pours")
        assert len(pours) == 5
        states = {}
        for pour in pours:
            url = f"{address}/api/v1/pours/{pour['id']}/projection"
            wait_for(partial(get, url), process)
            projection = get(url)
            steps = projection.get("steps") or projection["answer"]["steps"]
            states[pour["id"]] = {step["step"]: step["state"] for step in steps}
        stripped = [key for key, steps in states.items() if steps["strip"] == "done"]
        waiting = [key for key, steps in states.items() if steps["strip"] == "not yet"]
        assert len(stripped) == 3
        assert waiting
        assert all("blocked" not in steps.values() for steps in states.values())
    assert process.returncode == 0


def test_restore_is_refused_while_the_shop_is_served_and_done_after(tmp_path: Path) -> None:
    shop, copy = tmp_path / "shop", tmp_path / "monday.sqlite3"
    with running("serve", "--data", str(shop)) as (process, address):
        assert get(f"{address}/api/v1/pours") == []
        assert castclock("backup", copy, "--data", shop).code == 0
        refused = castclock("restore", copy, "--data", shop)
        assert refused.code == 2
        assert "a castclock process has it in use" in refused.err
    assert process.returncode == 0
    restored = castclock("restore", copy, "--data", shop)
    assert restored.code == 0
    assert "is kept as" in restored.out


def test_a_worker_refuses_a_database_that_was_never_served(tmp_path: Path) -> None:
    ended = run("worker", "--database", f"sqlite:///{tmp_path / 'new.sqlite3'}")
    assert ended.returncode == 2
    assert "serve it once" in ended.stderr


def test_a_port_that_is_taken_is_named(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        port = str(listening.getsockname()[1])
        ended = run("serve", "--data", tmp_path / "shop", "--port", port)
    assert ended.returncode == 2
    assert f"port = '127.0.0.1:{port}'" in ended.stderr


@pytest.mark.parametrize(
    ("arguments", "complaint"),
    [
        (("serve", "--database", "mysql://host/shop"), "sqlite | postgresql"),
        (("backup", "copy.sqlite3", "--database", "postgresql://host/shop"), "pg_dump"),
        (("backup", "copy.sqlite3", "--data", "/nowhere"), "there is none"),
        (("restore", "/nowhere/copy.sqlite3"), "there is no such file"),
        (("serve", "--data", "a", "--database", "sqlite:///b"), "one of the two"),
    ],
)
def test_an_address_that_cannot_be_used_is_refused_in_one_line(
    arguments: tuple[str, ...], complaint: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    ended = castclock(*arguments)
    assert ended.code == 2
    assert complaint in ended.err
    assert len(ended.err.splitlines()) == 1
    assert not list(tmp_path.glob("castclock-data*"))
