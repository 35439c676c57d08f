"""A fixed now, a store in a temporary folder, a settable sky, the app, and captured notices."""

import importlib.util
import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import ModuleType
from typing import Any
from uuid import uuid4

import numpy as np
import psycopg
import pytest
from fastapi import FastAPI
from sqlalchemy import make_url
from starlette.testclient import TestClient

from models.air.series import AirSeries
from models.errors import DeliveryFailed, WeatherUnavailable
from models.message import Message, text
from models.projection import run
from models.results import Alert, FrostWatch, Need, PourSummary, Projection, StepWindow
from scheduler.jobs import Rounds
from service.actions.log_pour import log_pour
from service.actions.set_up_shop import (
    change_shop,
    open_shop,
    save_mix,
    save_mould,
    save_piece,
    save_place,
)
from service.app import create_app
from service.notify.channel import Notice
from service.settings import Settings
from service.store import Store

if WORKER := os.environ.get("PYTEST_XDIST_WORKER"):
    # each compiles for itself: two that write one folder at once find each other's code damaged
    os.environ["XDG_CACHE_HOME"] = str(Path(tempfile.gettempdir()) / f"castclock-tests-{WORKER}")
collect_ignore = ["stand_in", "bench"]  # servers and measurements, run by others
TESTS = Path(__file__).parent
POSTGRES = "CASTCLOCK_TEST_POSTGRES"
NOW = datetime(2026, 10, 14, 23, 0, tzinfo=UTC)  # 18:00 in America/Chicago
HOUR = timedelta(hours=1)
IN_CI = os.environ.get("CI") == "true"
CHROMIUM = shutil.which("chromium")
COMPILER = shutil.which("cc")
NEEDS_COMPILER = ("test_power_cut.py", "test_killed_restore.py")


def pytest_report_header() -> str | None:
    """Says what a machine leaves out for want of a tool; CI may leave out nothing."""
    missing = [] if CHROMIUM else ["browser tests (no chromium)"]
    missing += [] if COMPILER else ["power cuts (no C compiler)"]
    missing += [] if os.environ.get(POSTGRES) else [f"PostgreSQL tests ({POSTGRES} not set)"]
    return "left out here: " + ", ".join(missing) if missing and not IN_CI else None


