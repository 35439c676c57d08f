"""How good the answers were: a few weeks of a shop of 2013, and what counts as inside.

The year is replayed by tests/bench/honesty_2013.py, by the same code.
"""

import json
import math
import re
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest
from starlette.testclient import TestClient

from models.concrete.mixture import LabelStrength, Mixture
from models.planning import honesty
from models.planning.honesty import FEWEST, Case
from models.planning.predicted import Band
from scheduler.jobs import Rounds
from service import honesty_told
from service.store import Store
from tests.support.command import castclock
from tests.support.phone import Phone
from tests.support.shop import Hands, Sky
from tests.support.words import said

POURS = 4


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory, loaded: Callable[[str], ModuleType]) -> Path:
    """The folder of a shop with four pours of 2013, each with three cubes."""
    folder = tmp_path_factory.mktemp("year")
    store = Store(f"sqlite:///{folder / 'castclock.sqlite3'}")
    store.upgrade()
    loaded("bench/honesty_2013.py").replayed(store, POURS, 2013)
    store.close()
    return folder


def cases(count: int, came: float, lead_h: float = 20.0) -> list[Case]:
    return [Case("strength", "28 days", lead_h, 10.0, 12.0, 15.0, came) for _ in range(count)]


def test_a_year_of_a_shop_prints_its_table_and_draws_its_picture(
    shop: Path, tmp_path: Path
) -> None:
    file = tmp_path / "honesty.svg"
    ended = castclock("honesty", "--data", shop, "--svg", file)
    assert ended.code == 0, ended.err
    told = json.loads(castclock("honesty", "--data", shop, "--json").out)
    assert told["untold"] == 0
    assert told["pours"] in (POURS - 1, POURS)  # one may have frozen, and is told apart
    assert told["observations"] == 3 * told["pours"]
    assert told["outcomes"]["before"] + told["outcomes"]["after"] == told["pours"]
    whole = [row for row in told["rows"] if row["any_lead"]]
    assert sum(row["count"] for row in whole) == told["observations"]
    assert {row["known"] for row in whole} <= {"28 days", "early and 28", "early"}
    picture = file.read_text("utf-8")
    assert picture.count("<circle") == told["observations"]
    assert re.search(r"strength +28 days +all", ended.out)


def test_of_fewer_than_ten_no_share_is_told() -> None:
    (row,) = honesty_told.table(cases(FEWEST - 1, 12.0))
    assert row.shares == ()
    (full,) = honesty_told.table(cases(FEWEST, 12.0))
    assert full.shares[0].startswith(" 100%")
    few, many = (honesty_told.as_objects(cases(count, 12.0))[0] for count in (9, 10))
    assert (few["too_few"], few["inside"]) == (True, None)
    assert (many["too_few"], many["inside"]["share"]) == (False, 1.0)


def test_what_comes_later_than_told_is_late_and_fails_for_sure_only_with_enough() -> None:
    assert [one.late for one in cases(1, 15.1)] == [True]
    assert [one.early for one in cases(1, 9.9)] == [True]
    assert honesty.failed(cases(40, 16.0)) == ("late", "inside")
    assert honesty.failed([*cases(32, 12.0), *cases(4, 16.0), *cases(4, 9.0)]) == ()


def test_less_strength_than_told_is_late_and_a_set_without_an_end_is_never() -> None:
    weak = honesty.broken("strength", "none", 24.0, 4.0, Band(5.0, 8.0, 11.0))
    strong = honesty.broken("strength", "none", 24.0, 12.0, Band(5.0, 8.0, 11.0))
    assert (weak.late, strong.early) == (True, True)
    unsure = honesty.set_seen("final-set", "none", 30.0, Band(9.0, 14.0, None))
    assert unsure.inside
    assert math.isinf(unsure.width)


def test_leads_are_told_apart_and_all_of_them_together() -> None:
    found = [*cases(10, 12.0, 20.0), *cases(12, 12.0, 100.0)]
    assert [(bound, len(some)) for _, _, bound, some in honesty.rows(found)] == [
        (None, 22),
        (24.0, 10),
        (168.0, 12),
    ]


@pytest.mark.parametrize(
    ("ages_h", "known"),
    [((), "none"), ((72,), "early"), ((672,), "28 days"), ((168, 672), "early and 28")],
)
def test_what_was_known_of_a_mix_is_told_by_the_ages_of_its_label(
    ages_h: tuple[float, ...], known: str
) -> None:
    label = tuple(LabelStrength(age, 10.0 + age / 40, 23.0) for age in ages_h)
    assert honesty.knowledge(Mixture("general-purpose", label)) == known


def test_a_shop_in_which_nothing_was_seen_says_so_on_its_page(client: TestClient) -> None:
    page = Phone(client).open("/shop/honesty")
    assert said("honesty_none") in page.text
    assert "/shop/honesty" in Phone(client).open("/shop/finished").links


def test_one_cube_stands_on_the_page_and_is_told_to_be_too_few(
    client: TestClient, pour_id: int, sky: Sky, rounds: Rounds, hands: Hands
) -> None:
    rounds.refresh(hands.now)
    at = hands.forward(48).isoformat()
    test = {"kind": "cube", "MPa": 9.0, "at": at}
    assert client.post(f"/api/v1/pours/{pour_id}/strength-tests", json=test).status_code == 201
    page = Phone(client).open("/shop/honesty")
    assert said("honesty_few", fewest=FEWEST) in page.text
    assert said("honesty_count", cases=1, pours=1) in page.text
    assert page.source.count("<circle") == 1
    assert not page.alone
    assert sky.asked
