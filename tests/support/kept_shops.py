"""Shops as a fixture has filled them: what was done once to a shop is copied the next time."""

import pickle
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from starlette.testclient import TestClient

from models.planning import timeline
from service.request_context import AppState
from service.store import Store
from tests.support.shop import Hands, Sky

T = TypeVar("T")
DRAWN = {"code"}  # a column that is other in every shop, by chance


class KeptShops:
    """Requests that begin at the same shop, hour and sky end at the same shop; they are sent once.

    What the shop holds is looked through each time, so that what another fixture told before, a sky
    of another kind or windows that a test dictates have a shop of their own.
    """

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="castclock-shops-")
        self._known: dict[object, tuple[Path, bytes]] = {}

    def after(self, made: Callable[[], T], store: Store, *about: Hands | Sky | TestClient) -> T:
        """What `made` gives; the shop and what else it is about are as `made` leaves them.

        `made` may depend on nothing but these.
        """
        file = Path(str(store.engine.url.database))
        begun = made.__code__, _held(file), repr(timeline.project), *map(_told, about)
        if begun not in self._known:
            told = made()
            kept = Path(self._folder.name) / f"{len(self._known)}.sqlite3"
            copied(file, kept)
            self._known[begun] = kept, pickle.dumps((told, [_left(one) for one in about]))
            return told
        kept, pickled = self._known[begun]
        copied(kept, file)
        again: T
        again, left = pickle.loads(pickled)
        for one, its in zip(about, left, strict=True):
            if isinstance(one, TestClient):
                for cookie in its:
                    one.cookies.jar.set_cookie(cookie)
            else:
                vars(one).update(its)
        return again

    def close(self) -> None:
        self._folder.cleanup()


def _told(one: Hands | Sky | TestClient) -> str:
    """Of a browser what it says of itself, and what was chosen about the app but for its folder."""
    if not isinstance(one, TestClient):
        return repr(one)
    state: AppState = one.app.state.castclock  # type: ignore[attr-defined]
    cookies = [(cookie.name, cookie.value) for cookie in one.cookies.jar]
    return repr((one.headers, cookies, replace(state.settings, data=""), state.weather))


def _left(one: Hands | Sky | TestClient) -> Any:
    return list(one.cookies.jar) if isinstance(one, TestClient) else vars(one)


def _held(file: Path) -> str:
    with closing(sqlite3.connect(file)) as shop:
        shop.row_factory = sqlite3.Row
        tables = shop.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
        rows = [dict(row) for (name,) in tables for row in shop.execute(f'SELECT * FROM "{name}"')]
    return repr([{key: row[key] for key in row if key not in DRAWN} for row in rows])


def copied(file: Path, to: Path) -> None:
    with closing(sqlite3.connect(file)) as one, closing(sqlite3.connect(to)) as other:
        one.backup(other)
