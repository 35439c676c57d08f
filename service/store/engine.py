"""The database: engine, transactions, upgrade. The only place that commits."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import cache, partial
from importlib.resources import as_file, files
from pathlib import Path
from threading import Lock
from typing import Any

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as NoneFree
from sqlmodel import Session

from models.errors import InputError
from service.store import disk, shops
from service.store.migrations.lift import BEFORE, RELEASED, lift

BUSY_MS = 10_000
LINE_S = 10.0  # of the writers of this process, before it is said that it is busy
# What was acknowledged must survive a power cut: each commit waits until its rows are on the disk.
SYNCHRONOUS = "FULL"
WRITER_LOCK = 0x63617374  # one writer at a time on PostgreSQL too, as on SQLite
POOL_SIZE = 40  # as many as there are request threads, so that none waits for another's connection
ROOM = 16_000_000  # bytes free that are left, or the disk counts as full: two photos and their log


class OtherSchema(Exception):
    """The tables are another castclock's by now: nothing was written."""


# What a database raises; `trouble` says whether it is its own.
TROUBLE = (DBAPIError, NoneFree, OtherSchema)
# SQLite's result codes and PostgreSQL's classes of SQLSTATE that are no fault of a statement.
SQLITE_SAYS = {
    5: "locked by another program",
    6: "locked by another program",
    7: "out of memory",
    8: "read-only",
    10: "on a disk that fails",
    11: "damaged",
    13: "full, or its disk is",
    14: "not to be opened",
    26: "damaged",
}
REVISION = "SELECT version_num FROM alembic_version"
POSTGRES_SAYS = ("08", "40", "53", "55", "57", "58")
READ_ONLY, NOT_ALLOWED = "25006", "42501"


