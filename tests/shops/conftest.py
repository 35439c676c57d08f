"""Two shops with rows in every table: made once on SQLite and copied, on PostgreSQL each time."""

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
from fastapi import FastAPI
from sqlalchemy import make_url
from starlette.testclient import TestClient

from service.app import create_app
from service.settings import Settings
from service.signed_in import COOKIE
from service.store import Store
from tests.conftest import NOW, TESTS
from tests.support.once import EmptyShop, Routed
from tests.support.shop import Hands, Sky
from tests.support.two_shops import Shops, two_shops

PICTURE = TESTS / "pictures" / "slab.png"


@dataclass(frozen=True)
class Made:
    file: Path
    shops: Shops


@pytest.fixture(scope="session")
def made_once(tmp_path_factory: pytest.TempPathFactory, empty_shop: EmptyShop) -> Made:
    file = tmp_path_factory.mktemp("two-shops") / "two.sqlite3"
    store = empty_shop.copied_to(f"sqlite:///{file}")
    shops = two_shops(store, NOW, PICTURE.read_bytes())
    with store.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    store.close()
    return Made(file, shops)


def _filled(store: Store, made: Made) -> Shops:
    url = store.engine.url
    if make_url(url).get_backend_name() != "sqlite":
        return two_shops(store, NOW, PICTURE.read_bytes())
    store.close()
    shutil.copyfile(made.file, str(url.database))
    return made.shops


@pytest.fixture
def shops(store: Store, made_once: Made) -> Shops:
    """In `store`, on SQLite."""
    return _filled(store, made_once)


@pytest.fixture
def any_shops(any_store: Store, made_once: Made) -> Shops:
    """In `any_store`, on every database."""
    return _filled(any_store, made_once)


@pytest.fixture
def opened(
    settings: Settings, sky: Sky, hands: Hands, routed: Routed
) -> Callable[[Store], FastAPI]:
    return lambda store: routed.with_state_of(create_app(settings, store, sky, hands))


@pytest.fixture
def doors(opened: Callable[[Store], FastAPI], store: Store, shops: Shops) -> FastAPI:
    del shops
    return opened(store)


@pytest.fixture
def browser(doors: FastAPI, shops: Shops) -> Callable[[int], TestClient]:
    """A browser in which the owner of a shop is signed in; of 0 a stranger's."""

    def of(shop_id: int) -> TestClient:
        client = TestClient(doors, raise_server_exceptions=False, follow_redirects=False)
        if shop_id:
            client.cookies.set(COOKIE, shops.browsers[shop_id])
        return client

    return of
