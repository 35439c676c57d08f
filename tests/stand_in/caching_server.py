"""A loopback server that answers one JSON document with the caching headers of a weather service.

A matching If-None-Match, or the very string of Last-Modified in If-Modified-Since, gives 304
without a body (RFC 9110 13.1; an ISO 8601 date never matches, as observed at api.weather.gov).
"""

import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from tests.support.raw import Json


class CachingStandIn:
    """Set `document`, `headers` and `status`; read what came in `requests`, 304s in `unchanged`."""

    def __init__(self, document: Json) -> None:
        self.document = document
        self.headers: dict[str, str] = {}
        self.status = 200
        self.obeys = True  # False: 304 whatever is asked
        self.requests: list[dict[str, str]] = []
        self.unchanged = 0
        self._server = _Server(("127.0.0.1", 0), _Handler)
        self._server.stand_in = self
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.02,))

    @property
    def base_url(self) -> str:
        return f"http://127.0.0.1:{self._server.server_address[1]}"

    def holds(self, asked: dict[str, str]) -> bool:
        """Whether what the client has is what it would get."""
        etag, modified = asked.get("If-None-Match"), asked.get("If-Modified-Since")
        if etag is not None:
            return etag == self.headers.get("ETag")
        return modified is not None and modified == self.headers.get("Last-Modified")

    def start(self) -> "CachingStandIn":
        self._thread.start()
        return self

    def stop(self) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()


class _Server(ThreadingHTTPServer):
    daemon_threads = False
    stand_in: CachingStandIn


class _Handler(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"
    server: _Server

    def do_GET(self) -> None:
        stand_in = self.server.stand_in
        asked = dict(self.headers.items())
        stand_in.requests.append(asked)
        self.close_connection = True
        unchanged = stand_in.status == 200 and (stand_in.holds(asked) or not stand_in.obeys)
        body = b"" if unchanged else json.dumps(stand_in.document).encode()
        stand_in.unchanged += unchanged
        self.send_response(304 if unchanged else stand_in.status)
        for name, value in stand_in.headers.items():
            self.send_header(name, value)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Connection", "close")
        self.end_headers()
        self.wfile.write(body)

    def send_response(self, code: int, message: str | None = None) -> None:
        """Without the Date of this machine, whose clock is not that of the test."""
        self.send_response_only(code, message)

    def log_message(self, format: str, *args: object) -> None:
        """Quiet."""


@contextmanager
def serving(document: Json) -> Iterator[CachingStandIn]:
    stand_in = CachingStandIn(document).start()
    try:
        yield stand_in
    finally:
        stand_in.stop()
