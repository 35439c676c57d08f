"""A file that was sent and is not taken yet: held beside the answers to forms, and as long."""

import gzip
from base64 import b64decode, b64encode
from datetime import datetime

from sqlmodel import Session

from models.errors import InputError
from models.records import IdempotencyKey
from service import secret
from service.queries.rows import stored_answer

HELD = "file"


def hold(session: Session, now: datetime, content: bytes) -> str:
    """The word by which it is found again."""
    word = secret.new()
    packed = b64encode(gzip.compress(content)).decode()
    session.add(
        IdempotencyKey(
            created_at=now, key=f"{HELD}-{word}", request_hash="", status=0, answer={HELD: packed}
        )
    )
    return word


def held(session: Session, word: str) -> bytes:
    """InputError where it is not held, or no longer."""
    stored = stored_answer(session, f"{HELD}-{word[:100]}")
    if stored is None or stored.status != 0:
        raise InputError("file", None, "it is no longer held", "the file once more")
    return gzip.decompress(b64decode(stored.answer[HELD]))
