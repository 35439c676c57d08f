"""A whole shop as one file, without loss, and back; or gone for good.

The file is a zip: `castclock.json` says what is in it, `rows/TABLE.jsonl` has a row a line, and
`photos/` each picture by its SHA-256. Keys are counted anew from 1 in each table, so that a shop
that was brought elsewhere makes the same file again. What was answered to a request before is left
out: it is asked for within days, by an address of the old server.
"""

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from sqlalchemy import Date, DateTime, Float, LargeBinary, Table, Time, delete, insert, text
from sqlmodel import Session

from models.errors import InputError
from models.records.base import Row
from service.actions.shop.set_up_shop import open_shop
from service.queries import shops, whole_shop
from service.store.shops import FIRST

HEAD = "castclock.json"
FORMAT = "castclock shop 1"
ALLOWED = "a file that castclock export wrote"
LEFT_OUT = ("idempotency_key", "order_plan")  # the plan is worked out anew
LARGEST_ENTRY = 2_000_000_000  # bytes: no shop has as much in one table
SECRETS = {  # that nobody guesses: none is twice on a server
    "sticker": "code",
    "owner_link": "code",
    "passkey": "credential",
    "sign_in": "digest",
    "invitation": "digest",
    "token": "digest",
}
Keys = Mapping[str, Mapping[int, int]]  # by table what a key becomes


def export(session: Session, shop_id: int, revision: str, file: Path) -> dict[str, int]:
    """Write the shop of a session that sees all; how many rows each table has."""
    if file.exists():
        raise InputError("FILE", str(file), "exists already", "a new file name")
    keys = {
        table.name: {old: k for k, old in enumerate(whole_shop.ids(session, table, shop_id), 1)}
        for table in whole_shop.tables()
    }
    counts, sums = {}, {}
    partial = file.with_name(file.name + ".partial")
    with zipfile.ZipFile(partial, "w", zipfile.ZIP_DEFLATED) as out:

        def put(name: str, content: bytes) -> None:
            if name not in sums:
                sums[name] = hashlib.sha256(content).hexdigest()
                info = zipfile.ZipInfo(name)  # without the hour: the same shop, the same file
                info.compress_type = zipfile.ZIP_DEFLATED
                out.writestr(info, content)

        def photo(content: bytes) -> str:
            digest = hashlib.sha256(content).hexdigest()
            put(f"photos/{digest}", content)
            return digest

        for table in _tables():
            lines = io.StringIO()
            for row in whole_shop.rows(session, table, shop_id):
                told = _moved(table, dict(row), keys)
                lines.write(_line({name: _told(value, photo) for name, value in told.items()}))
            counts[table.name] = len(keys[table.name])
            put(f"rows/{table.name}.jsonl", lines.getvalue().encode())
        own = {k: v for k, v in whole_shop.shop_row(session, shop_id).items() if k != "id"}
        put("rows/shop.jsonl", _line({k: _told(v, photo) for k, v in own.items()}).encode())
        head = {"format": FORMAT, "revision": revision, "rows": counts, "sha256": sums}
        info = zipfile.ZipInfo(HEAD)
        out.writestr(info, json.dumps(head, indent=1).encode())
    partial.rename(file)
    return counts


def bring_in(session: Session, revision: str, file: Path) -> int:
    """A new shop of a file, all of it or nothing; its key. The session sees all.

    Raises InputError for a file that is broken, of another schema, or of a shop that is here.
    """
    try:
        with zipfile.ZipFile(file) as source:
            return _Reader(session, source, revision).bring_in()
    except FileNotFoundError:
        raise InputError("FILE", str(file), "there is no such file", ALLOWED) from None
    except InputError:
        raise
    except (zipfile.BadZipFile, OSError, ValueError, LookupError, TypeError, EOFError) as error:
        wrong = f"broken: {type(error).__name__} {error}"[:200]
        raise InputError("FILE", str(file), wrong, ALLOWED) from None


