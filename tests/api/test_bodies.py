"""Bodies that never end, or many large ones at once, take no memory and no service from others."""

import asyncio
from collections.abc import Callable

import pytest
from starlette.types import Message, Receive, Scope, Send

from service import bodies
from service.bodies import AT_ONCE, LARGE, BodyLimit

PHOTO = {"type": "http", "method": "POST", "path": "/pours/1/photos"}
PIECE = LARGE // 2
PATIENT_S = 30.0


class App:
    """Holds each body it is given until it is let go on, and counts."""

    def __init__(self) -> None:
        self.let, self.sizes = asyncio.Event(), list[int]()

    async def __call__(self, _scope: Scope, receive: Receive, send: Send) -> None:
        self.sizes.append(len((await receive())["body"]))
        await self.let.wait()
        await send({"type": "http.response.start", "status": 201, "headers": []})


class Sender:
    """A body of so many pieces; then it ends, or stays half-sent for ever."""

    def __init__(self, pieces: int, *, ends: bool = True, piece: int = PIECE) -> None:
        self._left, self._ends, self._piece = pieces, ends, piece
        self.read = 0
        self.status = 0
        self.headers: dict[bytes, bytes] = {}

    async def receive(self) -> Message:
        if not self._left:
            await asyncio.Event().wait()
        self._left -= 1
        self.read += self._piece
        more = bool(self._left) or not self._ends
        return {"type": "http.request", "body": self._piece * b" ", "more_body": more}

    async def send(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.status, self.headers = message["status"], dict(message["headers"])


def asked(limit: BodyLimit, sender: Sender) -> "asyncio.Task[None]":
    async def ask() -> None:
        await limit({**PHOTO, "headers": []}, sender.receive, sender.send)

    return asyncio.create_task(ask())


async def until(what: Callable[[], bool]) -> None:
    async with asyncio.timeout(PATIENT_S):
        while not what():
            await asyncio.sleep(0)


def test_large_bodies_take_turns_and_a_small_one_waits_for_none(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """60 half-sent bodies of 8 MB were all held at once."""
    monkeypatch.setattr(bodies, "LOOK_S", 0.001)

    async def play() -> None:
        app = App()
        limit = BodyLimit(app)
        held = [Sender(9, ends=False) for _ in range(60)]
        tasks = [asked(limit, one) for one in held]
        await until(lambda: sum(one.read > 3 * PIECE for one in held) == AT_ONCE)
        for _ in range(100):
            await asyncio.sleep(0)
        assert sum(one.read for one in held) <= AT_ONCE * 9 * PIECE + 60 * (LARGE + PIECE)
        small, photo = Sender(1), Sender(9)
        tasks += [asked(limit, small), asked(limit, photo)]
        await until(lambda: app.sizes == [PIECE])
        for one in tasks[:60]:
            one.cancel()
        app.let.set()
        await until(lambda: photo.status == small.status == 201)
        assert app.sizes == [PIECE, 9 * PIECE], "turns are given back"

    asyncio.run(play())


def test_who_has_no_turn_in_time_is_told_when_to_come_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(bodies, "LOOK_S", 0.001)
    monkeypatch.setattr(bodies, "TURN_S", 0.01)

    async def play() -> None:
        limit, late = BodyLimit(App()), Sender(9)
        held = [Sender(9, ends=False) for _ in range(AT_ONCE)]
        tasks = [asked(limit, one) for one in held]
        await until(lambda: all(one.read == 9 * PIECE for one in held))
        await asyncio.wait_for(asked(limit, late), PATIENT_S)
        assert (late.status, late.headers[b"retry-after"]) == (503, b"10")
        assert late.headers[b"connection"] == b"close"
        assert late.read <= LARGE + PIECE
        for one in tasks:
            one.cancel()

    asyncio.run(play())


@pytest.mark.parametrize("pieces", [0, 1, 9])
def test_a_half_sent_body_is_given_up(monkeypatch: pytest.MonkeyPatch, pieces: int) -> None:
    monkeypatch.setattr(bodies, "PAUSE_S", 0.02)

    async def play() -> None:
        limit, sender = BodyLimit(App()), Sender(pieces, ends=False)
        await asyncio.wait_for(asked(limit, sender), PATIENT_S)
        assert sender.status == 408
        assert sender.headers[b"connection"] == b"close"

    asyncio.run(play())


def test_a_body_that_drips_is_given_up_though_no_pause_is_long(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(bodies, "PAUSE_S", 0.05)

    class Dripping(Sender):
        async def receive(self) -> Message:
            await asyncio.sleep(0.005)
            return await super().receive()

    async def play() -> None:
        limit, sender = BodyLimit(App()), Dripping(10_000, piece=1)
        await asyncio.wait_for(asked(limit, sender), PATIENT_S)
        assert sender.status == 408
        assert sender.read < 1000

    asyncio.run(play())