def pytest_ignore_collect(collection_path: Path) -> bool | None:
    """Without its tool a test is not collected, except in CI, where it then fails."""
    name = collection_path.name
    lacking = (name == "browser" and not CHROMIUM) or (name in NEEDS_COMPILER and not COMPILER)
    return True if lacking and not IN_CI else None


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Store tests run on SQLite, and on PostgreSQL where a server is named or CI must have one."""
    if "any_store" in metafunc.fixturenames:
        kinds: list[Any] = ["sqlite"]
        if os.environ.get(POSTGRES) or IN_CI:
            kinds.append(pytest.param("postgresql", marks=pytest.mark.postgres))
        metafunc.parametrize("any_store", kinds, indirect=True)


@dataclass
class Hands:
    """The clock of the app under test."""

    now: datetime

    def __call__(self) -> datetime:
        return self.now

    def forward(self, hours: float) -> datetime:
        self.now += timedelta(hours=hours)
        return self.now


@dataclass
class Sky:
    """A weather service whose answer the test sets; `down` is the reason it gives none."""

    air_C: float = 12.0
    down: str = ""
    asked: list[tuple[float, float]] = field(default_factory=list)
    name: str = "a sky of the tests"
    attribution: str = "none"

    def forecast(self, latitude: float, longitude: float, now: datetime) -> AirSeries:
        self.asked.append((latitude, longitude))
        if self.down:
            raise WeatherUnavailable(self.name, self.down, 900.0)
        return steady_air(now, self.air_C, source=self.name)


def steady_air(
    now: datetime, air_C: float, *, source: str = "a test", back_h: int = 48, ahead_h: int = 720
) -> AirSeries:
    """The same air for every hour around `now`."""
    start = now.astimezone(UTC).replace(minute=0, second=0, microsecond=0) - back_h * HOUR
    same = np.ones(back_h + ahead_h)
    return AirSeries(
        start=start,
        air_C=air_C * same,
        dew_point_C=(air_C - 4.0) * same,
        wind_m_s=2.0 * same,
        rain_mm=0.0 * same,
        cloud_fraction=0.5 * same,
        shortwave_W_m2=np.nan * same,
        issued_at=now,
        source=source,
    )


@dataclass
class Mailbox:
    """A channel that keeps what it is given; `refuse` makes it fail."""

    name: str = "mailbox"
    notices: list[Notice] = field(default_factory=list)
    refuse: DeliveryFailed | None = None

    def send(self, notice: Notice) -> None:
        if self.refuse is not None:
            raise self.refuse
        self.notices.append(notice)


@dataclass(frozen=True)
class Bench:
    """Keys of an invented shop with one of everything."""

    place_id: int
    mix_id: int
    piece_id: int
    mould_id: int


SUMMARY = PourSummary(
    "bench",
    NOW,
    text("panel 1200 x 600 x 40 mm"),
    text("bag mix"),
    "covered",
    28.8,
    66.2,
    text("Mind."),
)


@dataclass
class Windows:
    """Windows a test dictates instead of the science, to watch what is done about them."""

    steps: list[StepWindow] = field(default_factory=list)
    warnings: tuple[Message, ...] = ()
    alerts: tuple[Alert, ...] = ()
    frost_watch: FrostWatch | None = None

    def warn(self, kind: str, at: datetime, act_by: datetime, chance: float = 0.4) -> None:
        told = text(f"{kind}: {chance:.0%} chance, film by then")
        self.alerts = (
            *(a for a in self.alerts if a.kind != kind),
            Alert(kind, chance, at, act_by, text("one blanket"), 0.05, told),
        )
        self.warnings = tuple(alert.text for alert in self.alerts)

    def clear(self) -> None:
        self.alerts, self.warnings = (), ()

    def say(
        self,
        step: str,
        state: str,
        p90: datetime | None,
        latest: datetime | None = None,
        because: str = "4.2 MPa of 5.0 at the coldest corner.",
        **more: Any,
    ) -> None:
        self.steps = [other for other in self.steps if other.step != step]
        early = more.pop("p50", None if p90 is None else p90 - HOUR)
        need = Need("strength", 5.0, "MPa")
        self.steps.append(
            StepWindow(
                step,
                state,
                early,
                p90,
                latest,
                need,
                (text(because),),
                cautions=(text("A nail marks it but does not dent."),),
                missed=text("take the block out in pieces, no hammer"),
                **more,
            )
        )

    def __call__(self, *_: object) -> Projection:
        return Projection(
            SUMMARY,
            None,
            tuple(self.steps),
            self.warnings,
            alerts=self.alerts,
            frost_watch=self.frost_watch,
        )


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def hands(now: datetime) -> Hands:
    return Hands(now)


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data=str(tmp_path), hosts="testserver", notice_networks="127.0.0.0/8, ::1")


@pytest.fixture
def store(settings: Settings) -> Iterator[Store]:
    """An upgraded SQLite store in a temporary folder."""
    opened = Store(settings.database_url)
    opened.upgrade()
    yield opened
    opened.close()


@pytest.fixture
def any_store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    """The same on every database castclock supports."""
    if request.param == "sqlite":
        opened = Store(f"sqlite:///{tmp_path / 'shop.sqlite3'}")
        opened.upgrade()
        yield opened
        opened.close()
        return
    server = os.environ.get(POSTGRES)
    if not server:
        pytest.fail(f"CI must start PostgreSQL and set {POSTGRES} to its URL")
    name = f"castclock_{uuid4().hex[:12]}"
    admin = make_url(server).set(drivername="postgresql").render_as_string(hide_password=False)
    with psycopg.connect(admin, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}".encode())
    opened = Store(make_url(server).set(database=name).render_as_string(hide_password=False))
    try:
        opened.upgrade()
        yield opened
    finally:
        opened.close()
        with psycopg.connect(admin, autocommit=True) as connection:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)".encode())


def furnish(store: Store, now: datetime) -> Bench:
    """An invented shop: one place, mix, piece and mould, one address for notices."""
    with store.unit_of_work() as session:
        open_shop(session, now, "America/Chicago")
        change_shop(session, now, {"notice_addresses": ["json://localhost"], "units": "si"})
        place = save_place(
            session,
            now,
            {
                "name": "Carport",
                "kind": "covered",
                "latitude": 44.0,
                "longitude": -92.0,
                "timezone": "America/Chicago",
            },
        )
        mix = save_mix(
            session,
            now,
            {
                "name": "Grey bag",
                "kind": "general-purpose",
                "label": [{"age_h": 168.0, "MPa": 19.0}, {"age_h": 672.0, "MPa": 28.0}],
            },
        )
        piece = save_piece(
            session,
            now,
            {
                "name": "North bench",
                "shape": "panel",
                "length_mm": 1500.0,
                "width_mm": 420.0,
                "thickness_mm": 60.0,
            },
        )
        mould = save_mould(session, now, {"name": "Bench mould", "piece_id": piece.id})
        return Bench(place.id, mix.id, piece.id, mould.id)


@pytest.fixture
def bench(store: Store, now: datetime) -> Bench:
    return furnish(store, now)


@pytest.fixture
def pour_id(store: Store, bench: Bench, now: datetime) -> int:
    """One pour, placed an hour before now, not projected yet."""
    with store.unit_of_work() as session:
        pour = log_pour(
            session,
            now,
            mix_id=bench.mix_id,
            piece_id=bench.piece_id,
            place_id=bench.place_id,
            mould_id=bench.mould_id,
            placed_at=now - HOUR,
            concrete_C=15.0,
        )
        return pour.id


@pytest.fixture
def sky() -> Sky:
    return Sky()


@pytest.fixture
def app(settings: Settings, store: Store, sky: Sky, hands: Hands, now: datetime) -> FastAPI:
    """The application over the store; its shop is open."""
    with store.unit_of_work() as session:
        open_shop(session, now, "America/Chicago").units = "si"  # a metric shop, as its tests type
    return create_app(settings, store, sky, hands)


@pytest.fixture
def client(app: FastAPI) -> TestClient:
    """What a faulty program answers is seen as an answer, not as an exception."""
    return TestClient(app, raise_server_exceptions=False)


@pytest.fixture
def mailbox() -> Mailbox:
    return Mailbox()


@pytest.fixture
def rounds(settings: Settings, store: Store, sky: Sky, mailbox: Mailbox) -> Rounds:
    """The clock's rounds, called by the test, with every notice captured."""
    return Rounds(settings, store, sky, lambda addresses: [mailbox] if addresses else [])


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> Windows:
    """Dictated windows instead of the science's."""
    dictated = Windows()
    monkeypatch.setattr(run, "project", dictated)
    return dictated


