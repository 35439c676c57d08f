"""A whole shop as one file: brought in elsewhere it makes the same file again; what is broken is
refused whole; what is deleted is gone, and the other shop is untouched. On both databases."""

import json
import shutil
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import text
from starlette.testclient import TestClient

from models.errors import InputError
from models.records import Mix, Pour, Reading
from models.records.base import Row
from service.actions.shop.set_up_shop import open_shop, save_mix
from service.actions.shop.whole_shop import LEFT_OUT, bring_in, delete_shop, export
from service.actions.windows.project_pour import project_pour
from service.queries import whole_shop
from service.store import Store, head
from service.store.shops import ALL, within
from tests.support.once import EmptyShop
from tests.support.phone import Phone
from tests.support.rows import rows
from tests.support.two_shops import Shops


def written(store: Store, shop_id: int, file: Path) -> Path:
    with within(ALL), store.reading() as session:
        export(session, shop_id, head() or "", file)
    return file


def read(store: Store, file: Path) -> int:
    with within(ALL), store.unit_of_work() as session:
        return bring_in(session, head() or "", file)


def contents(file: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(file) as source:
        return {name: source.read(name) for name in source.namelist()}


def counted(store: Store, shop_id: int) -> dict[str, int]:
    with within(ALL), store.reading() as session:
        return {one.name: len(whole_shop.ids(session, one, shop_id)) for one in whole_shop.tables()}


@pytest.fixture
def elsewhere(tmp_path: Path, empty_shop: EmptyShop, now: datetime) -> Store:
    """Another server, whose own shop has rows too, so that no key is what it was."""
    store = empty_shop.copied_to(f"sqlite:///{tmp_path / 'elsewhere.sqlite3'}")
    with store.unit_of_work() as session:
        open_shop(session, now, "Europe/London")
        for k in range(3):
            save_mix(session, now, {"name": f"Mix {k}", "kind": "general-purpose"})
    return store


def test_a_shop_brought_elsewhere_makes_the_same_file_again(
    any_store: Store, any_shops: Shops, elsewhere: Store, tmp_path: Path
) -> None:
    first = written(any_store, 2, tmp_path / "first.zip")
    told = contents(first)
    with zipfile.ZipFile(first) as source:
        counts = json.loads(source.read("castclock.json"))["rows"]
    assert all(counts.values()), "a row in every table"
    assert counts.keys() | set(LEFT_OUT) == set(any_shops.keys[2])
    assert any(name.startswith("photos/") for name in told)
    shop_id = read(elsewhere, first)
    assert shop_id == 2
    assert contents(written(elsewhere, shop_id, tmp_path / "second.zip")) == told
    with within(shop_id):
        (pour,) = rows(elsewhere, Pour)
        mix_id = pour.mix_id
        assert mix_id != any_shops.keys[2]["mix"], "the keys are others"
        assert rows(elsewhere, Mix)[0].id == mix_id
    with within(1):
        assert len(rows(elsewhere, Mix)) == 3


def test_back_where_it_was_deleted_it_lives_on(
    any_store: Store, any_shops: Shops, tmp_path: Path, now: datetime
) -> None:
    """On the server it came from, after it was deleted there; and it can be worked with."""
    file = written(any_store, 2, tmp_path / "shop.zip")
    kept, other = contents(file), counted(any_store, 1)
    with pytest.raises(InputError, match="a shop here is called so"):
        read(any_store, file)
    with within(ALL), any_store.unit_of_work() as session:
        session.connection().execute(text("UPDATE shop SET name = 'Renamed' WHERE id = 2"))
    with pytest.raises(InputError, match="here already, under another name"):
        read(any_store, file)
    with within(ALL), any_store.unit_of_work() as session:
        assert delete_shop(session, now, 2) > 30
    assert not any(counted(any_store, 2).values())
    assert counted(any_store, 1) == other
    shop_id = read(any_store, file)
    assert contents(written(any_store, shop_id, tmp_path / "again.zip")) == kept
    with within(shop_id):
        (pour,) = rows(any_store, Pour)
        assert project_pour(any_store, now, pour.id) is not None
        with any_store.unit_of_work() as session:
            save_mix(session, now, {"name": "A further one", "kind": "general-purpose"})
        assert len(rows(any_store, Reading)) == 1
    assert any_shops.keys


def changed(what: str) -> Callable[[Path], None]:
    """A file of which something is otherwise than it was written."""

    def change(file: Path) -> None:
        told = contents(file)
        head_ = json.loads(told["castclock.json"])
        if what == "a photo is gone":
            told = {name: one for name, one in told.items() if not name.startswith("photos/")}
        elif what == "a photo is another":
            name = next(one for one in told if one.startswith("photos/"))
            told[name] = told[name][:-1] + b"x"
        elif what == "a row is another":
            told["rows/mix.jsonl"] = told["rows/mix.jsonl"].replace(b"Zephyr", b"Zephyx")
        elif what == "a row is gone":
            told["rows/reading.jsonl"] = b""
        elif what == "a table is gone":
            del told["rows/pour.jsonl"]
        elif what == "of another schema":
            head_["revision"] = "0999"
        elif what == "no head":
            head_ = {}
        told["castclock.json"] = json.dumps(head_).encode()
        with zipfile.ZipFile(file, "w") as out:
            for name, one in told.items():
                out.writestr(name, one)

    return change


BROKEN = (
    "a photo is gone",
    "a photo is another",
    "a row is another",
    "a row is gone",
    "a table is gone",
    "of another schema",
    "no head",
)


def test_a_broken_file_is_refused_whole(
    store: Store, shops: Shops, elsewhere: Store, tmp_path: Path
) -> None:
    del shops
    whole = written(store, 2, tmp_path / "whole.zip")
    before = counted(elsewhere, 1)
    cut = tmp_path / "cut.zip"
    cut.write_bytes(whole.read_bytes()[: whole.stat().st_size // 2])
    files = [cut, tmp_path / "is not there.zip"]
    for k, what in enumerate(BROKEN):
        file = tmp_path / f"{k}.zip"
        shutil.copyfile(whole, file)
        changed(what)(file)
        files.append(file)
    for file in files:
        with pytest.raises(InputError, match="FILE"):
            read(elsewhere, file)
        assert not any(counted(elsewhere, 2).values()), file
    assert counted(elsewhere, 1) == before
    with elsewhere.engine.connect() as connection:
        assert connection.execute(text("SELECT count(*) FROM shop")).scalar() == 1
    assert read(elsewhere, whole) == 2


def test_every_bit_of_a_file_counts(
    store: Store, shops: Shops, elsewhere: Store, tmp_path: Path
) -> None:
    """Of the first row of every table: another letter is seen."""
    del shops
    told = contents(written(store, 2, tmp_path / "whole.zip"))
    for name in [one for one in told if one.startswith("rows/")]:
        file = tmp_path / f"{name.removeprefix('rows/')}.zip"
        with zipfile.ZipFile(file, "w") as out:
            for other, one in told.items():
                out.writestr(other, one[:-3] + b"x" + one[-2:] if other == name else one)
        with pytest.raises(InputError, match="has changed"):
            read(elsewhere, file)
    assert set(Row.metadata.tables) >= {"shop"}


def test_a_file_that_is_there_is_not_written_over(
    store: Store, shops: Shops, tmp_path: Path
) -> None:
    del shops
    file = written(store, 1, tmp_path / "one.zip")
    with pytest.raises(InputError, match="exists already"):
        written(store, 1, file)


def test_an_owner_deletes_the_shop_by_typing_its_name(
    browser: Callable[[int], TestClient], store: Store
) -> None:
    """Its people are out, its codes lead nowhere, the other shop goes on; and the server's own
    shop is there again at once, empty."""
    phone = Phone(browser(2))
    form = phone.open("/shop/delete").form("/shop/delete")
    phone.send(form, shop_name="Zephyr Yard")
    assert phone.status == 422
    assert all(counted(store, 2).values()), "nothing is gone"
    phone.send(form, shop_name="Zephyr yard")
    assert phone.status == 303
    assert not any(counted(store, 2).values())
    assert browser(2).get("/api/v1/shop").status_code == 401
    first = browser(1)
    assert first.get("/api/v1/pours").json()
    assert first.post("/shop/delete", data={"shop_name": "Quarrel yard"}).status_code == 303
    assert not any(counted(store, 1).values())
    assert browser(0).get("/api/v1/shop").json()["name"] == "My shop"
