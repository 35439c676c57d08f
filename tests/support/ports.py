"""Ports for servers that tests start as processes of their own."""

import os
import socket
from contextlib import suppress
from itertools import count

# under those that systems hand out by themselves, a thousand for each worker: a port that was free
# a moment ago may else be another worker's by the time a server has started
FIRST = 20_000 + 1_000 * int(os.environ.get("PYTEST_XDIST_WORKER", "gw9").removeprefix("gw"))
_next = count(FIRST + os.getpid() % 500)


def free_port() -> int:
    """A port that nobody listens on, given once."""
    for port in _next:
        with suppress(OSError), socket.create_server(("127.0.0.1", port)):
            return port
    raise AssertionError("the count ends never")
