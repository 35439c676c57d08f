"""A database of any earlier revision comes up with all its rows.

The files under tests/data/databases were dumped from databases made by the migrations of their
time, with a row or more in every table: by Python's `iterdump`, by `pg_dump --inserts`.
"""

import json
import sqlite3
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, MetaData, create_engine, event, inspect, text
from sqlmodel import select

from models.errors import InputError
from models.message import Message
from models.records import Pour, Projection, Reminder
from models.records.packed import unpacked
from service.actions.shop.set_up_shop import save_piece
from service.notify import words
from service.queries.poured import TABLES, copy_of, poured
from service.store import Store, head, migrations
from service.words import say
from service.words.reader import PLAIN
from tests.support.raw import Json
from tests.support.thorough import some
from tests.support.words import said, tells

DUMPS = Path(__file__).parent.parent / "data" / "databases"
MIGRATIONS = Path(migrations.__file__).parent
REVISIONS = tuple(path.name[:4] for path in sorted(DUMPS.glob("*.sqlite.sql")))
# by table and column of later, what stands there in the rows of the dumps; NULL elsewhere
FILLED: dict[tuple[str, str], list[object]] = {
    ("shop", "prices"): [{}],
    ("shop", "notice_kinds"): [["opens", "closes", "frost", "rain", "wind"]],
    ("shop", "notice_lead_min"): [0],
    ("shop", "frost_wakes"): [True],
    ("shop", "gear"): [[]],
    ("shop", "hands"): [1],
    ("shop", "working_days"): [["mon", "tue", "wed", "thu", "fri", "sat", "sun"]],
    ("reading", "wrong"): [False, False],
    ("reading", "spare"): [False, False],
    ("mix", "working_time_C"): [21.0, 21.0],
    ("mix", "recipe"): [[], []],
    ("piece", "faces_told"): [[], []],
    ("piece", "inserts"): [[], []],
    ("mould", "rim_held"): [False],
    ("pour", "measures"): [[], []],
    ("mould", "release_agent"): [""],
    ("pour", "ticked"): [{}, {}],
    ("pour", "delivered"): [False, False],
    ("pour", "plan"): [[], []],
    ("pour", "sealer_then"): [[], []],
    ("pour", "burner_fitted"): [False, False],
    ("piece", "burner"): [False, False],
    ("weather_run", "kind"): ["forecast", "archive", "past", "forecast", "forecast"],
    ("weather_run", "moved"): [False, False, False, True, False],
    ("weather_run", "heard"): [
        None,
        None,
        ["Open-Meteo archive", "Open-Meteo forecast"],
        None,
        None,
    ],
}
PACKED = {("projection", "answer"), ("projection", "concrete")}
BECAME = {("projection", "why_moved"): "moved"}
COPIES = {"poured"}  # what these hold stood in other rows: it is compared with them
Rows = dict[str, dict[str, list[object]]]  # by table and column, in the order of keys


def restored(folder: Path, revision: str) -> Store:
    path = folder / "old.sqlite3"
    with sqlite3.connect(path) as connection:
        connection.executescript((DUMPS / f"{revision}.sqlite.sql").read_text("utf-8"))
    connection.close()
    return Store(f"sqlite:///{path}")


def rows_of(engine: Engine) -> Rows:
    found: Rows = {}
    with engine.connect() as connection:
        for name in inspect(engine).get_table_names():
            if name == "alembic_version":
                continue
            result = connection.execute(text(f'SELECT * FROM "{name}" ORDER BY id'))
            table = [row._mapping for row in result]
            found[name] = {key: [row[key] for row in table] for key in result.keys()}  # noqa: SIM118
    return found


def document(told: object) -> Json:
    """SQLite gives the text of a document, PostgreSQL the document."""
    return json.loads(told) if isinstance(told, str) else told


