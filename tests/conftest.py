"""A fixed now, a store in a temporary folder, a settable sky, the app, and captured notices."""

import gc
import importlib
import os
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient
from starlette.types import Scope

from models.planning import pour_check, timeline
from scheduler.jobs import Rounds
from service import signed_in
from service.actions.pours.log_pour import log_pour
from service.actions.shop.set_up_shop import open_shop
from service.app import create_app
from service.nouns.pour import PourCreate
from service.settings import Settings
from service.store import Store, engine
from service.words import en
from tests.support.kept_shops import KeptShops
from tests.support.once import (
    EmptyDatabases,
    EmptyShop,
    Routed,
    remembered,
    start_compiling,
    wait_for_compiled,
)
from tests.support.shop import HOUR, Bench, Hands, Mailbox, Sky, Windows, furnish

# WORDS_PREFIX=x puts an x before every sentence: only tests/words may notice
for code, template in en.TEMPLATES.items():
    en.TEMPLATES[code] = os.environ.get("WORDS_PREFIX", "") + template
collect_ignore = ["stand_in", "bench", "support"]  # servers and measurements, run by others
TESTS = Path(__file__).parent
POSTGRES = "CASTCLOCK_TEST_POSTGRES"
TOKEN = "the-same-for-every-shop-of-tests"  # signs cookies: a kept shop goes on knowing them
NOW = datetime(2026, 10, 14, 23, 0, tzinfo=UTC)  # 18:00 in America/Chicago
IN_CI = os.environ.get("CI") == "true"
CHROMIUM = shutil.which("chromium")
COMPILER = shutil.which("cc")
BROKER = shutil.which("mosquitto", path=f"{os.environ.get('PATH', '')}:/usr/sbin")
NEEDS_BROKER = ("test_broker.py",)
NEEDS_COMPILER = ("test_power_cut.py", "test_killed_restore.py")


def pytest_configure(config: pytest.Config) -> None:
    gc.disable()  # until all is collected, which makes no garbage to speak of
    if config.getoption("numprocesses", None) and not hasattr(config, "workerinput"):
        child = start_compiling()

        def ended() -> None:
            child.wait()

        config.add_cleanup(ended)


def pytest_collection_finish() -> None:
    """What was collected lives to the end: to look through it again and again is a fifth of the
    suite's time."""
    gc.freeze()
    gc.set_threshold(20_000, 10, 10)
    gc.enable()


@pytest.hookimpl(tryfirst=True)
def pytest_runtestloop() -> None:
    wait_for_compiled()


def pytest_report_header() -> str | None:
    """Says what a machine leaves out for want of a tool; CI may leave out nothing."""
    missing = [] if CHROMIUM else ["browser tests (no chromium)"]
    missing += [] if COMPILER else ["power cuts (no C compiler)"]
    missing += [] if BROKER else ["readings over MQTT (no mosquitto)"]
    missing += [] if os.environ.get(POSTGRES) else [f"PostgreSQL tests ({POSTGRES} not set)"]
    return "left out here: " + ", ".join(missing) if missing and not IN_CI else None


def pytest_ignore_collect(collection_path: Path) -> bool | None:
    """Without its tool a test is not collected, except in CI, where it then fails."""
    name = collection_path.name
    lacking = (
        (name == "browser" and not CHROMIUM)
        or (name in NEEDS_COMPILER and not COMPILER)
        or (name in NEEDS_BROKER and not BROKER)
    )
    return True if lacking and not IN_CI else None


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Store tests run on SQLite, and on PostgreSQL where a server is named or CI must have one."""
    if "any_store" in metafunc.fixturenames:
        kinds = [pytest.param("sqlite")]
        if os.environ.get(POSTGRES) or IN_CI:
            kinds.append(pytest.param("postgresql", marks=pytest.mark.postgres))
        metafunc.parametrize("any_store", kinds, indirect=True)


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def hands(now: datetime) -> Hands:
    return Hands(now)


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(data=str(tmp_path), hosts="testserver", notice_networks="127.0.0.0/8, ::1")


@pytest.fixture(scope="session")
def empty_shop() -> Iterator[EmptyShop]:
    made = EmptyShop()
    yield made
    made.close()


@pytest.fixture(scope="session")
def empty_databases() -> Iterator[EmptyDatabases]:
    server = os.environ.get(POSTGRES)
    if not server:
        pytest.fail(f"CI must start PostgreSQL and set {POSTGRES} to its URL")
    made = EmptyDatabases(server)
    yield made
    made.close()


@pytest.fixture(scope="session")
def kept_shops() -> Iterator[KeptShops]:
    kept = KeptShops()
    yield kept
    kept.close()


@pytest.fixture(scope="session")
def routed() -> Routed:
    return Routed()


@pytest.fixture(scope="session", autouse=True)
def asked_once() -> Iterator[None]:
    """Doors and clock ask the science; what one test asked before another has its answer."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(timeline, "project", remembered(timeline.project))
        patch.setattr(pour_check, "check", remembered(pour_check.check))
        yield