class _Reader:
    def __init__(self, session: Session, source: zipfile.ZipFile, revision: str) -> None:
        self._session, self._source = session, source
        self._connection = session.connection()
        self._head = json.loads(source.read(HEAD))
        if not isinstance(self._head, dict) or self._head.get("format") != FORMAT:
            raise InputError("FILE", str(source.filename), "not a file of a shop", ALLOWED)
        if self._head["revision"] != revision:
            wrong = f"written at the schema {self._head['revision']}"
            allowed = f"one of {revision}: bring both castclocks to the same version first"
            raise InputError("FILE", str(source.filename), wrong, allowed)

    def bring_in(self) -> int:
        lines = {table.name: self._lines(table) for table in _tables()}
        shop = Row.metadata.tables["shop"]
        (own,) = self._lines(shop, but=("id",))
        self._refuse_twice(own, lines)
        shop_id = whole_shop.next_id(self._session, shop)
        self._connection.execute(insert(shop), {**own, "id": shop_id})
        keys = {}
        for table in _tables():
            first, told = whole_shop.next_id(self._session, table), lines[table.name]
            if [row["id"] for row in told] != list(range(1, len(told) + 1)):
                raise ValueError(f"keys of {table.name}")
            keys[table.name] = {k: first + k - 1 for k in range(1, len(told) + 1)}
        later = []
        for table in _tables():
            for row in lines[table.name]:
                moved = {**_moved(table, row, keys), "shop_id": shop_id}
                for name in _pictures(table):
                    moved[name] = moved[name] and self._entry(f"photos/{moved[name]}")
                within = {name: moved[name] for name in _own_keys(table) if moved[name]}
                self._connection.execute(insert(table), {**moved, **dict.fromkeys(within)})
                if within:
                    later.append((table, moved["id"], within))
        for table, key, within in later:
            self._connection.execute(table.update().where(table.c.id == key).values(within))
        self._go_on_counting([shop, *_tables()])
        return shop_id

    def _lines(self, table: Table, but: tuple[str, ...] = ("shop_id",)) -> list[dict[str, Any]]:
        content = self._entry(f"rows/{table.name}.jsonl").decode()
        wanted = {one.name for one in table.c} - set(but)
        found = []
        for line in content.splitlines():
            told = json.loads(line)
            if told.keys() != wanted:
                raise ValueError(f"columns of {table.name}")
            found.append({name: self._read(table.c[name], value) for name, value in told.items()})
        if table.name != "shop" and len(found) != self._head["rows"][table.name]:
            raise ValueError(f"rows of {table.name}")
        return found

    def _entry(self, name: str) -> bytes:
        """What is in the file, as it was written."""
        if self._source.getinfo(name).file_size > LARGEST_ENTRY:
            raise ValueError(f"size of {name}")
        content = self._source.read(name)
        if hashlib.sha256(content).hexdigest() != self._head["sha256"][name]:
            raise ValueError(f"{name} has changed")
        return content

    def _read(self, column: Any, value: Any) -> Any:
        kind = getattr(column.type, "impl", column.type)
        kind = kind if not isinstance(kind, type) else kind()
        if value is None:
            return None
        for sort, read in ((DateTime, datetime), (Date, date), (Time, time)):
            if isinstance(kind, sort):
                return read.fromisoformat(value)
        return float(value) if isinstance(kind, Float) else value

    def _refuse_twice(self, own: Mapping[str, Any], lines: Mapping[str, Any]) -> None:
        if shops.named(self._session, own["name"]):
            wrong, allowed = "a shop here is called so", "a server without it, or that one renamed"
            raise InputError("shop", own["name"], wrong, allowed)
        tables = Row.metadata.tables
        secret = {**SECRETS, "shop": "feed_token"}
        for name, column in secret.items():
            told = [own] if name == "shop" else lines[name]
            values = [row[column] for row in told]
            if whole_shop.taken(self._session, tables[name], column, values):
                wrong = "is here already, under another name"
                raise InputError("shop", own["name"], wrong, "a server without it")

    def _go_on_counting(self, tables: list[Table]) -> None:
        """PostgreSQL counts keys apart from the rows."""
        if self._connection.dialect.name != "postgresql":
            return
        for table in tables:
            newest = whole_shop.next_id(self._session, table)
            count = "SELECT setval(pg_get_serial_sequence(:name, 'id'), :newest, false)"
            self._connection.execute(text(count), {"name": table.name, "newest": newest})


