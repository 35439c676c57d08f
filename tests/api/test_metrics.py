"""What a monitoring system fetches and what the log tells, with nothing secret in it."""

import json
import logging
import re
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from fastapi import FastAPI
from prometheus_client.parser import text_string_to_metric_families
from starlette.testclient import TestClient

from models.errors import InputError
from scheduler.clock import Clock
from scheduler.jobs import Rounds
from service import logs
from service.actions.people.join import invite_owner
from service.settings import Settings
from service.store import Store
from tests.support.shop import Windows

Samples = dict[tuple[str, frozenset[tuple[str, str]]], float]


def fetched(client: TestClient) -> Samples:
    answer = client.get("/metrics")
    assert answer.status_code == 200
    return {
        (one.name, frozenset(one.labels.items())): one.value
        for family in text_string_to_metric_families(answer.text)
        for one in family.samples
    }


def value(found: Samples, name: str, **labels: str) -> float:
    return found.get((name, frozenset(labels.items())), 0.0)


@pytest.fixture
def lines() -> Iterator[list[str]]:
    """What the log says as JSON, line by line."""
    written: list[str] = []

    class Kept(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            written.append(self.format(record))

    handler, log = Kept(), logging.getLogger("castclock.request")
    handler.setFormatter(logs.AsJson())
    log.addHandler(handler)
    level = log.level
    log.setLevel(logging.INFO)
    yield written
    log.removeHandler(handler)
    log.setLevel(level)


def test_requests_are_counted_by_the_template_of_their_route(
    client: TestClient, pour_id: int
) -> None:
    route = {"method": "GET", "route": "/api/v1/pours/{pour_id}"}
    before = fetched(client)
    assert client.get(f"/api/v1/pours/{pour_id}").status_code == 200
    assert client.get("/api/v1/pours/999999").status_code == 404
    assert client.get("/nothing/here").status_code == 404
    after = fetched(client)
    for status in ("200", "404"):
        told = {**route, "status": status}
        grown = value(after, "castclock_requests_total", **told) - value(
            before, "castclock_requests_total", **told
        )
        assert grown == 1
    values = {text for _, labels in after for _, text in labels}
    assert not [text for text in values if re.search(r"/\d+(/|$)", text) or "nothing" in text]


def test_rounds_weather_and_deliveries_are_counted_and_the_lag_told(
    client: TestClient, rounds: Rounds, pour_id: int, windows: Windows, now: datetime
) -> None:
    windows.say("strip", "not yet", now + timedelta(hours=15))
    assert pour_id
    before = fetched(client)
    clock = Clock(rounds, lambda: now)
    for work in (rounds.refresh, rounds.project, rounds.deliver):
        clock._call(work)
    found = fetched(client)
    for name in ("refresh", "project", "deliver"):
        told = {"round": name}
        assert value(found, "castclock_rounds_total", **told) > value(
            before, "castclock_rounds_total", **told
        )
    projected = value(found, "castclock_worked_total", round="project")
    assert projected == value(before, "castclock_worked_total", round="project") + 1
    assert value(found, "castclock_clock_lag_seconds") == 0.0


def test_only_this_machine_or_who_is_in_is_told(
    client: TestClient, app: FastAPI, store: Store, now: datetime
) -> None:
    other = TestClient(app, client=("192.0.2.7", 4711), raise_server_exceptions=False)
    assert other.get("/metrics").status_code in (401, 403)
    with store.unit_of_work() as session:
        path = f"/join/{invite_owner(session, now)}"
    form = {"name": "Ada", "password": "an own long word 7"}
    assert client.post(path, data=form, follow_redirects=False).status_code == 303
    client.cookies.clear()
    assert client.get("/api/v1/pours").status_code == 401
    assert client.get("/metrics").status_code == 200
    refused = other.get("/metrics", headers={"Accept": "text/plain"})
    assert refused.status_code == 401


def test_a_request_is_one_line_with_its_id_and_its_pour_and_no_secret(
    client: TestClient, pour_id: int, lines: list[str]
) -> None:
    answer = client.get(f"/api/v1/pours/{pour_id}", headers={"Authorization": "Basic hidden"})
    client.get("/c/a-secret-code-of-a-sheet")
    told, secret = (json.loads(line) for line in lines)
    assert told["request"] == answer.headers["X-Request-Id"]
    assert (told["pour"], told["route"]) == (str(pour_id), "/api/v1/pours/{pour_id}")
    assert (told["status"], told["method"], told["level"]) == (200, "GET", "info")
    assert datetime.fromisoformat(told["at"]).utcoffset() is not None
    assert "hidden" not in lines[0]
    assert "secret" not in json.dumps(secret)


def test_health_is_no_line_unless_asked_for(client: TestClient, lines: list[str]) -> None:
    client.get("/healthz")
    assert lines == []
    logging.getLogger("castclock.request").setLevel(logging.DEBUG)
    client.get("/healthz")
    assert len(lines) == 1


@pytest.mark.parametrize("name", ["log_level", "log_format"])
def test_a_word_of_the_log_that_is_not_known_is_refused(name: str) -> None:
    with pytest.raises(InputError, match=name):
        Settings(**{name: "loud"})  # type: ignore[arg-type]