def must_hold(before: Rows, after: Rows) -> None:
    for name, columns in before.items():
        assert any(columns["id"]), name
        for column, values in columns.items():
            now = after[name][BECAME.get((name, column), column)]
            if (name, column) in BECAME:  # a sentence became the one value of a code
                now = [document(one)["values"]["text"] if one else "" for one in now]
            if (name, column) in PACKED:
                now, values = ([unpacked(document(one)) for one in told] for told in (now, values))
            assert now == values, f"{name}.{column}"
        became = {BECAME.get((name, column), column) for column in columns}
        for column in after[name].keys() - became - COPIES:
            usual = 1 if column == "shop_id" else None  # the one shop that there was
            wanted = FILLED.get((name, column), [usual] * len(columns["id"]))
            there = [
                json.loads(one) if isinstance(one, str) and one[:1] in ("[", "{") else one
                for one in after[name][column]
            ]  # SQLite gives the text of a document
            assert there == wanted, f"{name}.{column}"


def keeps_what_was_poured(store: Store) -> None:
    """Every pour of before has a copy of the rows it names, as they stood."""
    with store.reading() as session:
        pours = session.exec(select(Pour)).all()
        assert pours
        for pour in pours:
            named = {noun for noun in TABLES if getattr(pour, f"{noun}_id") is not None}
            assert pour.poured.keys() == named >= {"piece", "mix", "place"}
            for noun, kept in pour.poured.items():
                row = copy_of(session.get_one(TABLES[noun], getattr(pour, f"{noun}_id")))
                assert kept == {name: row[name] for name in kept}
                assert kept["name"]
            assert poured(session, pour).piece.name == pour.poured["piece"]["name"]


def schema(engine: Engine) -> dict[str, object]:
    """Columns, checks, keys and indices by table, in no order."""
    seen = inspect(engine)

    def by_name(rows: Sequence[Mapping[str, object]]) -> list[str]:
        return sorted(repr(sorted((k, plain(v)) for k, v in row.items())) for row in rows)

    def plain(value: object) -> str:
        if isinstance(value, dict):  # options, as the condition of a partial index
            return repr({key: str(one) for key, one in value.items()})
        return str(value)

    return {
        name: (
            by_name(seen.get_columns(name)),
            by_name(seen.get_check_constraints(name)),
            by_name(seen.get_foreign_keys(name)),
            by_name(seen.get_unique_constraints(name)),
            by_name(seen.get_indexes(name)),
        )
        for name in seen.get_table_names()
    }


def test_there_is_a_dump_of_every_revision_of_before_the_first_release() -> None:
    assert list(REVISIONS) == [f"{number:04d}" for number in range(1, 15)]


# a dump has what the one before it had and a little more; in the suite every fourth, and the last
@pytest.mark.parametrize("revision", some((*REVISIONS[::4], REVISIONS[-1]), REVISIONS))
def test_every_row_of_an_old_database_is_kept(tmp_path: Path, store: Store, revision: str) -> None:
    old = restored(tmp_path, revision)
    assert old.revision() == revision
    before = rows_of(old.engine)
    old.upgrade()
    assert old.revision() == head()
    must_hold(before, rows_of(old.engine))
    keeps_what_was_poured(old)
    assert schema(old.engine) == schema(store.engine)
    old.close()


def test_sentences_that_were_kept_are_still_told(tmp_path: Path) -> None:
    """What moved, and a notice that is still owed, of before they were kept as codes."""
    facts = {
        "piece": "Table top",
        "step": "strip",
        "timezone": "America/Chicago",
        "confidence": 0.9,
        "p90": "2026-10-15T19:30:00+00:00",
        "latest": None,
        "because": "4.2 MPa of 5.0 at the coldest corner.",
        "cautions": ["A nail marks it but does not dent."],
        "missed": "",
    }
    old = restored(tmp_path, "0014")
    with sqlite3.connect(tmp_path / "old.sqlite3") as connection:
        connection.execute("UPDATE projection SET why_moved = 'strip 3.0 h later'")
        connection.execute("UPDATE reminder SET facts = ? WHERE id = 1", [json.dumps(facts)])
    connection.close()
    old.upgrade()
    with old.reading() as session:
        told = session.exec(select(Projection)).all()
        assert {say(Message(**row.moved), PLAIN) for row in told if row.moved} == {
            said("text", text="strip 3.0 h later")
        }
        row = session.get_one(Reminder, 1)
        notice = words.notice(row.key, row.kind, row.facts, row.not_after, PLAIN)
        assert "4.2 MPa of 5.0 at the coldest corner." in notice.body
        assert "A nail marks it but does not dent." in notice.body
        assert not tells(notice.body, "notice_missed")
    old.close()