@pytest.fixture(scope="session", autouse=True)
def no_waiting_for_the_disk() -> Iterator[None]:
    """Shops in this process outlive no power cut; those of servers that are started wait for it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine, "SYNCHRONOUS", "OFF")
        yield


@pytest.fixture(scope="session", autouse=True)
def client_of_this_machine() -> Iterator[None]:
    """A test client asks from no address; it counts as a browser of the machine itself."""
    real = signed_in.from_this_machine

    def here(scope: Scope) -> bool:
        return (scope.get("client") or ("",))[0] == "testclient" or real(scope)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(signed_in, "from_this_machine", here)
        yield


@pytest.fixture
def store(settings: Settings, empty_shop: EmptyShop) -> Iterator[Store]:
    """An upgraded SQLite store in a temporary folder."""
    opened = empty_shop.copied_to(settings.database_url)
    yield opened
    opened.close()


@pytest.fixture
def any_store(
    request: pytest.FixtureRequest, tmp_path: Path, empty_shop: EmptyShop
) -> Iterator[Store]:
    """The same on every database castclock supports."""
    if request.param == "sqlite":
        opened = empty_shop.copied_to(f"sqlite:///{tmp_path / 'shop.sqlite3'}")
        yield opened
        opened.close()
        return
    copies: EmptyDatabases = request.getfixturevalue("empty_databases")
    with copies.copied() as url:
        opened = Store(url)
        yield opened
        opened.close()


@pytest.fixture
def bench(store: Store, now: datetime, kept_shops: KeptShops) -> Bench:
    return kept_shops.after(lambda: furnish(store, now), store, Hands(now))


@pytest.fixture
def pour_id(store: Store, bench: Bench, now: datetime) -> int:
    """One pour, placed an hour before now, not projected yet."""
    with store.unit_of_work() as session:
        pour = log_pour(
            session,
            now,
            PourCreate(
                mix_id=bench.mix_id,
                piece_id=bench.piece_id,
                place_id=bench.place_id,
                mould_id=bench.mould_id,
                sealer_id=bench.sealer_id,
                placed_at=now - HOUR,
                concrete_C=15.0,
            ),
        )
        return pour.id


@pytest.fixture
def sky() -> Sky:
    return Sky()


@pytest.fixture
def app(
    settings: Settings, store: Store, sky: Sky, hands: Hands, now: datetime, routed: Routed
) -> FastAPI:
    """The application over the store; its shop is open."""
    with store.unit_of_work() as session:
        shop = open_shop(session, now, "America/Chicago")
        shop.units = "si"  # a metric shop, as its tests type
        shop.feed_token = TOKEN
    return routed.with_state_of(create_app(settings, store, sky, hands))


@pytest.fixture
def client(app: FastAPI) -> TestClient:
    """A browser of British English, whatever the shop's zone.

    What a faulty program answers is seen as an answer, not as an exception.
    """
    return TestClient(app, headers={"Accept-Language": "en-GB"}, raise_server_exceptions=False)


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
    monkeypatch.setattr(timeline, "project", dictated)
    return dictated


@pytest.fixture
def furnished() -> Callable[[Store, datetime], Bench]:
    """`furnish`, for tests that bring their own store."""
    return furnish


@pytest.fixture(scope="session")
def loaded() -> Callable[[str], ModuleType]:
    """A file under tests/ as a module, the one that an import of it gives."""

    def load(path: str) -> ModuleType:
        return importlib.import_module(f"tests.{path.removesuffix('.py').replace('/', '.')}")

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
