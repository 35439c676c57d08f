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
