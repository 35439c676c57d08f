"""Notices on phones by Web Push (RFC 8030): each encrypted for one browser (RFC 8291) and signed
with the key of this shop (RFC 8292), so that whoever carries it can neither read nor forge it."""

import json
from base64 import urlsafe_b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from cryptography.exceptions import UnsupportedAlgorithm
from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, EllipticCurvePublicKey
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from py_vapid import Vapid02
from py_vapid.utils import b64urldecode, b64urlencode
from pywebpush import WebPushException, webpush
from requests import RequestException, Session

from models.errors import DeliveryFailed, InputError
from models.records import PushSubscription
from service import secret
from service.notify.address import digest
from service.notify.channel import Button, Notice
from service.notify.networks import INSIDE, Network, is_inner, watched
from service.settings import Settings

KEY_FILE = "castclock-push-key.pem"  # named as all that is kept to the owner alone
LARGEST = 3000  # bytes; a push service takes 4,096 once encrypted (RFC 8030, 7.2)
LEAST_TTL_S = 60
PATIENCE_S = 10.0
GONE = (404, 410)
OURS = (400, 401, 403, 413)  # nothing that another try would mend
DECLARATIVE = 8030  # says that the browser may show it without the worker
ALLOWED = "what a browser gives that takes notices"
NOBODY = "mailto:owner@castclock.invalid"  # until the owner sets a contact


@cache
def key(folder: str) -> Vapid02:
    """The key of this shop, made once and kept; to lose it is to lose every phone."""
    path = Path(folder) / KEY_FILE
    if not path.exists():
        made = Vapid02()
        made.generate_keys()
        secret.write(path, made.private_pem())
    return Vapid02.from_file(str(path))


def public_key(folder: str) -> str:
    """What a browser asks its push service with; nothing where no key can be kept."""
    try:
        held: EllipticCurvePublicKey = key(folder).public_key
    except OSError:
        return ""
    return str(b64urlencode(held.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)))


def contact(settings: Settings) -> str:
    """Whom a push service can write to about our notices (RFC 8292, 2.1)."""
    told = settings.contact.strip()
    if told.startswith("https://"):
        return told
    return f"mailto:{told}" if "@" in told else NOBODY


class Push:
    """One browser. Its name tells a digest, never where its push service listens."""

    def __init__(
        self, phone: PushSubscription, signer: Vapid02, sub: str, allowed: Sequence[Network] = ()
    ) -> None:
        self._signer, self._sub, self._allowed = signer, sub, allowed
        self._endpoint, self._address = phone.endpoint, phone.address
        self._keys = {"p256dh": phone.p256dh, "auth": phone.auth}
        self.name = name_of(phone.endpoint)

    def send(self, notice: Notice) -> None:
        headers: dict[str, str | int | float] = {
            "Urgency": "normal" if notice.severity == "news" else "high"
        }
        if notice.topic:
            headers["Topic"] = topic_of(notice.topic)
        with watched(self._allowed) as watch, Session() as session:
            session.max_redirects = 0
            try:
                webpush(
                    {"endpoint": self._endpoint, "keys": self._keys},
                    payload(notice, self._address),
                    self._signer,
                    {"sub": self._sub},  # made anew: it is written into
                    timeout=PATIENCE_S,
                    ttl=max(int(notice.lasts.total_seconds()), LEAST_TTL_S),
                    headers=headers,
                    requests_session=session,
                )
            except WebPushException as error:
                raise self._failed(getattr(error.response, "status_code", None)) from None
            except RequestException:
                why = INSIDE if watch.refused else "no answer"
                raise DeliveryFailed(self.name, why, permanent=False) from None

    def _failed(self, status: int | None) -> DeliveryFailed:
        if status in GONE:
            return DeliveryFailed(self.name, "this phone takes no notices any more", True, True)
        told = "no answer" if status is None else f"the push service answered {status}"
        return DeliveryFailed(self.name, told, permanent=status in OURS)


def name_of(endpoint: str) -> str:
    return f"phone:{digest(endpoint)}"


def topic_of(text: str) -> str:
    """At most 32 characters of base64url (RFC 8030, 5.4); the tag on the phone as well."""
    return urlsafe_b64encode(sha256(text.encode()).digest()).decode()[:32]


def payload(notice: Notice, address: str) -> str:
    """The notice in the form that browsers show by themselves, and our worker too; cut to size."""

    def button(one: Button) -> dict[str, str]:
        more = {"post": address + one.post} if one.post else {}
        return {"action": one.action, "title": one.words, "navigate": address + one.path, **more}

    shown: dict[str, Any] = {
        "title": " ".join(notice.title.split())[:200],
        "body": notice.body,
        "navigate": address + (notice.path or "/"),
        "requireInteraction": notice.severity == "alarm",
        "actions": [button(one) for one in notice.buttons],
    }
    if notice.topic:
        shown["tag"] = topic_of(notice.topic)
    while len(text := _text(shown)) > LARGEST and shown["body"]:
        shown["body"] = shown["body"][: len(shown["body"]) * 3 // 4]
    return text.decode()


def _text(shown: dict[str, Any]) -> bytes:
    return json.dumps({"web_push": DECLARATIVE, "notification": shown}, ensure_ascii=False).encode()


def check(endpoint: str, p256dh: str, auth: str, allowed: Sequence[Network] = ()) -> None:
    """Refuse what no browser gives; the value, which is a secret, is not repeated."""
    try:
        parts = urlsplit(endpoint)
        host = (parts.hostname or "").lower()
        _ = parts.port
    except ValueError:
        parts, host = urlsplit(""), ""
    inner = host == "localhost" or host.endswith(".localhost") or _is_number(host)
    may = not is_inner(host, allowed) if inner else bool(host)
    # plain http only to a range of the house that its owner has allowed
    kind_fits = parts.scheme == "https" or (parts.scheme == "http" and inner and is_inner(host))
    if not (may and kind_fits) or parts.username is not None or len(endpoint) > 1000:
        wrong = INSIDE if inner and not may else "not an address of a push service"
        raise InputError("endpoint", "(not shown)", wrong, ALLOWED)
    try:
        EllipticCurvePublicKey.from_encoded_point(SECP256R1(), b64urldecode(p256dh.encode()))
    except (ValueError, UnsupportedAlgorithm):
        raise InputError("p256dh", "(not shown)", "not a key of P-256", ALLOWED) from None
    try:
        held = b64urldecode(auth.encode())
    except ValueError:
        held = b""
    if len(held) != 16:
        raise InputError("auth", "(not shown)", "not 16 bytes", ALLOWED)


def _is_number(host: str) -> bool:
    return ":" in host or not host.strip("0123456789.")
