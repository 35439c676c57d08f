"""`serve --lan`: every address is listened on, and the one that phones reach is told."""

import re
import socket
from ipaddress import ip_address, ip_network

import pytest

from models.errors import InputError
from service import machine
from service.cli import serving
from service.settings import Settings


def test_the_address_of_the_network_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(machine, "network_address", lambda: "192.168.1.20")
    found = serving.on_the_network(Settings(port=8123))
    assert (found.host, found.address) == ("0.0.0.0", "http://192.168.1.20:8123")
    assert "192.168.1.20" in machine.own_names(found)
    named = serving.on_the_network(Settings(public_address="https://shop.example"))
    assert named.address == "https://shop.example"


def test_the_square_is_printed_where_another_machine_reaches_the_address(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(machine, "network_address", lambda: "192.168.1.20")
    lines = serving.square(serving.on_the_network(Settings())).splitlines()
    assert len(lines) > 10
    assert not re.search(r"[A-Za-z]{3}", "".join(lines))
    assert serving.square(Settings()) == ""


def test_a_machine_in_no_network_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def none() -> str:
        raise OSError("Network is unreachable")

    monkeypatch.setattr(machine, "network_address", none)
    with pytest.raises(InputError, match="no network"):
        serving.on_the_network(Settings())


def test_the_way_is_asked_of_the_machine_itself_and_nothing_is_sent(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With a way of the test's own, so that it holds on a machine in no network too."""
    asked: list[tuple[str, int]] = []

    class Way:
        def __init__(self, family: int, kind: int) -> None:
            assert (family, kind) == (socket.AF_INET, socket.SOCK_DGRAM)

        def __enter__(self) -> "Way":
            return self

        def __exit__(self, *_: object) -> None:
            pass

        def connect(self, to: tuple[str, int]) -> None:
            asked.append(to)

        def getsockname(self) -> tuple[str, int]:
            return "192.168.1.20", 40000

    monkeypatch.setattr(socket, "socket", Way)
    assert machine.network_address() == "192.168.1.20"
    assert [ip_address(host) in ip_network("192.0.2.0/24") for host, _ in asked] == [True]
