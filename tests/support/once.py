"""What a run of the suite makes once and every test uses: compiled code, an empty database, the
routes of the app, and the answer to a question that was asked before.
"""

import fcntl
import os
import pickle
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import ParamSpec, TypeVar
from uuid import uuid4

import psycopg
from fastapi import FastAPI
from sqlalchemy import make_url

from service.machine import CACHE
from service.store import Store

P = ParamSpec("P")
R = TypeVar("R")
COMMAND = Path(sys.executable).with_name("castclock")
ROOT = Path(__file__).parents[2]
DEMO = ROOT / "service" / "demo_data" / "heron-bench.toml"
LOCK = "compiling"


def start_compiling() -> subprocess.Popen[bytes]:
    """Compile for all workers while they collect; the lock is the child's until it ends."""
    folder = Path(os.environ[CACHE])
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / LOCK).open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        return subprocess.Popen(
            [sys.executable, "-m", "tests.support.compiling"],
            cwd=ROOT,
            pass_fds=[lock.fileno()],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )


def wait_for_compiled() -> None:
    lock = Path(os.environ[CACHE]) / LOCK
    if lock.exists():
        with lock.open() as shared:
            fcntl.flock(shared, fcntl.LOCK_SH)


def remembered(function: Callable[P, R]) -> Callable[P, R]:
    """Answers of a pure function by what it was asked; each caller has a copy of its own."""
    known: dict[bytes, bytes] = {}

    def ask(*asked: P.args, **named: P.kwargs) -> R:
        key = pickle.dumps((asked, sorted(named.items())))
        if key not in known:
            known[key] = pickle.dumps(function(*asked, **named))
        answer: R = pickle.loads(known[key])
        return answer

    return ask


class EmptyShop:
    """An upgraded SQLite database, copied for each test that wants a store."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="castclock-tests-")
        self._file = Path(self._folder.name) / "empty.sqlite3"
        store = Store(f"sqlite:///{self._file}")
        store.upgrade()
        store.close()

    def copied_to(self, url: str) -> Store:
        path = url.removeprefix("sqlite:///")
        store = Store(url)
        shutil.copyfile(self._file, path)
        return store

    def close(self) -> None:
        self._folder.cleanup()


class EmptyDatabases:
    """The same on a PostgreSQL server: one database is upgraded, the others are its copies."""

    def __init__(self, server: str) -> None:
        self._server = make_url(server).set(drivername="postgresql")
        self._upgraded = self._new("template1")
        store = Store(self._url(self._upgraded))
        store.upgrade()
        store.close()

    @contextmanager
    def copied(self) -> Iterator[str]:
        """The URL of a copy, which is gone afterwards."""
        name = self._new(self._upgraded)
        try:
            yield self._url(name)
        finally:
            self._drop(name)

    def close(self) -> None:
        self._drop(self._upgraded)

    def _new(self, like: str) -> str:
        name = f"castclock_{uuid4().hex[:12]}"
        self._do(f"CREATE DATABASE {name} TEMPLATE {like}")
        return name

    def _drop(self, name: str) -> None:
        self._do(f"DROP DATABASE {name} WITH (FORCE)")

    def _url(self, name: str) -> str:
        return self._server.set(database=name).render_as_string(hide_password=False)

    def _do(self, command: str) -> None:
        admin = self._server.render_as_string(hide_password=False)
        with psycopg.connect(admin, autocommit=True) as connection:
            connection.execute(command.encode())


class Routed:
    """Apps whose routes are built: FastAPI builds them at the first request of each app."""

    def __init__(self) -> None:
        self._apps: dict[str, FastAPI] = {}

    def with_state_of(self, app: FastAPI) -> FastAPI:
        """An app of the same middleware that was used before, with the state of this one."""
        used = self._apps.setdefault(repr(app.user_middleware), app)
        used.state = app.state
        return used
