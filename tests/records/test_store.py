"""The store: no update is lost, the schema is the models', a newer database is refused."""

import threading
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import CheckConstraint, inspect, text
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlmodel import select

from models.errors import InputError
from models.records import Job, Row
from service.store import OtherSchema, Store, engine, head, is_trouble
from tests.support.once import EmptyShop

THREADS, TIMES = 4, 100
AT = datetime(2026, 10, 14, tzinfo=UTC)


def counter(store: Store) -> None:
    with store.unit_of_work() as session:
        session.add(Job(kind="beat", key="counter", due_at=AT, created_at=AT))


def test_four_at_once_counting_to_a_hundred_keep_every_count(any_store: Store) -> None:
    counter(any_store)

    def count() -> None:
        for _ in range(TIMES):
            with any_store.unit_of_work() as session:
                job = session.exec(select(Job)).one()
                job.attempt = job.attempt + 1
                session.add(job)

    threads = [threading.Thread(target=count) for _ in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with any_store.reading() as session:
        assert session.exec(select(Job)).one().attempt == THREADS * TIMES


def test_what_fails_halfway_leaves_nothing(any_store: Store) -> None:
    def halfway() -> None:
        with any_store.unit_of_work() as session:
            session.add(Job(kind="beat", key="twice", due_at=AT, created_at=AT))
            session.flush()
            session.add(Job(kind="beat", key="twice", due_at=AT, created_at=AT))

    with pytest.raises(IntegrityError):
        halfway()
    with any_store.reading() as session:
        assert session.exec(select(Job)).all() == []


def test_a_reader_sees_one_moment_while_a_writer_works(store: Store) -> None:
    counter(store)
    with store.reading() as before:
        assert before.exec(select(Job)).one().attempt == 0
        with store.unit_of_work() as session:
            session.exec(select(Job)).one().attempt = 7
        before.expire_all()
        assert before.exec(select(Job)).one().attempt == 0
    with store.reading() as after:
        assert after.exec(select(Job)).one().attempt == 7


def test_the_migrated_schema_is_that_of_the_models(any_store: Store) -> None:
    options = {"compare_type": True, "compare_server_default": True}
    with any_store.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, Row.metadata) == []


def test_the_migrated_checks_are_those_of_the_models(store: Store) -> None:
    """Alembic does not compare them, so this does, word for word."""
    inspector = inspect(store.engine)
    for table in Row.metadata.sorted_tables:
        live = {
            check["name"]: check["sqltext"] for check in inspector.get_check_constraints(table.name)
        }
        wanted = {
            str(check.name): str(check.sqltext)
            for check in table.constraints
            if isinstance(check, CheckConstraint)
        }
        assert live == wanted, table.name


def test_upgrading_twice_changes_nothing(any_store: Store) -> None:
    counter(any_store)
    any_store.upgrade()
    assert any_store.revision() == head()
    with any_store.reading() as session:
        assert session.exec(select(Job)).one().key == "counter"


def test_a_database_of_a_newer_castclock_is_refused(any_store: Store) -> None:
    with any_store.unit_of_work() as session:
        session.connection().execute(text("UPDATE alembic_version SET version_num = 'from ahead'"))
    with pytest.raises(InputError, match="from ahead.*newer castclock.*0001"):
        any_store.upgrade()
    assert any_store.revision() == "from ahead"


def test_a_castclock_that_runs_on_writes_nothing_once_a_newer_one_changed_the_tables(
    any_store: Store, now: datetime
) -> None:
    with any_store.engine.begin() as newer:
        newer.execute(text("UPDATE alembic_version SET version_num = 'from ahead'"))
    with pytest.raises(OtherSchema, match="from ahead") as refused, any_store.unit_of_work() as one:
        one.add(Job(kind="beat", key="older", due_at=now, created_at=now))
    assert is_trouble(refused.value)
    with any_store.reading() as session:
        assert session.exec(select(Job)).all() == []


def test_the_database_keeps_what_rows_refer_to(store: Store) -> None:
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"


@pytest.mark.parametrize("url", ["mysql://somewhere/shop", "sqlite://", "sqlite:///:memory:"])
def test_a_database_that_cannot_hold_a_shop_is_refused(url: str) -> None:
    with pytest.raises(InputError, match="database"):
        Store(url)


def test_the_folder_of_a_new_database_is_made(tmp_path: Path) -> None:
    deep = Store(f"sqlite:///{tmp_path / 'a' / 'b' / 'shop.sqlite3'}")
    deep.upgrade()
    deep.close()
    assert (tmp_path / "a" / "b" / "shop.sqlite3").exists()


def test_many_writers_of_one_process_stand_in_line(
    tmp_path: Path, empty_shop: EmptyShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    """29 of 800 writes of 80 phones were told that the database is locked."""
    monkeypatch.setattr(engine, "BUSY_MS", 0)  # SQLite refuses what it would look at again
    store = empty_shop.copied_to(f"sqlite:///{tmp_path / 'shop.sqlite3'}")
    together, wrong = threading.Barrier(8), list[Exception]()

    def write() -> None:
        together.wait()
        for _ in range(5):
            try:
                with store.unit_of_work():
                    time.sleep(0.002)  # as long as a write may hold the others up
            except DBAPIError as error:
                wrong.append(error)

    threads = [threading.Thread(target=write) for _ in range(8)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    store.close()
    assert wrong == []
