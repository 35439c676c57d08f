"""What the root does before it serves: how it listens, and whom it lets read its folder."""

import os
import socket
import stat
import threading
from collections.abc import Callable, Iterator
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

import pytest
import uvicorn

from service import cli, machine
from service.cli import connections, serving
from service.settings import Settings
from service.store import Store
from tests.support.command import castclock
from tests.support.ports import free_port
from tests.support.shop import Sky


def test_an_answer_on_a_kept_connection_never_waits_for_the_peers_acknowledgement(
    settings: Settings, store: Store, sky: Sky, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without TCP_NODELAY the second packet of an answer waits for the delayed ACK: 40 ms."""
    seen: list[int] = []

    def looked_at(_server: object, sockets: list[socket.socket]) -> None:
        (listening,) = sockets
        assert isinstance(listening, connections.Door)
        with socket.create_connection(listening.getsockname()[:2]), listening.accept()[0] as taken:
            seen.append(taken.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))

    monkeypatch.setattr(uvicorn.Server, "run", looked_at)
    monkeypatch.setattr(serving, "running_clock", lambda *_: nullcontext())
    here = replace(settings, port=free_port())
    serving.run(here, store, sky, "", "UTC")
    assert seen != [0]
    assert len(seen) == 1


def test_it_listens_on_the_loopback_of_ipv6_too() -> None:
    try:
        listening = machine.listening("::1", 0)
    except OSError:
        assert not socket.has_ipv6 or not Path("/proc/net/if_inet6").read_text().strip()
        return
    with listening:
        assert listening.getsockname()[0] == "::1"


def modes(folder: Path) -> dict[str, str]:
    """Permissions of the folder and of everything in it."""
    return {
        str(path.relative_to(folder)): f"{stat.S_IMODE(path.lstat().st_mode):o}"
        for path in (folder, *folder.rglob("*"))
    }


@pytest.fixture
def start(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., None]]:
    """Starts on a folder under the usual umask, up to where it would serve or wait."""
    monkeypatch.setattr(uvicorn.Server, "run", lambda *_, **__: None)
    monkeypatch.setattr(threading.Event, "wait", lambda *_: True)
    monkeypatch.setattr(serving, "running_clock", lambda *_: nullcontext())
    monkeypatch.setattr(serving, "warm", lambda: None)
    monkeypatch.setenv("NUMBA_CACHE_DIR", "")  # as if unset, and put back after
    before = os.umask(0o022)

    def begin(command: Callable[..., None], *given: object, **named: object) -> None:
        os.umask(0o022)
        monkeypatch.delenv("NUMBA_CACHE_DIR", raising=False)
        command(*given, **named)

    yield begin
    os.umask(before)


@pytest.mark.parametrize("command", [cli.serve, cli.worker])
def test_only_the_owner_reads_the_data_folder__also_when_it_stood_open_before(
    tmp_path: Path, command: Callable[..., None], start: Callable[..., None]
) -> None:
    shop = tmp_path / "shop"
    start(cli.serve, data=str(shop), port=free_port())
    (shop / "numba" / "heat").mkdir()
    for name in ("castclock.sqlite3.replaced-1", "numba/heat/sweep.kernel", "holiday.jpg"):
        (shop / name).touch()
    for path in (shop, *shop.rglob("*")):
        path.chmod(0o755 if path.is_dir() else 0o644)
    start(command, data=str(shop), **({"port": free_port()} if command is cli.serve else {}))
    found = modes(shop)
    assert found.pop("holiday.jpg") == "644"  # not ours to change
    assert {found["."], found["numba"], found["numba/heat"]} == {"700"}
    files = {name: mode for name, mode in found.items() if (shop / name).is_file()}
    assert len(files) >= 3
    assert {"castclock.sqlite3", "numba/heat/sweep.kernel"} < set(files)
    assert set(files.values()) == {"600"}


def test_what_is_made_new_is_the_owners_alone(tmp_path: Path, start: Callable[..., None]) -> None:
    shop, copy = tmp_path / "shop", tmp_path / "copy.sqlite3"
    start(cli.serve, data=str(shop), port=free_port())
    found = modes(shop)
    assert {mode for name, mode in found.items() if (shop / name).is_dir()} == {"700"}
    for command in ("backup", "restore"):
        assert castclock(command, copy, "--data", shop).code == 0
    files = {name: mode for name, mode in modes(tmp_path).items() if (tmp_path / name).is_file()}
    assert any("replaced" in name for name in files)
    assert set(files.values()) == {"600"}


def test_a_folder_that_all_share_is_left_as_it_is(
    tmp_path: Path, start: Callable[..., None]
) -> None:
    tmp_path.chmod(0o1777)
    start(cli.serve, data=str(tmp_path), port=free_port())
    assert f"{stat.S_IMODE(tmp_path.stat().st_mode):o}" == "1777"
    assert modes(tmp_path)["castclock.sqlite3"] == "600"
