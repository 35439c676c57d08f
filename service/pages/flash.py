"""What was just saved, said once on the page that follows, with the undo of that very row.

The answer to a POST is kept under the key of its form, as against a second tap; a cookie names
that key for a while. So nothing hangs on a word in the address, and nothing in the cookie is
believed: what it leads to was written here.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any

from fastapi import Response
from sqlmodel import Session

from models.message import Message
from service.queries.rows import NoSuchRow, stored_answer
from service.words import Reader, say

COOKIE = "castclock_saved"
LASTS_S = 600
UNDO = "/undo"  # of what `actions.changes` kept


@dataclass(frozen=True)
class Landing:
    """Where a form that was stored leads to, what is said there, and how it is taken back.

    said : a code of the catalogue, with its values
    undo : the address that its undo is posted to, with its fields
    kept : what a removal took away, as `put_back` wants it; with `undo` as that address wants it
    back : where `UNDO` leads, where that is another page than `path`
    """

    path: str
    said: str = ""
    values: Mapping[str, Any] = field(default_factory=dict)
    undo: str = ""
    fields: Mapping[str, str] = field(default_factory=dict)
    kept: Mapping[str, Any] | None = None
    back: str = ""

    def body(self) -> dict[str, Any]:
        """As it is kept under the key of the form."""
        parts = {name: value for name, value in vars(self).items() if value and name != "path"}
        return {"location": self.path, **parts}


@dataclass(frozen=True)
class Saved:
    """The words, and the button that takes it back."""

    words: str
    undo: str = ""
    fields: Mapping[str, str] = field(default_factory=dict)


_saved: ContextVar[Saved | None] = ContextVar("saved", default=None)


def current() -> Saved | None:
    """What the page that is being made says of the last one."""
    return _saved.get()


@contextmanager
def saying(saved: Saved | None) -> Iterator[None]:
    """Within it every page says so."""
    token = _saved.set(saved)
    try:
        yield
    finally:
        _saved.reset(token)


def name_it(response: Response, key: str, body: Mapping[str, Any]) -> None:
    """Let the next page know what was stored, where there is a word to say."""
    if key and body.get("said"):
        response.set_cookie(COOKIE, key, max_age=LASTS_S, httponly=True, samesite="lax")


def of_key(session: Session, key: str, reader: Reader) -> Saved | None:
    """What was stored under a key; None where nothing is said of it."""
    body = _body(session, key)
    if not body.get("said"):
        return None
    words = say(Message(body["said"], body.get("values", {})), reader)
    if body.get("kept"):
        undo = body.get("undo") or f"{body['location']}/restore"
        return Saved(words, undo, {"removal": key})
    return Saved(words, body.get("undo", ""), body.get("fields", {}))


def kept(session: Session, key: str) -> Mapping[str, Any]:
    """What a removal took away. Raises NoSuchRow where none is kept under this key."""
    found: Mapping[str, Any] | None = _body(session, key).get("kept")
    if found is None:
        raise NoSuchRow("removal", key[:40], "nothing is kept of it", "what was just removed")
    return found


def page_of(session: Session, key: str) -> str:
    """Where the undo of what was stored under a key leads: where its form has led, or further."""
    body = _body(session, key)
    return str(body.get("back") or body.get("location", "/"))


def _body(session: Session, key: str) -> Mapping[str, Any]:
    stored = stored_answer(session, key) if key else None
    answer = stored.answer if stored is not None and stored.status == 303 else None
    return answer if isinstance(answer, dict) and "location" in answer else {}
