"""What keeps a command from its work, in one line: a database, a file, a library."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from models.errors import InputError
from service.machine import OURS
from service.settings import Settings

# By what `service.store.trouble` says: what would help.
HELPS = {
    "damaged": "a castclock database, as castclock restore lays one from a backup",
    "locked by another program": "it closed first",
    "read-only": "one that this user may write",
    "not to be opened": "a file in a folder that this user may write",
    "full, or its disk is": "room on its disk",
    "not to be reached": "a database whose server runs and lets this name in",
    "closed to this name": "one in which this name may make tables",
}


@contextmanager
def database(settings: Settings) -> Iterator[None]:
    """Trouble of the database is told by its address, without the password."""
    from sqlalchemy import make_url

    from service.store import TROUBLE, trouble

    try:
        yield
    except (*TROUBLE, sqlite3.Error) as error:
        if not (why := trouble(error)):
            raise
        said = str(getattr(error, "orig", None) or error).strip().partition("\n")[0]
        shown = make_url(settings.database_url).render_as_string(hide_password=True)
        allowed = HELPS.get(why, "a sound one")
        raise InputError("database", shown, f"it is {why} ({said})", allowed) from None


def told(error: Exception) -> str:
    """The line; empty where it is a fault of the program, which is told whole."""
    if isinstance(error, InputError):
        return str(error)
    if isinstance(error, OSError) and error.strerror:
        where = error.filename or error.filename2 or ""
        wrong, allowed = error.strerror, "one that this user may read and write"
        return str(InputError("file", str(where), wrong, allowed))
    if isinstance(error, ImportError) and (name := _library(error)) not in OURS:
        wrong, allowed = " ".join(str(error).split()), "the versions of requirements.lock"
        return str(InputError("library", name, wrong, allowed))
    return ""


def _library(error: ImportError) -> str:
    """Which one is missing, or refused to be loaded."""
    if error.name:
        return error.name.partition(".")[0]
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    name = trace.tb_frame.f_globals.get("__name__", "") if trace is not None else ""
    return str(name).partition(".")[0]
