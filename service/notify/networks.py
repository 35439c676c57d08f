"""Where on the network a notice may go: out into the world, never into the house or this machine,
unless the owner allows a range. What counts is the address a connection is made to, at the moment
it is made: a name may lead anywhere, and elsewhere when it is asked a second time."""

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cache
from ipaddress import IPv4Address, IPv4Network, IPv6Address, IPv6Network, ip_address, ip_network
from typing import Any

Network = IPv4Network | IPv6Network
NAT64 = ip_network("64:ff9b::/96")  # RFC 6052: an IPv4 address in its last 32 bits
# inner too, which older Pythons do not know (RFC 6890, RFC 8215)
FURTHER = (ip_network("192.0.0.0/24"), ip_network("64:ff9b:1::/48"))
INSIDE = "leads into castclock's own network; nothing goes there unless its owner allows it"
CONNECTIONS = ("socket.connect", "socket.sendto", "socket.sendmsg")


def is_inner(text: str, allowed: Sequence[Network] = ()) -> bool:
    """Whether an address is loopback, link-local, private, multicast, reserved or none at all."""
    try:
        address = _plain(ip_address(text.partition("%")[0]))
    except ValueError:
        return True
    if any(address in network for network in allowed):
        return False
    return (
        not address.is_global
        or address.is_multicast
        or address.is_reserved
        or getattr(address, "is_site_local", False)
        or any(address in network for network in FURTHER)
    )


def _plain(address: IPv4Address | IPv6Address) -> IPv4Address | IPv6Address:
    """The IPv4 address that is meant where one is wrapped up in IPv6."""
    if isinstance(address, IPv4Address):
        return address
    if address in NAT64:
        return IPv4Address(int(address) & 0xFFFFFFFF)
    teredo = address.teredo
    return address.ipv4_mapped or address.sixtofour or (teredo[1] if teredo else address)


@dataclass
class Watch:
    """One send: what it may reach, and what it was kept from."""

    allowed: Sequence[Network]
    refused: list[str] = field(default_factory=list)


_WATCH: ContextVar[Watch | None] = ContextVar("watch", default=None)


@cache
def _install_hook() -> None:
    """Once: Python tells each connection before it is made, whoever makes it (PEP 578)."""
    sys.addaudithook(_check_connection)


def _check_connection(event: str, arguments: tuple[Any, ...]) -> None:
    if event not in CONNECTIONS or (watch := _WATCH.get()) is None:
        return
    peer = arguments[1]
    if peer is None:  # a message on a connection that was let through
        return
    where = str(peer[0]) if isinstance(peer, tuple) and peer else "a socket of this machine"
    if is_inner(where, watch.allowed):
        watch.refused.append(where)
        raise PermissionError(f"{where} is an inner address")


@contextmanager
def watched(allowed: Sequence[Network]) -> Iterator[Watch]:
    """Whatever is done inside, here or in a thread with this context, reaches no inner address."""
    _install_hook()
    watch = Watch(allowed)
    token = _WATCH.set(watch)
    try:
        yield watch
    finally:
        _WATCH.reset(token)
