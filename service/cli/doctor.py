"""`castclock doctor`: how a server does, looked at from beside it; nothing is made or changed."""

import json
import os
import shutil
import stat
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from cryptography.hazmat.primitives.serialization import load_pem_private_key
from sqlalchemy import make_url, text
from sqlalchemy.exc import SQLAlchemyError

from models import seal
from models.errors import InputError
from service.actions.shop.examine import Finding, examined, ill, well
from service.answer_fields import as_json
from service.cli.terminal import plain, wrapped
from service.settings import Settings
from service.store import Store, head, revisions, trouble
from service.store.beside import KEYS
from service.words import say
from service.words.reader import PLAIN

ROOM = 200_000_000  # bytes that the next photos, log and answers want free
COPIES = 2  # times its size: a copy before an upgrade, and the one that is written meanwhile
MB, GB = 1e6, 1e9
ROWS = ("clock", "windows", "notices", "weather", "channels", "pictures")


def examine(settings: Settings, compiled: Path, now: datetime) -> list[Finding]:
    """Every finding in the order in which it is told.

    compiled : folder of the compiled kernels
    """
    found = list(_database(settings, now))
    file = _file(settings)
    return [*found, _disk(settings, file), _kernels(compiled), _keys(Path(settings.data))]


def as_text(found: list[Finding]) -> str:
    wide = max(len(one.check) for one in found) + 2
    lines: list[str] = []
    for one in found:
        mark = plain("doctor_mark_well" if one.well else "doctor_mark_ill")
        first = f"{one.check:{wide}}{mark:7}"
        told = ": ".join(filter(None, (one.shop, say(one.told, PLAIN))))
        lines += wrapped(told, first, " " * len(first))
    wrong = sum(not one.well for one in found)
    ends = {"count": wrong, "all": len(found)}
    return "\n".join([*lines, "", plain("doctor_ill", **ends) if wrong else plain("doctor_well")])


def as_object(found: list[Finding]) -> str:
    checks = [
        {
            "check": one.check,
            "well": one.well,
            "code": one.told.code,
            "values": as_json(one.told.values),
            "text": say(one.told, PLAIN),
            **({"shop": one.shop} if one.shop else {}),
        }
        for one in found
    ]
    whole = {"well": all(one.well for one in found), "checks": checks}
    return json.dumps(whole, indent=2, allow_nan=False)


def _database(settings: Settings, now: datetime) -> Iterator[Finding]:
    """The database, its schema and what its rows tell; what cannot be seen is not well."""
    file = _file(settings)
    if file is not None and not file.is_file():
        yield ill("database", "doctor_database_missing", path=str(file))
        yield from _unseen("database", ("revision", *ROWS))
        return
    try:
        store = Store(settings.database_url)
    except InputError as error:
        yield ill("database", "doctor_database_damaged", reason=str(error))
        yield from _unseen("database", ("revision", *ROWS))
        return
    try:
        soundness = _soundness(store, file)
        yield soundness
        if not soundness.well:
            yield from _unseen("database", ("revision", *ROWS))
            return
        revision = _revision(store)
        yield revision
        if not revision.well:
            yield from _unseen("revision", ROWS)
            return
        yield from examined(store, settings, now)
    finally:
        store.close()


def _soundness(store: Store, file: Path | None) -> Finding:
    kind = "PostgreSQL" if file is None else "SQLite"
    try:
        if file is not None:
            with store.reading() as session:
                told = session.connection().execute(text("PRAGMA quick_check(1)")).scalar()
            if told != "ok":
                return ill("database", "doctor_database_damaged", reason=str(told))
        takes = store.takes_writes()
    except SQLAlchemyError as error:
        words = trouble(error)
        if words:
            return ill("database", "doctor_database_trouble", trouble=words)
        # whole, but not ours: it has no table of revisions
        return ill("database", "doctor_database_damaged", reason=type(error).__name__)
    if not takes:
        return ill("database", "doctor_database_refuses")
    return well("database", "doctor_database", kind=kind)


def _revision(store: Store) -> Finding:
    found, wanted = store.revision(), head()
    if found == wanted:
        return well("revision", "doctor_revision", found=str(found))
    if found is not None and found not in revisions():
        return ill("revision", "doctor_revision_unknown", found=found)
    return ill("revision", "doctor_revision_other", found=str(found), wanted=str(wanted))


def _unseen(after: str, checks: tuple[str, ...]) -> Iterator[Finding]:
    for check in checks:
        yield ill(check, "doctor_unseen", after=after)


def _disk(settings: Settings, file: Path | None) -> Finding:
    folder = file.parent if file is not None else Path(settings.data)
    there = next(one for one in (folder.absolute(), *folder.absolute().parents) if one.exists())
    free = shutil.disk_usage(there).free
    size = file.stat().st_size if file is not None and file.is_file() else 0
    wanted = ROOM + COPIES * size
    if free < wanted:
        asked = wanted / MB
        return ill("disk", "doctor_disk_full", path=str(there), free_MB=free / MB, wanted_MB=asked)
    return well("disk", "doctor_disk", free_GB=free / GB, path=str(there))


def _kernels(folder: Path) -> Finding:
    path = str(folder)
    files = seal.compiled(folder)
    damaged = sum(not _is_whole(one) for one in files)
    if damaged:
        count = len(files)
        return ill("kernels", "doctor_kernels_damaged", path=path, damaged=damaged, count=count)
    if files:
        return well("kernels", "doctor_kernels", count=len(files), path=path)
    there = next(one for one in (folder.absolute(), *folder.absolute().parents) if one.exists())
    if not os.access(there, os.W_OK):
        return ill("kernels", "doctor_kernels_shut", path=path, reason=f"{there} is read-only")
    return well("kernels", "doctor_kernels_none", path=path)


def _is_whole(path: Path) -> bool:
    try:
        return seal.holds(path.read_bytes())
    except OSError:
        return False


def _keys(folder: Path) -> Finding:
    found = sorted(folder.glob(KEYS))
    for path in found:
        content = _read(path)
        if b"PRIVATE" not in content and b"CERTIFICATE" in content:
            continue
        if not _is_key(content):
            return ill("keys", "doctor_key_unreadable", name=path.name)
        if stat.S_IMODE(path.stat().st_mode) & 0o077:
            return ill("keys", "doctor_key_open", name=path.name)
    return well("keys", "doctor_keys" if found else "doctor_keys_none", count=len(found))


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        return b""


def _is_key(content: bytes) -> bool:
    try:
        load_pem_private_key(content, password=None)
    except (ValueError, TypeError):
        return False
    return True


def _file(settings: Settings) -> Path | None:
    """The file of a SQLite database; None on PostgreSQL."""
    address = make_url(settings.database_url)
    return Path(address.database or "") if address.get_backend_name() == "sqlite" else None
