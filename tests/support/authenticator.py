"""A phone that keeps passkeys, in software: it makes a key by what a page asks, and signs with it.

What it signs is built here by the standard (W3C WebAuthn, 6.1 and 6.5.1), not by the library that
reads it."""

import json
import struct
from base64 import urlsafe_b64decode, urlsafe_b64encode
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

import cbor2
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256

PRESENT, VERIFIED, ATTESTED = 0x01, 0x04, 0x40


def text(raw: bytes) -> str:
    return urlsafe_b64encode(raw).rstrip(b"=").decode()


def raw(told: str) -> bytes:
    return urlsafe_b64decode(told + "=" * (-len(told) % 4))


@dataclass
class Authenticator:
    """One key. `origin` and `host` may be those of another page, to see that they are refused."""

    origin: str
    host: str
    verified: bool = True
    count: int = 0
    credential: bytes = b"a key of sixteen"
    _key: ec.EllipticCurvePrivateKey = field(
        default_factory=lambda: ec.generate_private_key(ec.SECP256R1())
    )

    def made(self, options: dict[str, Any]) -> str:
        """What `navigator.credentials.create` answers."""
        numbers = self._key.public_key().public_numbers()
        public = {1: 2, 3: -7, -1: 1, -2: numbers.x.to_bytes(32), -3: numbers.y.to_bytes(32)}
        attested = bytes(16) + struct.pack(">H", len(self.credential)) + self.credential
        data = self._data(ATTESTED) + attested + cbor2.dumps(public)
        attestation = cbor2.dumps({"fmt": "none", "attStmt": {}, "authData": data})
        client = self._client("webauthn.create", options["challenge"])
        return self._told({"clientDataJSON": client, "attestationObject": attestation})

    def signed(self, options: dict[str, Any]) -> str:
        """What `navigator.credentials.get` answers; its count rises."""
        self.count += 1
        data, client = self._data(), self._client("webauthn.get", options["challenge"])
        signature = self._key.sign(data + sha256(client).digest(), ec.ECDSA(SHA256()))
        return self._told(
            {"clientDataJSON": client, "authenticatorData": data, "signature": signature}
        )

    def _data(self, more: int = 0) -> bytes:
        flags = PRESENT | (VERIFIED if self.verified else 0) | more
        return sha256(self.host.encode()).digest() + struct.pack(">BI", flags, self.count)

    def _client(self, kind: str, challenge: str) -> bytes:
        told = {"type": kind, "challenge": challenge, "origin": self.origin, "crossOrigin": False}
        return json.dumps(told).encode()

    def _told(self, response: dict[str, bytes]) -> str:
        number = text(self.credential)
        parts = {name: text(part) for name, part in response.items()}
        return json.dumps({"id": number, "rawId": number, "type": "public-key", "response": parts})
