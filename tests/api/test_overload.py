"""Many writers at once: each is answered, and none waits for the windows of another."""

from contextlib import ExitStack
from datetime import datetime
from threading import BoundedSemaphore

import pytest
from starlette.testclient import TestClient

from scheduler.jobs import Rounds
from service import request_context
from service.queries.projections import latest
from service.store import Store
from tests.support.shop import Windows

API = "/api/v1"


@pytest.fixture
def busy(monkeypatch: pytest.MonkeyPatch) -> BoundedSemaphore:
    """All that the machine can project at once, in the hands of the test."""
    turns = BoundedSemaphore(1)
    monkeypatch.setattr(request_context, "PROJECTING", turns)
    monkeypatch.setattr(request_context, "TURN_S", 0.01)
    return turns


def test_a_write_among_many_is_answered_and_left_to_the_clock(
    client: TestClient,
    store: Store,
    pour_id: int,
    windows: Windows,
    rounds: Rounds,
    busy: BoundedSemaphore,
    now: datetime,
) -> None:
    """80 writers at once took 2.3 GB, and half of them waited over a minute."""
    windows.say("strip", "open", now)
    reading = {"kind": "air", "value_C": 9.0}
    with ExitStack() as stack:
        stack.enter_context(busy)
        answer = client.post(f"{API}/pours/{pour_id}/readings", json=reading)
        assert answer.status_code == 201, answer.text
        with store.reading() as session:
            assert latest(session, pour_id) is None
    rounds.project(now)
    with store.reading() as session:
        first = latest(session, pour_id)
        assert first is not None, "it was due"
    answer = client.post(f"{API}/pours/{pour_id}/readings", json=reading)
    assert answer.status_code == 201
    assert busy.acquire(timeout=0), "the turn was given back"


def test_a_turn_is_given_back_after_a_fault(
    client: TestClient,
    pour_id: int,
    busy: BoundedSemaphore,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def broken(*_: object) -> None:
        raise KeyError("a fault")

    monkeypatch.setattr(request_context, "project_pour", broken)
    reading = {"kind": "air", "value_C": 9.0}
    for _ in range(3):
        assert client.post(f"{API}/pours/{pour_id}/readings", json=reading).status_code == 201
    assert busy.acquire(timeout=0)
