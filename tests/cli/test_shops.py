"""`castclock shop` and `owner --shop`: a further shop is made, named, and has its own owner."""

from pathlib import Path

import pytest
from sqlmodel import select
from typer.testing import CliRunner

from models.errors import InputError
from models.records import Invitation, Shop
from service.cli import app
from service.store import Store
from service.store.shops import ALL, within


def said(*words: str) -> str:
    found = CliRunner().invoke(app, [*words], catch_exceptions=False)
    return found.output


def test_a_further_shop_is_made_and_named(tmp_path: Path) -> None:
    data = ("--data", str(tmp_path))
    told = said("shop", "new", "Zephyr yard", "--timezone", "America/Chicago", *data)
    assert "owner of Zephyr yard" in told
    assert "/join/" in told
    assert said("shop", "list", *data).split("\n")[1] == "2  Zephyr yard"
    assert "/join/" in said("owner", "--shop", "Zephyr yard", *data)
    store = Store(f"sqlite:///{tmp_path / 'castclock.sqlite3'}")
    with within(ALL), store.reading() as session:
        assert {one.shop_id for one in session.exec(select(Invitation))} == {2}
        assert session.exec(select(Shop.timezone)).all() == ["America/Chicago"] * 2
    store.close()
    for words, wrong in (
        (("shop", "new", "Zephyr yard"), "a shop here is called so"),
        (("owner", "--shop", "Quarrel"), "no shop is called so"),
        (("shop", "new", "Third", "--timezone", "Nowhere"), "timezone"),
    ):
        with pytest.raises(InputError, match=wrong):
            said(*words, *data)


def test_a_shop_goes_to_another_server_and_leaves_this_one(tmp_path: Path) -> None:
    here, there = (("--data", str(tmp_path / name)) for name in ("here", "there"))
    file = str(tmp_path / "zephyr.zip")
    said("shop", "new", "Zephyr yard", *here)
    assert "Zephyr yard" in said("export", "Zephyr yard", file, *here)
    assert Path(file).stat().st_mode & 0o077 == 0, "it holds secrets"
    assert "brought in as shop 2" in said("import", file, *there)
    assert said("shop", "list", *there).split("\n")[1] == "2  Zephyr yard"
    with pytest.raises(InputError, match="--yes"):
        said("shop", "delete", "Zephyr yard", *here)
    said("shop", "delete", "Zephyr yard", "--yes", *here)
    assert said("shop", "list", *here).split() == ["1", "My", "shop"]
    assert "brought in as shop 2" in said("import", file, *here)
