"""Checked copies of a SQLite database, and the mark by which a running program is seen.

A backup is a SQLite file with one line behind its last page: the SHA-256 of all before it. SQLite
does not look there, and whoever restores finds any bit that has changed since. The keys that lie
beside the database are in it (`beside`).
"""

import hashlib
import os
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

from models.errors import InputError
from service.settings import Settings
from service.store import beside, disk
from service.store.engine import Store, head, refuse_unknown

OUR_TABLES = {"alembic_version", "pour"}
SEAL = b"\ncastclock backup, SHA-256 "
SEAL_LENGTH = len(SEAL) + 64
SMALLEST_PAGE = 512  # a SQLite file is whole pages long, so that what is more is a seal or damage
ALLOWED = "a backup written by castclock backup"
DATED = re.compile(r"castclock-\d{8}T\d{6}Z\.sqlite3(\.partial)?")
PARTS = ("-journal", "-wal", "-shm")  # what belongs to a database beside its file


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


def write(settings: Settings, file: Path, now: datetime, keep: int | None) -> Path:
    """A backup of a shop as it is set up, into a new file, or dated into a folder; where it is."""
    source, keys = sqlite_file(settings.database_url), Path(settings.data)
    if keep is not None or file.is_dir():
        return backup_dated(source, file, now, keep, keys)
    backup(source, file, keys)
    return file


def backup(database: Path, target: Path, keys: Path | None = None, *, anew: bool = False) -> None:
    """A copy of the database as it is now, in use or not; the target appears only once checked.

    keys : the folder in which they lie, where that is not the database's
    anew : the target is ours, and may stand there
    """
    if not database.is_file():
        raise InputError("database", str(database), "there is none", "a castclock database")
    if target.exists() and not anew:
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
    beside.put_in(partial, keys or database.parent)
    with partial.open("ab") as file:
        file.write(SEAL + _digest(partial, partial.stat().st_size))
    disk.settle(partial)
    os.replace(partial, target)
    disk.settle_names(target.parent)


def backup_dated(
    database: Path, folder: Path, now: datetime, keep: int | None, keys: Path | None = None
) -> Path:
    """A backup named by the instant; of such names in the folder the newest `keep` stay.

    Files of any other name are left alone, whatever they are.
    """
    if not folder.is_dir():
        raise InputError("DIR", str(folder), "there is no such folder", "an existing folder")
    if keep is not None and keep < 1:
        raise InputError("--keep", keep, "would keep none", "1 or more")
    target = folder / f"castclock-{now.astimezone(UTC):%Y%m%dT%H%M%SZ}.sqlite3"
    backup(database, target, keys)
    if keep is not None:
        for old in _surplus(folder, target.name, keep):
            old.unlink(missing_ok=True)
        disk.settle_names(folder)
    return target


def upgrade(settings: Settings, store: Store) -> str:
    """Bring a database that holds a shop to this program's tables, a copy of it first; what to say.

    One copy for each revision it came from: a start that fails again and again fills no disk.
    Raises InputError while another castclock process has the database in use.
    """
    found, wanted = store.revision(), head()
    if found in (None, wanted):
        return ""
    refuse_unknown("database", "database", [str(found)])
    moved = f"The tables were brought from {found} to {wanted}."
    if not settings.database_url.startswith("sqlite"):
        store.upgrade()
        return f"{moved} castclock copies SQLite only: the way back is a pg_dump of before."
    database = sqlite_file(settings.database_url)
    kept = database.with_name(f"{database.name}.at-{found}")
    with _alone(database):
        backup(database, kept, Path(settings.data), anew=True)
        store.upgrade()
    where = f"--database {settings.database}" if settings.database else f"--data {settings.data}"
    return (
        f"{moved} As they were they are kept: {kept}\n"
        f"To go back: stop, install the castclock of before, castclock restore {kept} {where}"
    )


def _surplus(folder: Path, newest: str, keep: int) -> list[Path]:
    """Our dated files beyond the newest so many, and what backups that were killed left behind.

    One dated after the newest was written before it, by a clock that was wrong: it goes first.
    """
    names = [path.name for path in folder.iterdir() if DATED.fullmatch(path.name)]
    whole = [name for name in names if not name.endswith(".partial")]
    whole.sort(key=lambda name: (name <= newest, name), reverse=True)
    torn = [name for name in names if name.endswith(".partial") and name < newest]
    return [folder / name for name in (*whole[keep:], *torn)]


