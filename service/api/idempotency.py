"""A POST, done once for each Idempotency-Key."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Header, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel
from sqlmodel import Session

from service.actions.idempotency import Answer, answer_once, said_before
from service.request_context import RequestContext, request_context


@dataclass(frozen=True)
class IdempotentPost:
    """One POST: its context, its key, and the fingerprint of what was asked."""

    context: RequestContext
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
            self.context.store,
            self.context.now,
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
        with self.context.store.reading() as session:
            kept = said_before(session, self.key, self.request_hash)
        if kept is not None:
            return self._told(kept)
        body = work()
        return self.write(lambda _: body, status=status)

    def _told(self, answer: Answer) -> JSONResponse:
        headers = {"Idempotent-Replayed": "true"} if answer.repeated else {}
        return JSONResponse(answer.body, answer.status, headers)


async def idempotent_post(
    request: Request,
    context: Annotated[RequestContext, Depends(request_context)],
    key: Annotated[
        str | None,
        Header(alias="Idempotency-Key", description="made by the client; a repeat is done once"),
    ] = None,
) -> IdempotentPost:
    """The dependency of every POST."""
    address = f"{request.url.path}?{request.url.query}".rstrip("?")
    asked = f"{request.method} {address}\n".encode() + await request.body()
    return IdempotentPost(context, key, hashlib.sha256(asked).hexdigest())


IdempotentPostDep = Annotated[IdempotentPost, Depends(idempotent_post)]
ContextDep = Annotated[RequestContext, Depends(request_context)]
