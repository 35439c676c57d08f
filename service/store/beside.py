"""Keys that lie beside the database: to lose them is to lose every phone, so a backup holds them as
rows of a table of its own, and a restore lays them back as files of the owner alone."""

import os
import re
import sqlite3
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

from service import secret
from service.store import disk

KEYS = "castclock*.pem"
NAME = re.compile(r"castclock[\w.-]{0,80}\.pem")  # no backup writes anywhere else
TABLE = "castclock_beside"


def put_in(copy: Path, folder: Path) -> None:
    """The keys of a folder, into a copy of its database that nobody has open."""
    found = sorted(path for path in folder.glob(KEYS) if NAME.fullmatch(path.name))
    if not found:
        return
    with closing(_unshared(copy)) as database:
        database.execute(f"CREATE TABLE {TABLE} (name TEXT PRIMARY KEY, content BLOB NOT NULL)")
        for path in found:
            row = (path.name, path.read_bytes())
            database.execute(f"INSERT INTO {TABLE} VALUES (?, ?)", row)


def take_out(copy: Path) -> dict[str, bytes]:
    """The keys in a copy, which is a plain database then; none of one that was written before."""
    with closing(_unshared(copy)) as database:
        known = "SELECT name FROM sqlite_master WHERE name = ?"
        if database.execute(known, (TABLE,)).fetchone() is None:
            return {}
        rows = database.execute(f"SELECT name, content FROM {TABLE}").fetchall()
        database.execute("PRAGMA secure_delete = ON")
        database.execute(f"DROP TABLE {TABLE}")
    disk.settle(copy)
    return {name: bytes(content) for name, content in rows if NAME.fullmatch(name)}


def lay(folder: Path, keys: Mapping[str, bytes]) -> None:
    """Keys as files of the owner alone. One that is another than stood there leaves that kept."""
    for name, content in keys.items():
        path = folder / name
        if path.exists():
            if path.read_bytes() == content:
                path.chmod(0o600)
                continue
            number = 1
            while (aside := path.with_name(f"{name}.replaced-{number}")).exists():
                number += 1
            os.link(path, aside)
        secret.write(path, content, anew=True)
    if keys:
        disk.settle_names(folder)


def _unshared(copy: Path) -> sqlite3.Connection:
    """A file that counts only once it is whole and has its name: it needs no journal."""
    database = sqlite3.connect(copy, isolation_level=None)
    database.execute("PRAGMA journal_mode = OFF")
    return database
