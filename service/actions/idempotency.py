"""The same request under the same key is done once; its repeat gets the same answer."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session

from models.errors import InputError
from models.records import IdempotencyKey
from service.queries.rows import kept_answer
from service.store import Store

LONGEST_KEY = 200


class KeyReused(InputError):
    """The key of one request came with another."""


@dataclass(frozen=True)
class Answer:
    """What was answered; `repeated` when it was given before."""

    status: int
    body: Any
    repeated: bool = False


def answer_once(
    store: Store,
    now: datetime,
    key: str | None,
    request_hash: str,
    status: int,
    work: Callable[[Session], Any],
) -> Answer:
    """Do `work` and keep its answer in one transaction, or give the kept answer again.

    Raises InputError when the key came before with another request.
    """
    with store.unit_of_work() as session:
        kept = said_before(session, key, request_hash)
        if kept is not None:
            return kept
        body = work(session)
        if key is not None:
            session.add(
                IdempotencyKey(
                    created_at=now, key=key, request_hash=request_hash, status=status, answer=body
                )
            )
        return Answer(status, body)


def said_before(session: Session, key: str | None, request_hash: str) -> Answer | None:
    """The kept answer of this key, if there is one."""
    if key is None:
        return None
    if not 0 < len(key) <= LONGEST_KEY or not key.isprintable() or not key.isascii():
        raise InputError(
            "Idempotency-Key", key, "empty or unfit", f"1 to {LONGEST_KEY} printable characters"
        )
    kept = kept_answer(session, key)
    if kept is None:
        return None
    if kept.request_hash != request_hash:
        wrong = "was used for another request"
        raise KeyReused("Idempotency-Key", key, wrong, "a new key for a new request")
    return Answer(kept.status, kept.answer, repeated=True)
