"""A POST, done once for each Idempotency-Key."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

from fastapi import Depends, Header, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel
from sqlmodel import Session

from service.request_context import Answer, ContextDep, RequestContext, RequestKey


@dataclass(frozen=True)
class IdempotentPost:
    """One POST: its context, its key, and the fingerprint of what was asked."""

    context: RequestContext
    request_key: RequestKey

    @property
    def now(self) -> datetime:
        return self.context.now

    def write(
        self,
        read: type[BaseModel],
        work: Callable[[Session], object],
        *,
        status: int = 201,
        recompute: str = "",
    ) -> JSONResponse:
        """Do `work` in one transaction and answer with what it gives, as `read` describes it.

        recompute : the field of the answer that names the pour to compute anew, the first time
        """

        def body(session: Session) -> dict[str, object]:
            return read.model_validate(work(session)).model_dump(mode="json", by_alias=True)

        answer = self.context.once(self.request_key, status, body)
        if recompute and not answer.repeated:
            self.context.recompute(answer.body[recompute])
        return self._response(answer)

    def compute(self, work: Callable[[], BaseModel], *, status: int = 200) -> JSONResponse:
        """`work` calculates or asks the outside first; no transaction is open meanwhile."""
        with self.context.store.reading() as session:
            stored = self.request_key.stored(session)
        if stored is not None:
            return self._response(stored)
        body = work()
        return self.write(type(body), lambda _: body, status=status)

    def _response(self, answer: Answer) -> JSONResponse:
        headers = {"Idempotent-Replayed": "true"} if answer.repeated else {}
        return JSONResponse(answer.body, answer.status, headers)


async def idempotent_post(
    request: Request,
    context: ContextDep,
    key: Annotated[
        str | None,
        Header(alias="Idempotency-Key", description="made by the client; a repeat is done once"),
    ] = None,
) -> IdempotentPost:
    """The dependency of every POST."""
    address = f"{request.url.path}?{request.url.query}".rstrip("?")
    content = f"{request.method} {address}\n".encode() + await request.body()
    return IdempotentPost(context, RequestKey(key, hashlib.sha256(content).hexdigest()))


IdempotentPostDep = Annotated[IdempotentPost, Depends(idempotent_post)]
