"""Checked copies of a SQLite database, and the mark by which a running program is seen."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from models.errors import InputError

OUR_TABLES = {"alembic_version", "pour"}


def sqlite_file(database_url: str) -> Path:
    """The file behind a SQLite address; other databases bring their own tools for copies."""
    if not database_url.startswith("sqlite:///"):
        raise InputError(
            "database",
            database_url.partition("://")[0],
            "castclock copies SQLite only",
            "sqlite:///FILE; for PostgreSQL use pg_dump and pg_restore",
        )
    return Path(database_url.removeprefix("sqlite:///"))


def backup(database: Path, target: Path) -> None:
    """A copy of the database as it is now, in use or not; the target appears only once checked."""
    if not database.is_file():
        raise InputError("database", str(database), "there is none", "a castclock database")
    if target.exists():
        raise InputError("FILE", str(target), "exists already", "a new file name")
    if not target.parent.is_dir():
        raise InputError("FILE", str(target), "its folder does not exist", "an existing folder")
    partial = target.with_name(target.name + ".partial")
    partial.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(database)) as source:
            source.execute("VACUUM INTO ?", (str(partial),))
    except sqlite3.Error as error:
        raise InputError("database", str(database), str(error), "a sound database") from None
    check("database", partial)
    _settled(partial)
    os.replace(partial, target)


def restore(source: Path, database: Path) -> Path | None:
    """Put a backup in place of the database; where the old one is kept, None if there was none.

    Raises InputError while a castclock process has the database in use.
    """
    check("FILE", source)
    database.parent.mkdir(parents=True, exist_ok=True)
    arriving = database.with_name(database.name + ".arriving")
    with _alone(database):
        shutil.copyfile(source, arriving)
        check("FILE", arriving)
        _settled(arriving)
        kept = _set_aside(database)
        os.replace(arriving, database)
    return kept


def check(field: str, path: Path) -> None:
    """Refuse a file that is no sound castclock database."""
    allowed = "a backup written by castclock backup"
    if not path.is_file():
        raise InputError(field, str(path), "there is no such file", allowed)
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as copy:
            verdict = copy.execute("PRAGMA integrity_check").fetchone()[0]
            broken = copy.execute("PRAGMA foreign_key_check").fetchone()
            tables = {row[0] for row in copy.execute("SELECT name FROM sqlite_master")}
    except sqlite3.Error as error:
        raise InputError(field, str(path), str(error), allowed) from None
    if verdict != "ok":
        raise InputError(field, str(path), verdict, allowed)
    if broken is not None:
        raise InputError(field, str(path), f"rows of {broken[0]} lost what they refer to", allowed)
    if not tables >= OUR_TABLES:
        raise InputError(field, str(path), "not a castclock database", allowed)


@contextmanager
def in_use(database: Path) -> Iterator[None]:
    """Held by every process that has the database in use; a crash frees it."""
    # A reader's lock on an empty SQLite file: the one kind of file lock that is alike everywhere.
    with closing(_mark(database)) as mark:
        mark.execute("BEGIN")
        mark.execute("SELECT count(*) FROM sqlite_master").fetchone()
        yield


@contextmanager
def _alone(database: Path) -> Iterator[None]:
    with closing(_mark(database)) as mark:
        try:
            mark.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError:
            raise InputError(
                "database", str(database), "a castclock process has it in use", "it stopped first"
            ) from None
        yield


def _mark(database: Path) -> sqlite3.Connection:
    database.parent.mkdir(parents=True, exist_ok=True)
    name = database.with_name(database.name + ".in-use")
    return sqlite3.connect(name, timeout=0, isolation_level=None, check_same_thread=False)


def _set_aside(database: Path) -> Path | None:
    """Rename the old database with what belongs to it; nothing is deleted."""
    if not database.exists():
        return None
    number = 1
    while (kept := database.with_name(f"{database.name}.replaced-{number}")).exists():
        number += 1
    for part in ("-wal", "-shm", ""):
        old = database.with_name(database.name + part)
        if old.exists():
            os.replace(old, kept.with_name(kept.name + part))
    return kept


def _settled(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())