def test_a_database_with_an_orphan_stays_as_it_was(tmp_path: Path) -> None:
    old = restored(tmp_path, "0003")
    with sqlite3.connect(tmp_path / "old.sqlite3") as connection:  # foreign keys are off here
        connection.execute("DELETE FROM mix WHERE id = 1")
    connection.close()
    before, tables = rows_of(old.engine), schema(old.engine)
    with pytest.raises(InputError, match="rows lost what they refer to"):
        old.upgrade()
    assert old.revision() == "0003"
    assert rows_of(old.engine) == before
    assert schema(old.engine) == tables
    old.close()


def replaced(store: Store, revision: str) -> None:
    """All of a store's tables gone, and those of a dump in their place."""
    engine = create_engine(store.engine.url)
    tables = MetaData()
    tables.reflect(engine)
    tables.drop_all(engine)
    dump = (DUMPS / f"{revision}.{engine.dialect.name}.sql").read_text("utf-8")
    raw = engine.raw_connection()
    assert raw.driver_connection is not None
    if engine.dialect.name == "sqlite":
        raw.driver_connection.executescript(dump)
    else:
        raw.driver_connection.execute(dump)
    raw.commit()
    raw.close()
    engine.dispose()


@pytest.mark.parametrize("revision", ["0001", "0007", "0013"])
def test_on_every_database_new_keys_follow_the_old_ones(any_store: Store, revision: str) -> None:
    replaced(any_store, revision)
    before = rows_of(any_store.engine)
    any_store.upgrade()
    assert any_store.revision() == head()
    must_hold(before, rows_of(any_store.engine))
    keeps_what_was_poured(any_store)
    copy = (
        'INSERT INTO strength_test (created_at, pour_id, at, kind, "MPa", note)'
        ' SELECT created_at, pour_id, at, kind, "MPa", note FROM strength_test RETURNING id'
    )
    with any_store.unit_of_work() as session:
        added = session.connection().execute(text(copy)).scalar_one()
    assert added not in before["strength_test"]["id"]


def downgraded(store: Store, revision: str) -> None:
    """As an upgrade goes, the other way: all or nothing, the keys of SQLite off."""
    engine = create_engine(store.engine.url)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", lambda one, _: setattr(one, "isolation_level", None))
        event.listen(engine, "begin", lambda one: one.exec_driver_sql("BEGIN IMMEDIATE"))
    wanted = Config()
    wanted.set_main_option("script_location", str(MIGRATIONS))
    try:
        with engine.begin() as connection:
            wanted.attributes["connection"] = connection
            command.downgrade(wanted, revision)
    finally:
        engine.dispose()


def test_on_every_database_it_goes_back_to_before_the_whole_shapes_and_up_again(
    any_store: Store,
) -> None:
    before = schema(any_store.engine)
    downgraded(any_store, "0037")
    assert any_store.revision() == "0037"
    assert "mould_fault" not in schema(any_store.engine)
    any_store.upgrade()
    assert any_store.revision() == head()
    assert schema(any_store.engine) == before


def test_a_piece_of_a_newer_shape_is_named_and_nothing_goes_back(
    any_store: Store, now: datetime
) -> None:
    measures = {"length_mm": 900.0, "width_mm": 500.0, "height_mm": 200.0}
    basin = {"shape": "basin", **measures, "wall_mm": 40.0, "floor_mm": 50.0}
    with any_store.unit_of_work() as session:
        save_piece(session, now, {"name": "Sink of the yard", **basin})
    before = schema(any_store.engine)
    with pytest.raises(InputError, match="Sink of the yard .basin.") as refused:
        downgraded(any_store, "0037")
    assert "nothing is downgraded" in str(refused.value)
    assert any_store.revision() == head()
    assert schema(any_store.engine) == before
