"""Editions: of two phones that change one thing at once the second is told, and changes nothing."""

import hashlib
from dataclasses import dataclass
from typing import Annotated, TypeVar

from fastapi import Depends, Header, Response
from pydantic import BaseModel

from models.errors import InputError

B = TypeVar("B", bound=BaseModel)
SEEN = "the ETag of what is known already: 304 where it is still so"
CHANGES = "the ETag of what was seen: where it is no longer so nothing is changed (412)"


class OtherEdition(InputError):
    """What shall be changed is no longer what its asker saw."""


@dataclass(frozen=True)
class Edition:
    """The edition that an answer tells, and the one that a change was made for."""

    response: Response
    seen: str | None = None  # the header If-Match; None changes any edition

    def told(self, body: B) -> B:
        """The same body; the answer is marked with its edition."""
        self.response.headers["ETag"] = tag_of(body)
        return body

    def must_have_been(self, before: BaseModel) -> None:
        """Raises OtherEdition, which undoes the change, unless this was seen before it. Asked after
        the change: what cannot be is refused first."""
        if self.seen is None:
            return
        seen = [one.strip() for one in self.seen.split(",")]
        if "*" not in seen and tag_of(before) not in seen:
            wrong = "it was changed meanwhile, and stays as it is now"
            allowed = "the ETag of a new look, or no If-Match to change whatever is there"
            raise OtherEdition("If-Match", self.seen, wrong, allowed)


def tag_of(body: BaseModel) -> str:
    """The strong tag of an answer: another where one of its values is."""
    return f'"{hashlib.sha256(body.model_dump_json(by_alias=True).encode()).hexdigest()[:32]}"'


def _looked_at(
    response: Response,
    _seen: Annotated[str | None, Header(alias="If-None-Match", description=SEEN)] = None,
) -> Edition:
    """Of a GET; that it is known already is answered by service.middleware.NotModified."""
    return Edition(response)


def _changed(
    response: Response,
    seen: Annotated[str | None, Header(alias="If-Match", description=CHANGES)] = None,
) -> Edition:
    return Edition(response, seen)


LookDep = Annotated[Edition, Depends(_looked_at)]
ChangeDep = Annotated[Edition, Depends(_changed)]
