"""Whatever a session of a shop reads or writes is that shop's: rows by key, lists, joins, aliases,
subqueries, changes of many rows at once; on both databases."""

import re
from datetime import datetime

import pytest
from sqlalchemy import event, text
from sqlalchemy.orm import aliased
from sqlmodel import col, delete, func, select, update

from models.errors import InputError
from models.records import Job, Mix, OfShop, Place, Pour, Reading, Stock
from models.records.base import Row
from service.actions.shop.set_up_shop import new_shop, save_mix
from service.queries.rows import NoSuchRow, find, find_shop
from service.store import Store
from service.store.shops import ALL, FIRST, NOBODYS, within
from tests.support.two_shops import MARKS, Shops


def tables() -> list[type[OfShop]]:
    found, waiting = [], list(OfShop.__subclasses__())
    while waiting:
        one = waiting.pop()
        waiting += one.__subclasses__()
        if hasattr(one, "__table__"):
            found.append(one)
    return found


def test_every_table_but_the_server_s_own_belongs_to_a_shop() -> None:
    ours = {one.__table__.name for one in tables()}  # type: ignore[attr-defined]
    assert {table.name for table in Row.metadata.sorted_tables} - ours == {"shop", "challenge"}


def test_a_row_of_another_shop_is_as_one_that_is_not_there(
    any_store: Store, any_shops: Shops
) -> None:
    shops = any_shops
    for own, other in ((1, 2), (2, 1)):
        with within(own), any_store.reading() as session:
            for table in tables():
                name = table.__table__.name  # type: ignore[attr-defined]
                key = shops.keys[other][name]
                assert session.get(table, key) is None, name
                with pytest.raises(NoSuchRow) as refused:
                    find(session, table, key)
                assert str(key) not in str(refused.value).partition("one of")[2].split(", ")
                there = session.exec(select(table)).all()
                assert {row.shop_id for row in there} == {own}, name
                alias = aliased(table)
                assert {row.shop_id for row in session.exec(select(alias))} == {own}, name
                counted = session.exec(select(func.count(col(table.id)))).one()
                assert counted == len(there), name
            assert find_shop(session).name == f"{MARKS[own]} yard"


def test_joins_and_subqueries_are_narrowed(store: Store, shops: Shops) -> None:
    with within(2), store.reading() as session:
        inner = select(Reading.pour_id).where(col(Reading.id) > 0)
        assert session.exec(select(Pour.id).where(col(Pour.id).in_(inner))).all() == [
            shops.keys[2]["pour"]
        ]
        pair = select(Pour.id, Place.name).join(Place, col(Place.id) > 0)
        assert session.exec(pair).all() == [(shops.keys[2]["pour"], "Zephyr Carport")]
        newest = select(func.max(Pour.id)).scalar_subquery()
        assert session.exec(select(Pour.id).where(Pour.id == newest)).one()


def test_changes_of_many_rows_touch_no_other_shop(any_store: Store, any_shops: Shops) -> None:
    shops = any_shops
    with within(2), any_store.unit_of_work() as session:
        session.execute(update(Job).values(failure="a fault"))
        session.execute(update(Mix).where(col(Mix.id) == shops.keys[1]["mix"]).values(name="Mine"))
        session.execute(delete(Reading))
    with within(1), any_store.reading() as session:
        assert {one.failure for one in session.exec(select(Job))} == {""}
        assert session.exec(select(Mix.name)).one() == "Quarrel Grey bag"
        assert len(session.exec(select(Reading)).all()) == 1


def test_a_row_is_written_into_the_shop_of_its_session_alone(
    store: Store, shops: Shops, now: datetime
) -> None:
    del shops
    with within(2), store.unit_of_work() as session:
        mix = save_mix(session, now, {"name": "Quarrel Grey bag", "kind": "general-purpose"})
        assert mix.shop_id == 2
        with pytest.raises(InputError, match="name"):
            save_mix(session, now, {"name": "Zephyr Grey bag", "kind": "general-purpose"})

    def of_another() -> None:
        with within(2), store.unit_of_work() as session:
            session.add(Stock(created_at=now, name="Theirs", kind="bag", amount=1.0, shop_id=1))

    def of_none(shop_id: int | None) -> None:
        with within(shop_id), store.unit_of_work() as session:
            session.add(Stock(created_at=now, name="Whose", kind="bag", amount=1.0))

    for wrong in (of_another, lambda: of_none(NOBODYS), lambda: of_none(ALL)):
        with pytest.raises(AssertionError, match="of shop"):
            wrong()


def test_what_the_orm_does_not_see_is_refused(store: Store, shops: Shops) -> None:
    del shops
    table = Mix.__table__  # type: ignore[attr-defined]
    for statement in (select(table.c.name), text("SELECT name FROM mix")):
        with store.reading() as session, pytest.raises(AssertionError, match="no shop narrows"):
            session.execute(statement)


def test_a_session_stays_in_the_shop_in_which_it_began(store: Store, shops: Shops) -> None:
    del shops
    with within(2), store.reading() as session, within(FIRST):
        assert session.exec(select(Mix.name)).one() == "Zephyr Grey bag"


def test_two_shops_are_not_called_the_same(store: Store, shops: Shops, now: datetime) -> None:
    del shops
    with within(ALL), store.unit_of_work() as session:
        for name in ("Quarrel yard", "", "a\nb"):
            with pytest.raises(InputError, match="NAME"):
                new_shop(session, now, name)
        with pytest.raises(InputError, match="timezone"):
            new_shop(session, now, "Third", "Nowhere/At all")


OWNED = "|".join(sorted(one.__table__.name for one in tables()))  # type: ignore[attr-defined]
FROM = re.compile(
    rf'(?:FROM|JOIN|UPDATE|DELETE FROM|,)\s+"?({OWNED})"?(?:\s+AS\s+(\w+))?(?=[\s,)]|$)'
)


def unnarrowed(statement: str) -> list[str]:
    """Tables of shops that a statement reads or changes without asking whose."""
    named = {alias or name for name, alias in FROM.findall(statement)}
    return [one for one in named if f"{one}.shop_id = " not in statement]


def watch(store: Store) -> list[str]:
    """From now on the statements of a store that no shop narrows."""
    found: list[str] = []

    @event.listens_for(store.engine, "before_cursor_execute")
    def look(_c: object, _cursor: object, statement: str, *_: object) -> None:
        if not statement.startswith("INSERT") and unnarrowed(" ".join(statement.split())):
            found.append(statement)

    return found


def test_the_watch_itself_sees_what_is_not_narrowed(store: Store, shops: Shops) -> None:
    del shops
    found = watch(store)
    with within(2), store.reading() as session:
        session.exec(select(Pour.id).join(Place, col(Place.id) == Pour.place_id)).all()
        assert found == []
    with within(ALL), store.reading() as session:
        session.exec(select(Pour.id).join(Place, col(Place.id) == Pour.place_id)).all()
        assert len(found) == 1
