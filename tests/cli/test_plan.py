"""`castclock plan`: a shop of orders in a file, each kind of piece a scenario of its own."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest

from models.errors import InputError
from models.planning import courses, shop_plan
from service import orders_file
from tests.support.command import castclock

BENCH = """
[place]
kind = "unheated room"
latitude = 41.5
longitude = -74.0
timezone = "America/New_York"
[mix]
class = "general-purpose"
[piece]
shape = "panel"
length_mm = "3 ft"
width_mm = 400
thickness_mm = 50
[pour]
at = 2025-10-01T12:00:00Z
[weather]
night_low_C = 12
day_high_C = 20
dew_point_C = 8
days = 10
"""
ORDERS = """
asked_at = 2025-10-06T11:00:00Z
[shop]
hands = 2
working_days = ["mon", "tue", "wed", "thu", "fri"]
working_hours = ["07:00", "18:00"]
[[piece]]
name = "bench"
scenario = "bench.toml"
pour_h = "90 min"
turn_hands = 3
[[mould]]
name = "long one"
pieces = ["bench"]
[[order]]
name = "Fair"
due_at = 2025-10-15T21:00:00Z
together = false
[[order.part]]
piece = "bench"
count = 2
"""


@pytest.fixture
def orders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(shop_plan, "_gains", lambda *_: ())
    monkeypatch.setattr(courses, "DAYS", 5)
    monkeypatch.setattr(courses, "MEMBERS", 16)
    (tmp_path / "bench.toml").write_text(BENCH)
    file = tmp_path / "orders.toml"
    file.write_text(ORDERS)
    return file


def test_a_file_of_orders_is_planned_and_printed(orders: Path) -> None:
    ended = castclock("plan", orders)
    assert ended.code == 0, ended.err
    for words in ("Fair", "even odds", "sure", "late", "long one", "Due each day", "strip"):
        assert words in ended.out, words
    assert max(map(len, ended.out.splitlines())) <= 100
    told = json.loads(castclock("plan", orders, "--json").out)
    first, second = told["poured"]
    assert second["at"] >= first["free_at"]
    assert all(one["short"] for one in told["acts"] if one["act"] == "turn")
    assert told["promises"][0]["late"] is not None


def test_a_mould_tells_how_long_it_takes_from_its_strip_to_the_next_pour(orders: Path) -> None:
    def read(turnaround: str) -> float:
        told = ORDERS.replace(
            'name = "long one"', f'name = "long one"\nturnaround_h = {turnaround}'
        )
        orders.write_text(told)
        (mould,) = orders_file.read(orders, None, datetime(2025, 10, 6, tzinfo=UTC)).moulds
        return mould.turnaround_h

    assert read('"1.5 d"') == read("36") == 36.0
    with pytest.raises(InputError) as refused:
        read("-1")
    assert refused.value.field.endswith("turnaround_h")
    bench, told = orders.with_name("bench.toml"), '[mould]\nrelease_agent = "wax"\nturnaround_h = '
    bench.write_text(f'{BENCH}{told}"2 d"')
    orders.write_text(ORDERS)
    (mould,) = orders_file.read(orders, None, datetime(2025, 10, 6, tzinfo=UTC)).moulds
    assert mould.turnaround_h == 48.0, "as the piece's own scenario tells it"
    assert read("36") == 36.0
    printed = castclock("mould", bench).out
    assert "Release agent, as told: wax." in printed
    assert "the next pour 2 d after its strip" in printed or "48 h" in printed, printed
    bench.write_text(f"{BENCH}{told}721")
    assert "turnaround_h" in castclock("mould", bench).err


def test_what_is_told_of_how_a_mould_is_kept_moves_no_window(orders: Path) -> None:
    bench = orders.with_name("bench.toml")
    before = castclock("timeline", bench, "--json", "--now", "2025-10-01T12:00:00Z").out
    bench.write_text(f'{BENCH}[mould]\nrelease_agent = "form oil"\nturnaround_h = 3')
    now = castclock("timeline", bench, "--json", "--now", "2025-10-01T12:00:00Z").out
    assert json.loads(now)["steps"] == json.loads(before)["steps"]


def test_a_file_tells_how_many_covers_there_are(orders: Path) -> None:
    def read(rows: str) -> dict[str, int]:
        orders.write_text(ORDERS + rows)
        return dict(orders_file.read(orders, None, datetime(2025, 10, 6, tzinfo=UTC)).shop.covers)

    row = '[[cover]]\nkind = "{}"\ncount = {}\n'
    assert read("") == {}
    assert read(row.format("blanket", 3) + row.format("foam", 1)) == {"blanket": 3, "foam": 1}
    for wrong in (row.format("two blankets", 1), row.format("foam", -1), row.format("foam", 1) * 2):
        with pytest.raises(InputError, match="cover"):
            read(wrong)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('pieces = ["bench"]', 'pieces = ["table"]', "mould[0].pieces = 'table'"),
        ('piece = "bench"', 'piece = "table"', "order[0].part[0].piece = 'table'"),
        ("count = 2", "count = 0", "count = 0"),
        ("due_at = 2025-10-15T21:00:00Z", "due_at = 2025-10-15", "due_at"),
        ("hands = 2", "hands = 0", "hands = 0"),
        ('"mon", "tue"', '"mon", "someday"', "working_days = 'someday'"),
        ('scenario = "bench.toml"', 'scenario = "none.toml"', "none.toml"),
    ],
)
def test_what_cannot_be_is_refused_by_its_key(orders: Path, old: str, new: str, says: str) -> None:
    orders.write_text(ORDERS.replace(old, new))
    ended = castclock("plan", orders)
    assert ended.code == 2
    assert says in ended.err, ended.err