class Store:
    """One database. Writers take their turn from the first statement on; readers never wait."""

    def __init__(self, url: str) -> None:
        # asked before anything is written; it may refuse (service.queries.limits)
        self.ask: Callable[[Session], None] | None = None
        address = make_url(url)
        if address.get_backend_name() not in ("sqlite", "postgresql"):
            raise InputError(
                "database",
                address.get_backend_name(),
                "not a known database",
                "sqlite | postgresql",
            )
        self._sqlite = address.get_backend_name() == "sqlite"
        if self._sqlite:
            if not address.database or address.database == ":memory:":
                raise InputError("database", url, "no file", "sqlite:///FILE")
            disk.made(Path(address.database).parent)
        else:
            address = address.set(drivername="postgresql+psycopg")
        self._address = address
        # A restarted server has closed what is in the pool: each is tried before it is used.
        self.engine = create_engine(
            address, pool_size=POOL_SIZE, max_overflow=10, pool_pre_ping=not self._sqlite
        )
        self._listen(self.engine, _open_sqlite)
        self._writer = self.engine.execution_options(castclock_writes=True)
        self._writing = Lock()

    @contextmanager
    def _turn(self) -> Iterator[None]:
        """Writers of this process stand in line. SQLite itself has no line: each looks again now
        and then whether it may, and among many some never find it so within their time."""
        if self._sqlite and not self._writing.acquire(timeout=LINE_S):
            raise NoneFree("others of this process write")
        try:
            yield
        finally:
            if self._sqlite:
                self._writing.release()

    @contextmanager
    def unit_of_work(self) -> Iterator[Session]:
        """A session that writes: committed at the end, undone by any exception.

        Raises OtherSchema before anything is written, when another castclock has changed the
        tables since this one was started.
        """
        with (
            self._turn(),
            Session(self._writer, expire_on_commit=False) as session,
            session.begin(),
        ):
            shops.shop_of(session)
            if (ask := self.ask) is not None:
                event.listen(session, "before_flush", lambda session, *_: ask(session))
            found = session.connection().exec_driver_sql(REVISION).scalars().all()
            if found != [head()]:
                raise OtherSchema(", ".join(found))
            yield session

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that only reads: one consistent view, nothing is kept."""
        with Session(self.engine, expire_on_commit=False, autoflush=False) as session:
            shops.shop_of(session)
            yield session

    def takes_writes(self) -> bool:
        """Whether a write is kept now. It is tried, and there must be room for more than that."""
        try:
            with self._writer.begin() as connection:
                connection.execute(text("UPDATE alembic_version SET version_num = version_num"))
        except TROUBLE as error:
            if not trouble(error):
                raise
            return False
        folder = Path(self._address.database or "").parent
        return not self._sqlite or shutil.disk_usage(folder).free >= ROOM

    def close(self) -> None:
        self.engine.dispose()

    def upgrade(self) -> None:
        """Bring the schema to this program's revision; all or nothing.

        Raises InputError when the database comes from a newer program.
        """
        with (
            as_file(files("service.store") / "migrations") as folder,
            self._migrator() as engine,
            engine.begin() as connection,
        ):
            config = Config()
            config.set_main_option("script_location", str(folder).replace("%", "%%"))
            config.attributes["connection"] = connection
            heads = MigrationContext.configure(connection).get_current_heads()
            if heads:
                refuse_unknown("database", "database", heads)
            if heads and heads[0] in BEFORE:
                lift(connection, partial(command.upgrade, config, RELEASED))
            command.upgrade(config, "head")
            if self._sqlite:
                broken = connection.execute(text("PRAGMA foreign_key_check")).all()
                if broken:
                    raise InputError(
                        "database", len(broken), "rows lost what they refer to", "a sound database"
                    )

    def revision(self) -> str | None:
        """The revision the schema is at; None for an empty database."""
        with self.engine.connect() as connection:
            return MigrationContext.configure(connection).get_current_revision()

    @contextmanager
    def _migrator(self) -> Iterator[Engine]:
        # Foreign keys stay off here: with them, replacing a table deletes its children in silence.
        engine = create_engine(self._address)
        self._listen(engine, _open_sqlite_without_keys)
        try:
            yield engine.execution_options(castclock_writes=True)
        finally:
            engine.dispose()

    def _listen(self, engine: Engine, opened: Callable[[sqlite3.Connection, Any], None]) -> None:
        if self._sqlite:
            event.listen(engine, "connect", opened)
        event.listen(engine, "begin", _begin_sqlite if self._sqlite else _begin_postgres)


def trouble(error: Exception) -> str:
    """What keeps the database from answering; empty when the statement was at fault."""
    if isinstance(error, NoneFree):
        return "busy: every connection is taken"
    if isinstance(error, OtherSchema):
        return "at the tables of another castclock, which has to be started in place of this one"
    if not isinstance(error, (DBAPIError, sqlite3.Error)):
        return ""
    cause = error.orig if isinstance(error, DBAPIError) else error
    code = getattr(cause, "sqlite_errorcode", None)
    if code is not None:
        return SQLITE_SAYS.get(code & 0xFF, "")
    if not isinstance(error, DBAPIError):
        return ""
    state = getattr(cause, "sqlstate", None)
    if state == READ_ONLY:
        return SQLITE_SAYS[8]
    if state == NOT_ALLOWED:
        return "closed to this name"
    if error.connection_invalidated or (state or "")[:2] in POSTGRES_SAYS:
        return "not to be reached"
    return "not to be reached" if state is None and _names(cause) else ""


def is_trouble(error: Exception) -> bool:
    """Whether the database keeps from answering, and not a statement was at fault."""
    return isinstance(error, TROUBLE) and bool(trouble(error))


def _names(cause: BaseException | None) -> bool:
    """Whether psycopg lost, or never had, its server: it tells no state then."""
    return type(cause).__name__ in ("OperationalError", "InterfaceError", "ConnectionTimeout")


@cache
def head() -> str | None:
    """The revision this program wants."""
    with as_file(files("service.store") / "migrations") as folder:
        return ScriptDirectory(str(folder)).get_current_head()


def revisions() -> set[str]:
    """Every revision this program knows."""
    with as_file(files("service.store") / "migrations") as folder:
        known = ScriptDirectory(str(folder)).walk_revisions()
        return {*BEFORE, *(script.revision for script in known)}


def refuse_unknown(field: str, kind: str, found: Sequence[str]) -> None:
    """Refuse a database or a backup (`kind`) that is not at one revision of this program."""
    known = revisions()
    if len(found) != 1 or found[0] not in known:
        raise InputError(
            field,
            ", ".join(found) or "no revision",
            "a schema revision this program does not know; a newer castclock wrote it",
            f"a {kind} at one of " + ", ".join(sorted(known)),
        )


def _open_sqlite(connection: sqlite3.Connection, _record: Any) -> None:
    _open_sqlite_without_keys(connection, _record)
    connection.execute("PRAGMA foreign_keys = ON")


def _open_sqlite_without_keys(connection: sqlite3.Connection, _record: Any) -> None:
    # The driver must not begin transactions by itself: it would do so only at the first write,
    # and a value read before that is lost to a rival without an error.
    connection.isolation_level = None
    connection.execute(f"PRAGMA busy_timeout = {BUSY_MS}")
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute(f"PRAGMA synchronous = {SYNCHRONOUS}")
    connection.execute("PRAGMA fullfsync = ON")  # on a Mac a plain sync stops short of the disk


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("castclock_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _begin_postgres(connection: Connection) -> None:
    if connection.get_execution_options().get("castclock_writes", False):
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITER_LOCK})")