def restore(source: Path, database: Path, keys: Path | None = None) -> Path | None:
    """Put a backup in place of the database; where the old one is kept, None if there was none.

    Whenever it is interrupted the shop is wholly the old one or wholly the new one: the new one
    is checked beside the old one, the old one is whole in its file and has a checked copy, and
    then one name changes. The keys are laid just before: an old shop with a new key would reach no
    phone and say so, until it is restored again. Raises InputError while a castclock process has
    the database in use.
    """
    length = _unsealed(source)
    disk.made(database.parent)
    arriving = database.with_name(database.name + ".arriving")
    with _alone(database):
        _copy(source, arriving, length)
        check("FILE", arriving)
        with _still(arriving) as copy:
            found = [str(row[0]) for row in copy.execute("SELECT version_num FROM alembic_version")]
        refuse_unknown("FILE", "backup", found)
        kept = beside.take_out(arriving)
        aside = _set_aside(database)
        disk.made(keys or database.parent)
        beside.lay(keys or database.parent, kept)
        os.replace(arriving, database)
        disk.settle_names(database.parent)
    return aside


def check(field: str, path: Path) -> None:
    """Refuse a file that is no sound castclock database."""
    try:
        with _still(path) as copy:
            verdict = copy.execute("PRAGMA integrity_check").fetchone()[0]
            broken = copy.execute("PRAGMA foreign_key_check").fetchone()
            tables = {row[0] for row in copy.execute("SELECT name FROM sqlite_master")}
    except sqlite3.Error as error:
        raise InputError(field, str(path), str(error), ALLOWED) from None
    if verdict != "ok":
        raise InputError(field, str(path), verdict, ALLOWED)
    if broken is not None:
        raise InputError(field, str(path), f"rows of {broken[0]} lost what they refer to", ALLOWED)
    if not tables >= OUR_TABLES:
        raise InputError(field, str(path), "not a castclock database", ALLOWED)


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


def _unsealed(path: Path) -> int:
    """How long the database in a backup is, once its seal was found true.

    A file of whole pages has none: a castclock before the seal wrote it.
    """
    if not path.is_file():
        raise InputError("FILE", str(path), "there is no such file", ALLOWED)
    size = path.stat().st_size
    if size % SMALLEST_PAGE == 0:
        return size
    length = max(size - SEAL_LENGTH, 0)
    with path.open("rb") as file:
        file.seek(length)
        trailer = file.read()
    if trailer != SEAL + _digest(path, length):
        raise InputError("FILE", str(path), "it has changed since it was written", ALLOWED)
    return length


def _digest(path: Path, length: int) -> bytes:
    """SHA-256 of the beginning of a file, in hexadecimal digits."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while length > 0 and (block := file.read(min(length, 1 << 20))):
            digest.update(block)
            length -= len(block)
    return digest.hexdigest().encode()


def _copy(source: Path, target: Path, length: int) -> None:
    """The beginning of a file as a new file that is on the disk."""
    shutil.copyfile(source, target)
    os.truncate(target, length)
    disk.settle(target)


def _still(path: Path) -> closing[sqlite3.Connection]:
    """A database that nobody else has open; nothing is made beside it."""
    address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    return closing(sqlite3.connect(address, uri=True))


def _set_aside(database: Path) -> Path | None:
    """A copy of the old database, which stays in its place, whole in one file."""
    if not database.exists():
        return None
    number = 1
    while (aside := database.with_name(f"{database.name}.replaced-{number}")).exists():
        number += 1
    _fold(database)
    # A damaged one may still have something beside it, which is kept beside the copy.
    for part in (*PARTS, ""):
        old = database.with_name(database.name + part)
        if old.exists():
            partial = database.with_name(database.name + ".keeping")
            _copy(old, partial, old.stat().st_size)
            os.replace(partial, aside.with_name(aside.name + part))
    disk.settle_names(database.parent)
    for part in PARTS:
        database.with_name(database.name + part).unlink(missing_ok=True)
    return aside


def _fold(database: Path) -> None:
    """Bring what a killed program left beside the file into it, so that nothing is beside it."""
    try:
        with closing(sqlite3.connect(database, timeout=1.0, isolation_level=None)) as old:
            old.execute("PRAGMA synchronous = FULL")
            busy = old.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    except sqlite3.OperationalError as error:
        raise InputError(
            "database", str(database), str(error), "one that can be written, and no other program"
        ) from None
    except sqlite3.DatabaseError:  # damaged: there is nothing to be brought in
        return
    if busy:
        raise InputError("database", str(database), "a program has it open", "it closed first")
