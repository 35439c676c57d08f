"""Requests made from the interface's own document, by the hundred thousand: does it hold to it?

`python tests/faults/generated_requests.py --requests 100000` prints how many, how fast, and each
kind of failure with a request that shows it; it ends with 1 where there is one. The shop
has something of every kind in it, on SQLite, and an owner is signed in. Half of the
requests fit the document and half do not (Schemathesis makes both); of those that fit, most name
keys that are there and instants about now, or nearly all would end at "no such row". Every check
of Schemathesis judges each answer: no server error, no status, media type or header that the
document does not tell, no body of another shape, nothing wrong taken and nothing right refused.
After each handful the shop is as it was before.
"""

import argparse
import logging
import resource
import shutil
import socket
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any, cast

import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from hypothesis.errors import Unsatisfiable
from schemathesis import Case, GenerationMode
from schemathesis.core.failures import Failure, FailureGroup
from schemathesis.core.result import Ok
from schemathesis.python import asgi
from starlette.testclient import TestClient

sys.path.insert(0, str(Path(__file__).parents[2]))

from service.actions.people.join import invite_owner
from service.actions.shop import jobs
from service.actions.shop.set_up_shop import open_shop
from service.app import create_app
from service.notify.relay import Relay
from service.settings import Settings
from service.signed_in import COOKIE
from service.store import Store
from tests.support.shop import Hands, Sky, furnish

API = "/api/v1"
PICTURES = Path(__file__).parents[1] / "pictures"
HANDFUL = 16  # at most of one operation and one kind, before the shop is put back
EVENING = datetime(2026, 10, 14, 23, 0, tzinfo=UTC)  # 18:00 of the shop
TOLD_EVERY = 500
KEYS = 3  # most rows of the shop have keys up to this
CONFIG = {
    "request-timeout": 600,  # of a check in earnest on a machine with other work
    "checks": {
        "not_a_server_error": {"expected-statuses": ["2xx", "3xx", "4xx"]},
        # what no schema can tell is told by 422: a pour before its pieces were made, a wet tile
        "positive_data_acceptance": {
            "expected-statuses": ["2xx", "304", "401", "403", "404", "409", "412", "422", "503"]
        },
        "negative_data_rejection": {
            "expected-statuses": ["400", "401", "403", "404", "405", "409", "412", "413", "422"]
        },
    },
}


@dataclass
class Found:
    """What came of it.

    failures : the first request that shows it and how often, by operation and what is wrong
    """

    requests: int = 0
    answers: Counter[int] = field(default_factory=Counter)
    failures: dict[tuple[str, str], tuple[str, int]] = field(default_factory=dict)

    def note(self, operation: str, wrong: str, shown_by: str) -> None:
        first, count = self.failures.get((operation, wrong), (shown_by, 0))
        if not count:  # told at once: hours may follow
            print(f"\n{operation}: {wrong}\n{shown_by}", flush=True)
        self.failures[operation, wrong] = (first, count + 1)


