"""A push service on this machine, and a browser that listens there: it believes nothing unsigned.

RFC 8030 (the request), RFC 8291 (the encryption), RFC 8292 (the signature)."""

import json
import threading
from base64 import urlsafe_b64decode, urlsafe_b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from os import urandom
from typing import Any

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat


def base64url(raw: bytes) -> str:
    return urlsafe_b64encode(raw).decode().rstrip("=")


def raw(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


@dataclass
class Received:
    """One push: its headers, the claims that were signed, who signed, and what it said."""

    headers: dict[str, str]
    claims: dict[str, Any]
    signed_by: str
    told: dict[str, Any]
    size: int


@dataclass
class Browser:
    """What a browser keeps to itself, and what it hands out."""

    endpoint: str
    private: ec.EllipticCurvePrivateKey = field(
        default_factory=lambda: ec.generate_private_key(ec.SECP256R1())
    )
    auth: bytes = field(default_factory=lambda: urandom(16))

    @property
    def given(self) -> dict[str, str]:
        point = self.private.public_key().public_bytes(
            Encoding.X962, PublicFormat.UncompressedPoint
        )
        return {"endpoint": self.endpoint, "p256dh": base64url(point), "auth": base64url(self.auth)}

    def read(self, body: bytes) -> dict[str, Any]:
        plain = http_ece.decrypt(
            body, private_key=self.private, auth_secret=self.auth, version="aes128gcm"
        )
        told: dict[str, Any] = json.loads(plain)
        return told


@dataclass
class PushService:
    """Keeps what it was given; `answer` is what it says to it."""

    origin: str = ""
    answer: int = 201
    browsers: dict[str, Browser] = field(default_factory=dict)
    received: list[Received] = field(default_factory=list)

    def browser(self, name: str = "one") -> Browser:
        made = Browser(f"{self.origin}/send/{name}")
        self.browsers[f"/send/{name}"] = made
        return made

    def take(self, path: str, headers: dict[str, str], body: bytes) -> int:
        if self.answer >= 300:
            return self.answer
        claims, signer = verified(headers["authorization"])
        told = self.browsers[path].read(body)
        self.received.append(Received(headers, claims, signer, told, len(body)))
        return self.answer


def verified(authorization: str) -> tuple[dict[str, Any], str]:
    """Claims and key of a header `vapid t=…, k=…`; InvalidSignature where another key signed."""
    kind, _, rest = authorization.partition(" ")
    assert kind == "vapid"
    parts = dict(one.strip().split("=", 1) for one in rest.split(","))
    header, claims, signature = parts["t"].split(".")
    assert json.loads(raw(header))["alg"] == "ES256"
    given = raw(signature)
    r, s = (int.from_bytes(half, "big") for half in (given[:32], given[32:]))
    key = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), raw(parts["k"]))
    key.verify(encode_dss_signature(r, s), f"{header}.{claims}".encode(), ec.ECDSA(SHA256()))
    found: dict[str, Any] = json.loads(raw(claims))
    return found, parts["k"]


@contextmanager
def push_service() -> Iterator[PushService]:
    """One that runs, on a port of its own."""
    service = PushService()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length", 0)))
            headers = {name.lower(): value for name, value in self.headers.items()}
            try:
                status = service.take(self.path, headers, body)
            except Exception as error:  # noqa: BLE001  told to whoever sent it, as a refusal
                status = 400
                service.received.clear()
                self.log_error("%r", error)
            self.send_response(status)
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    service.origin = f"http://127.0.0.1:{server.server_port}"
    thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
    thread.start()
    try:
        yield service
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
