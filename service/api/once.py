"""A POST, done once for each Idempotency-Key."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Header, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel
from sqlmodel import Session

from service.actions.answer_once import Answer, answer_once, said_before
from service.door import Door, door


@dataclass(frozen=True)
class Once:
    """One POST: its door, its key, and the fingerprint of what was asked."""

    door: Door
    key: str | None
    request_hash: str

    def write(
        self,
        work: Callable[[Session], BaseModel],
        *,
        status: int = 201,
        then: Callable[[dict[str, object]], None] | None = None,
    ) -> JSONResponse:
        """Do `work` in one transaction; after it, the first time only, `then` with the answer."""
        answer = answer_once(
            self.door.store,
            self.door.now,
            self.key,
            self.request_hash,
            status,
            lambda session: work(session).model_dump(mode="json", by_alias=True),
        )
        if then is not None and not answer.repeated:
            then(answer.body)
        return self._told(answer)

    def compute(self, work: Callable[[], BaseModel], *, status: int = 200) -> JSONResponse:
        """`work` calculates or asks the outside first; no transaction is open meanwhile."""
        with self.door.store.reading() as session:
            kept = said_before(session, self.key, self.request_hash)
        if kept is not None:
            return self._told(kept)
        body = work()
        return self.write(lambda _: body, status=status)

    def _told(self, answer: Answer) -> JSONResponse:
        headers = {"Idempotent-Replayed": "true"} if answer.repeated else {}
        return JSONResponse(answer.body, answer.status, headers)


async def once(
    request: Request,
    door: Annotated[Door, Depends(door)],
    key: Annotated[
        str | None,
        Header(alias="Idempotency-Key", description="made by the client; a repeat is done once"),
    ] = None,
) -> Once:
    """The dependency of every POST."""
    address = f"{request.url.path}?{request.url.query}".rstrip("?")
    asked = f"{request.method} {address}\n".encode() + await request.body()
    return Once(door, key, hashlib.sha256(asked).hexdigest())


OnceDep = Annotated[Once, Depends(once)]
DoorDep = Annotated[Door, Depends(door)]