class Ear(logging.Handler):
    """What the program logs as an error counts as one, though its answer was a good one."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(logging.Formatter("%(message)s").format(record))


def about_now() -> st.SearchStrategy[str]:
    """Instants with an offset, of the weeks around the evening of the shop."""
    minutes = st.integers(-60 * 24 * 60, 30 * 24 * 60)
    offsets = st.sampled_from((0, -360, -300, 330, 765))
    return st.builds(
        lambda at, offset: (
            (EVENING.astimezone(UTC) + timedelta(minutes=at))
            .astimezone(timezone(timedelta(minutes=offset)))
            .isoformat()
        ),
        minutes,
        offsets,
    )


def any_instant() -> st.SearchStrategy[str]:
    wild = st.datetimes(timezones=st.just(UTC)).map(datetime.isoformat)
    return st.one_of(about_now(), about_now(), about_now(), wild)


def something_of_every_kind(client: TestClient) -> None:
    """Three pours beside what is furnished, and a row of all that can be told of a shop."""
    now, due = EVENING.isoformat(), (EVENING + timedelta(days=30)).isoformat()
    photo = (PICTURES / "slab.jpg").read_bytes()
    pour = {"mix_id": 1, "piece_id": 1, "place_id": 1, "sealer_id": 1, "concrete_C": 15.0}
    whole: list[tuple[str, object]] = [
        ("/places/1/weather/refresh", None),
        ("/pours", {**pour, "mould_id": 1, "placed_at": _ago(1)}),
        ("/pours", {**pour, "placed_at": _ago(30)}),
        ("/pours", {**pour, "placed_at": _ago(200)}),
        ("/moulds/1/faults?kind=sticks", photo),
        ("/pours/2/photos", photo),
        ("/pours/2/steps/strip/done", {"at": now}),
        ("/pours/2/strength-tests", {"at": now, "kind": "cube", "MPa": 12.0}),
        ("/pours/2/protections", {"from_at": now, "kind": "film"}),
        ("/pours/2/readings", {"at": now, "kind": "concrete", "value_C": 12.0}),
        ("/pours/1/batches", {"concrete_C": 15.0}),
        ("/stock", {"kind": "cement", "name": "CEM I", "amount": 100.0, "place_id": 1}),
        ("/orders", {"name": "Two tops", "due_at": due, "parts": [{"piece_id": 1, "count": 2}]}),
        ("/orders/1/pins", {"piece_id": 1, "number": 1, "mould_id": 1, "start_at": due}),
        ("/places/1/weather/typed", {"night_low_C": 1.0, "day_high_C": 8.0}),
        ("/shop/calendar-address", None),
        ("/pours/3/close", {"why": "finished"}),
    ]
    for path, body in whole:
        if isinstance(body, bytes):
            image = {"Content-Type": "image/jpeg"}
            answer = client.post(API + path, content=body, headers=image)
        else:
            answer = client.post(API + path, json=body)
        assert answer.is_success, f"{path}: {answer.status_code} {answer.text[:500]}"


def _ago(hours: int) -> str:
    return (EVENING - timedelta(hours=hours)).isoformat()


class Shop:
    """The app over a shop that can be put back to what it was."""

    def __init__(self, folder: Path, store: Callable[[str], Store]) -> None:
        self._file, self._kept = folder / "castclock.sqlite3", folder / "kept.sqlite3"
        self.store = store(f"sqlite:///{self._file}")
        with self.store.unit_of_work() as session:
            open_shop(session, EVENING, "America/Chicago")
            jobs.beat(session, EVENING)
            code = invite_owner(session, EVENING)
        furnish(self.store, EVENING)
        told = Settings(data=str(folder), hosts="testserver")
        self.app = create_app(told, self.store, Sky(), Hands(EVENING))
        client = TestClient(self.app)
        client.post(f"/join/{code}", data={"name": "Robin", "password": "a long enough word"})
        self.cookie = client.cookies[COOKIE]
        something_of_every_kind(client)
        self.store.close()
        shutil.copy(self._file, self._kept)

    def put_back(self) -> None:
        self.store.close()
        for tail in ("-wal", "-shm"):
            self._file.with_name(self._file.name + tail).unlink(missing_ok=True)
        shutil.copy(self._kept, self._file)


def _keys_that_are_there(case: Case[Any], draw: Callable[[Any], Any]) -> None:
    """Most keys of a request that fits name a row of the shop."""
    key = st.integers(1, KEYS)

    def put(told: Any) -> None:
        for name, value in told.items() if isinstance(told, dict) else ():
            if name.endswith("_id") and type(value) is int and draw(st.integers(0, 9)):
                told[name] = draw(key)
            for one in value if isinstance(value, list) else (value,):
                put(one)

    put(case.path_parameters)
    put(case.query)
    put(case.body)
    if isinstance(case.body, bytes) and (case.media_type or "").startswith("image/"):
        kind = (case.media_type or "").removeprefix("image/").replace("jpeg", "jpg")
        if draw(st.booleans()):
            case.body = (PICTURES / f"slab.{kind}").read_bytes()


@contextmanager
def nothing_goes_out() -> Iterator[None]:
    """Notices are not sent and no name is looked up: of this no answer may depend."""
    send, look = Relay.send, socket.getaddrinfo

    def refused(*_: object, **__: object) -> Any:
        raise OSError("the tests reach no network")

    Relay.send, socket.getaddrinfo = refused, refused  # type: ignore[method-assign]
    try:
        yield
    finally:
        Relay.send, socket.getaddrinfo = send, look  # type: ignore[method-assign]


def upgraded(url: str) -> Store:
    store = Store(url)
    store.upgrade()
    return store


def run(
    folder: Path,
    wanted: int,
    begin: int = 1,
    only: str = "",
    tell: Callable[[Found], None] = lambda _: None,
    store: Callable[[str], Store] = upgraded,
    one_in: int = 1,
) -> Found:
    """Ask `wanted` times and say what was found.

    begin : of the random numbers; only : operations that hold this; one_in : so many of them
    store : opens the empty database of an address
    """
    ear, found = Ear(), Found()
    schemathesis.openapi.format("date-time", any_instant())
    shop = Shop(folder, store)
    schema = schemathesis.openapi.from_dict(
        shop.app.openapi(), config=schemathesis.Config.from_dict(CONFIG)
    )
    schema.app = shop.app
    operations = [one.ok() for one in schema.get_all_operations() if isinstance(one, Ok)]
    operations = [one for one in operations if only in one.label][begin % one_in :: one_in]
    ways = [
        (mode, one.as_strategy(generation_mode=mode))
        for one in operations
        for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
    ]
    logging.getLogger("castclock").addHandler(ear)
    with nothing_goes_out(), asgi.get_client(cast(Any, shop.app)) as client:
        client.cookies.set(COOKIE, shop.cookie)

        def ask(case: Case[Any], mode: GenerationMode, draw: Callable[[Any], Any]) -> None:
            if mode == GenerationMode.POSITIVE:
                _keys_that_are_there(case, draw)
            label = case.operation.label
            found.requests += 1
            ear.heard.clear()
            try:
                answer = case.call(session=client)
                found.answers[answer.status_code] += 1
                case.validate_response(answer)
            except (FailureGroup, Failure) as error:
                told = error.exceptions if isinstance(error, FailureGroup) else [error]
                for one in told:
                    found.note(label, f"{type(one).__name__}: {one.title}", _shown(case, one))
            except Exception:  # noqa: BLE001  the program's own: that is what is looked for
                found.answers[500] += 1
                found.note(label, "an exception", _shown(case, traceback.format_exc()))
            for line in ear.heard:
                found.note(label, "logged an error", _shown(case, line))

        number, each = begin, max(1, min(HANDFUL, wanted // len(ways)))
        while found.requests < wanted:
            more = []
            for way in ways:
                if found.requests >= wanted:
                    break
                shop.put_back()
                before = found.requests
                _handful(*way, each, number, ask)
                number += 1
                if found.requests - before > each // 2:
                    more.append(way)  # else there is no other request to be made of it
                if found.requests // TOLD_EVERY > before // TOLD_EVERY:
                    tell(found)
            ways = more or ways
    logging.getLogger("castclock").removeHandler(ear)
    shop.store.close()
    return found


def _handful(
    mode: GenerationMode,
    strategy: st.SearchStrategy[Case[Any]],
    each: int,
    number: int,
    ask: Callable[[Case[Any], GenerationMode, Callable[[Any], Any]], None],
) -> None:
    @seed(number)
    @settings(
        max_examples=each,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(strategy, st.data())
    def one_by_one(case: Case[Any], data: st.DataObject) -> None:
        ask(case, mode, data.draw)

    try:
        one_by_one()
    except Unsatisfiable:  # nothing that does not fit can be made for it
        return


def _shown(case: Case[Any], wrong: object) -> str:
    try:
        told = case.as_curl_command()
    except Exception:  # noqa: BLE001  what cannot be shown as a command is shown as it is
        told = repr(case)
    return f"{str(wrong)[-1500:]}\n{told[:600]}"


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--requests", type=int, default=2_000)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--only", default="", help="operations whose method and path hold this")
    told = ask.parse_args()
    began = time.perf_counter(), time.process_time()

    def line(found: Found) -> None:
        wall, core = time.perf_counter() - began[0], time.process_time() - began[1]
        errors = sum(count for status, count in found.answers.items() if status >= 500)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(
            f"{found.requests} requests in {wall:.0f} s ({found.requests / wall:.0f} a second;"
            f" {1000 * core / found.requests:.1f} ms of core each), {errors} server errors,"
            f" {len(found.failures)} kinds of failure, {peak:.0f} MB at most",
            flush=True,
        )

    with tempfile.TemporaryDirectory(prefix="castclock-generated-") as folder:
        found = run(Path(folder), told.requests, told.seed, told.only, line)
    line(found)
    for (operation, wrong), (_, count) in sorted(found.failures.items()):
        print(f"{operation}: {wrong} ({count} times)")
    print("answers:", ", ".join(f"{n} of {status}" for status, n in sorted(found.answers.items())))
    sys.exit(bool(found.failures))


if __name__ == "__main__":
    main()