def delete_shop(session: Session, now: datetime, shop_id: int) -> int:
    """All rows and photos of a shop, and the shop; how many rows. The session sees all.

    A server always has a shop of its own: deleted it is opened anew, and empty.
    """
    connection = session.connection()
    if connection.dialect.name == "sqlite":
        connection.execute(text("PRAGMA secure_delete = ON"))  # its pages are written over
    gone = 0
    for table in reversed(whole_shop.tables()):
        gone += connection.execute(delete(table).where(table.c.shop_id == shop_id)).rowcount
    shop = Row.metadata.tables["shop"]
    timezone = whole_shop.shop_row(session, shop_id)["timezone"]
    connection.execute(delete(shop).where(shop.c.id == shop_id))
    if shop_id == FIRST:
        session.expire_all()
        open_shop(session, now, timezone)
    return gone


def _tables() -> list[Table]:
    return [one for one in whole_shop.tables() if one.name not in LEFT_OUT]


def _pictures(table: Table) -> list[str]:
    return [one.name for one in table.c if isinstance(one.type, LargeBinary)]


def _own_keys(table: Table) -> list[str]:
    """Columns that refer to rows of the table itself."""
    return [key.parent.name for key in table.foreign_keys if key.column.table.name == table.name]


def _moved(table: Table, row: dict[str, Any], keys: Keys) -> dict[str, Any]:
    """A row with all its keys become those of elsewhere."""
    row.pop("shop_id", None)
    then, poured = row.get("sealer_then"), row.get("poured")
    if table.name == "projection":
        row["inputs"] = _inputs(row["inputs"], keys)
    elif table.name == "client_order":
        row["parts"] = [_part(part, keys) for part in row["parts"]]
    elif table.name == "pour":
        row["sealer_then"] = [keys["sealer"][key] for key in then or ()]
        if poured and "sealer_then" in poured:
            kept = poured["sealer_then"].items()
            moved = {str(keys["sealer"][int(key)]): one for key, one in kept}
            row["poured"] = {**poured, "sealer_then": moved}
    elif table.name in ("duty", "reminder"):
        row["key"] = _key(row, keys)
    row["id"] = keys[table.name][row["id"]]
    for key in table.foreign_keys:
        name, value = key.parent.name, row[key.parent.name]
        if value is not None:
            row[name] = keys[key.column.table.name][value]
    return row


def _key(row: Mapping[str, Any], keys: Keys) -> str:
    """A duty and a reminder are told apart by the key of their place or pour in a text."""
    if row.get("kind") == "weather":
        return f"weather:{keys['place'][row['place_id']]}"
    if row.get("kind") == "projection":
        return f"projection:{keys['pour'][row['pour_id']]}"
    text_, pour_id = str(row["key"]), row.get("pour_id")
    head, colon, rest = text_.partition(":")
    if pour_id is not None and head == str(pour_id):
        return f"{keys['pour'][pour_id]}{colon}{rest}"
    return text_


def _part(part: Mapping[str, Any], keys: Keys) -> dict[str, Any]:
    moved = dict(part)
    for name, value in part.items():
        noun = name.removesuffix("_id")
        if name.endswith("_id") and value is not None:
            moved[name] = keys[noun][value]
    if part.get("sealer_then"):
        moved["sealer_then"] = [keys["sealer"][key] for key in part["sealer_then"]]
    return moved


def _inputs(inputs: Mapping[str, Any], keys: Keys) -> dict[str, Any]:
    """What a projection rested on; a reading that was taken away since is 0."""
    moved = dict(inputs)
    for name, table in (("readings", "reading"), ("strength_tests", "strength_test")):
        if name in inputs:
            moved[name] = [keys[table].get(key, 0) for key in inputs[name]]
    if inputs.get("weather_run_id") is not None:
        moved["weather_run_id"] = keys["weather_run"].get(inputs["weather_run_id"], 0)
    if "pour" in inputs:
        told, nouns = list(inputs["pour"]), ("mix", "piece", "place", "mould", "sealer")
        for k, noun in enumerate(nouns, 3):
            told[k] = None if told[k] is None else keys[noun].get(told[k], 0)
        for k in range(
            8, len(told)
        ):  # the products over the sealer; what follows is no whole number
            if type(told[k]) is not int:
                break
            told[k] = keys["sealer"].get(told[k], 0)
        moved["pour"] = told
    return moved


def _told(value: Any, photo: Callable[[bytes], str]) -> Any:
    if isinstance(value, bytes):
        return photo(value)
    return value.isoformat() if isinstance(value, date | time) else value


def _line(row: Mapping[str, Any]) -> str:
    return json.dumps(row, ensure_ascii=False, sort_keys=True, allow_nan=False) + "\n"