@pytest.fixture
def furnished() -> Callable[[Store, datetime], Bench]:
    """`furnish`, for tests that bring their own store."""
    return furnish


@pytest.fixture(scope="session")
def loaded() -> Callable[[str], ModuleType]:
    """A file under tests/ as a module, made once: nothing there is a package."""

    def load(path: str) -> ModuleType:
        name = f"castclock_tests_{Path(path).stem}"
        if name not in sys.modules:
            spec = importlib.util.spec_from_file_location(name, TESTS / path)
            assert spec is not None
            assert spec.loader is not None
            sys.modules[name] = importlib.util.module_from_spec(spec)
            spec.loader.exec_module(sys.modules[name])
        return sys.modules[name]

    return load


@pytest.fixture(scope="session")
def record_2013(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("replays/record_2013.py")


@pytest.fixture
def picture() -> Callable[[str], bytes]:
    """A small picture of an invented slab, red on the left and blue on the right."""
    return lambda kind: (TESTS / "pictures" / f"slab.{kind}").read_bytes()


@pytest.fixture
def taken_outdoors(
    loaded: Callable[[str], ModuleType], picture: Callable[[str], bytes]
) -> Callable[[str], bytes]:
    """The same as a phone writes it, held upright: with Exif, place, notes and a tail."""
    phone = loaded("pictures/phone.py")
    return lambda kind: phone.taken_outdoors(kind, picture(kind))
