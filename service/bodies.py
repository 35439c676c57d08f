"""Bodies of requests: how large, how slow, and how many large ones at once.

A body is held whole before anything reads it, so that memory is bounded by how many there are at
once; one that is not read yet waits with its sender, since no window is opened for more of it.
"""

import re
import time
from asyncio import sleep, wait_for

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.problem import FieldError, refusal

LARGEST_BODY = 1_000_000  # bytes
LARGEST_PHOTO_BODY = 8_100_000  # bytes: a photo and the fields beside it
LARGEST_READ = 50_000_000  # bytes read and dropped: who still sends never sees an answer
PHOTO_PATH = re.compile(r"(/api/v1)?/(pours|moulds)/[0-9]{1,10}/(photos|faults)")
LARGE = 100_000  # bytes: such bodies take turns, so that no small one ever waits for a photo
AT_ONCE = 4
TURN_S = 20.0  # how long one waits for its turn
PAUSE_S = 20.0  # between two pieces of a body
SLOWEST = 16_000  # bytes a second, after the first pause: a photo of 8 MB in eight minutes
AGAIN_S = 10
LOOK_S = 0.1
TOO_SLOW = FieldError(
    field="body",
    value=None,
    wrong="came too slowly, or not to its end",
    allowed=f"the whole of it, without a pause of {PAUSE_S:.0f} s",
)
TOO_MANY = FieldError(
    field="body",
    value=None,
    wrong=f"{AT_ONCE} large ones are being read already",
    allowed="it again in a few seconds",
)


class BodyLimit:
    """Refuse a body above the limit, by its stated length or as soon as it grows past it; one that
    comes too slowly; and a large one for which there is no turn."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app
        self._large = 0  # bodies above `LARGE` that are held now

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        stated = Headers(scope=scope).get("content-length", "0")
        largest = _largest(scope)
        if not stated.isdigit() or int(stated) > largest:
            await _read_away(stated, receive)
            await _refuse_size(stated, largest, scope, receive, send)
            return
        chunks: list[bytes] = []
        size, more, has_turn = 0, True, False
        began = time.monotonic()
        try:
            while more:
                if size > LARGE and not has_turn:
                    has_turn = await self._turn()
                    if not has_turn:
                        await _refuse(503, "too_many", TOO_MANY, scope, receive, send)
                        return
                    began = time.monotonic() - size / SLOWEST  # its wait was ours
                until = began + PAUSE_S + size / SLOWEST
                try:
                    message = await wait_for(receive(), min(until - time.monotonic(), PAUSE_S))
                except TimeoutError:
                    await _refuse(408, None, TOO_SLOW, scope, receive, send)
                    return
                if message["type"] != "http.request":
                    return
                chunks.append(message.get("body", b""))
                size += len(chunks[-1])
                more = message.get("more_body", False)
                if size > largest:
                    await _refuse_size(f"more than {largest}", largest, scope, receive, send)
                    return
            body = b"".join(chunks)
            chunks.clear()
            await self._app(scope, _replay(body, receive), send)
        finally:
            self._large -= has_turn

    async def _turn(self) -> bool:
        """Whether one of the few large ones ended in time. Looked at now and then, not waited for:
        two servers of one app, each with a loop of its own, may share it."""
        until = time.monotonic() + TURN_S
        while self._large >= AT_ONCE:
            if time.monotonic() > until:
                return False
            await sleep(LOOK_S)
        self._large += 1
        return True


def _largest(scope: Scope) -> int:
    photo = scope["method"] == "POST" and PHOTO_PATH.fullmatch(scope["path"])
    return LARGEST_PHOTO_BODY if photo else LARGEST_BODY


async def _read_away(stated: str, receive: Receive) -> None:
    """Let a sender of a body somewhat too large finish, so that the refusal reaches it."""
    more = stated.isdigit() and int(stated) <= LARGEST_READ
    until = time.monotonic() + int(stated if more else 0) / SLOWEST
    while more:
        try:
            message = await wait_for(receive(), min(PAUSE_S, until - time.monotonic()))
        except TimeoutError:
            return
        more = message["type"] == "http.request" and message.get("more_body", False)


async def _refuse_size(size: str, largest: int, scope: Scope, receive: Receive, send: Send) -> None:
    error = FieldError(
        field="body",
        value=f"{size[:40]} bytes",
        wrong="larger than is taken",
        allowed=f"at most {largest} bytes",
    )
    await _refuse(413, None, error, scope, receive, send)


async def _refuse(
    status: int, code: str | None, error: FieldError, scope: Scope, receive: Receive, send: Send
) -> None:
    headers = {"Connection": "close"}
    if status != 413:
        headers["Retry-After"] = str(AGAIN_S)
    await refusal(scope, status, [error], headers, code)(scope, receive, send)


def _replay(body: bytes, receive: Receive) -> Receive:
    given = False

    async def again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again
