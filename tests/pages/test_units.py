"""A bare number is in the shop's unit, shown beside the box; a strange one is asked about."""

from collections.abc import Callable

import pytest
from httpx2 import Response
from sqlmodel import select
from starlette.testclient import TestClient

from models.message import Message
from models.records import Piece, Reading, Shop, WeatherRun
from service.store import Store
from tests.support.shop import Bench, Hands, Sky
from tests.support.words import said

API = "/api/v1"
ROWS = "piece_id={b.piece_id}&mix_id={b.mix_id}&place_id={b.place_id}"


@pytest.fixture
def measured(store: Store) -> Callable[..., None]:
    def choose(units: str | None, timezone: str = "America/Chicago") -> None:
        with store.unit_of_work() as session:
            shop = session.get(Shop, 1)
            assert shop is not None
            shop.units, shop.timezone = units, timezone
            session.add(shop)

    return choose


def tonight(client: TestClient, bench: Bench, low: str, high: str, more: str = "") -> Response:
    rows = ROWS.format(b=bench)
    return client.get(f"/tonight?asked=1&{rows}&night_low_C={low}&day_high_C={high}{more}")


def test_a_frosty_night_typed_bare_in_a_shop_of_the_states_is_a_frosty_night(
    client: TestClient, bench: Bench, measured: Callable[..., None]
) -> None:
    """P1: hard frost typed bare was a green answer."""
    measured(None)  # by its time zone
    page = tonight(client, bench, "20", "34")
    assert page.status_code == 200
    told = said("typed_night", low="20 °F", high="34 °F", frost=Message("a_hard_frost"))
    assert f"Using your numbers: {told}." in page.text
    assert said("verdict_yes") not in page.text
    assert '<option value="F" selected>°F</option>' in page.text


def test_the_same_figures_in_a_metric_shop_are_asked_about_before_any_answer(
    client: TestClient, bench: Bench, measured: Callable[..., None], sky: Sky
) -> None:
    """P1: a bare number in the wrong unit was believed."""
    sky.air_C = -4.0
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    measured("si")
    page = tonight(client, bench, "20", "34")
    assert page.status_code == 422
    assert "34 °F would be 1.1 °C: was that meant?" in page.text
    assert said("verdict_yes") not in page.text
    first, confirms = page.text.index("<button hidden>"), page.text.index('name="confirm"')
    assert first < confirms  # the key "go" of a phone presses the first button: not this one
    assert 'value="34"' in page.text  # what was typed stays
    assert tonight(client, bench, "20", "34", "&confirm=1").status_code == 200
    assert tonight(client, bench, "20 F", "34 F").status_code == 200


def test_degc_typed_bare_in_a_shop_of_the_states_is_asked_about(
    client: TestClient, bench: Bench, measured: Callable[..., None], sky: Sky
) -> None:
    sky.air_C = 24.0
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    measured("us")
    page = tonight(client, bench, "20", "28")
    assert page.status_code == 422
    assert "28 °C would be 28 °C" in page.text


def test_where_nobody_knows_the_unit_a_bare_number_is_refused(
    client: TestClient, bench: Bench, measured: Callable[..., None]
) -> None:
    measured(None, "Etc/UTC")
    page = tonight(client, bench, "20", "34")
    assert page.status_code == 422
    assert "The unit is missing" in page.text
    assert tonight(client, bench, "20 F", "34 F").status_code == 200


def test_a_reading_in_degf_is_kept_only_when_it_is_confirmed(
    client: TestClient,
    store: Store,
    pour_id: int,
    measured: Callable[..., None],
    sky: Sky,
    bench: Bench,
) -> None:
    sky.air_C = -4.0
    assert client.post(f"{API}/places/{bench.place_id}/weather/refresh").status_code == 201
    measured("si")
    form = {"kind": "concrete", "value_C": "60", "span_h": "12 h", "key": "a"}
    page = client.post(f"/pours/{pour_id}/reading", data=form)
    assert page.status_code == 422
    assert "60 °F would be 15.6 °C" in page.text
    with store.reading() as session:
        assert session.exec(select(Reading)).all() == []
    sure = client.post(
        f"/pours/{pour_id}/reading", data=form | {"confirm": "1"}, follow_redirects=False
    )
    assert sure.status_code == 303
    with store.reading() as session:
        (kept,) = session.exec(select(Reading)).all()
    assert kept.value_C == 60


def test_bare_inches_of_a_shop_of_the_states_are_inches_and_of_a_metric_one_are_asked_about(
    client: TestClient, store: Store, measured: Callable[..., None]
) -> None:
    """P1: lengths."""
    form = {
        "piece.shape": "panel",
        "piece.length_mm": "60",
        "piece.width_mm": "24",
        "piece.thickness_mm": "1.5",
    }
    measured("us")
    told = client.post("/shop/piece/new", data=form, follow_redirects=False)
    assert told.status_code == 303, told.text
    with store.reading() as session:
        (piece,) = session.exec(select(Piece)).all()
    assert (piece.length_mm, piece.width_mm) == pytest.approx((1524.0, 609.6))
    measured("si")
    asked = client.post(
        "/shop/piece/new", data=form | {"piece.width_mm": "600", "piece.thickness_mm": "38"}
    )
    assert asked.status_code == 422
    assert "60 in would be 1524 mm" in asked.text


def test_keeping_the_two_of_an_answer_is_asked_about_too(
    client: TestClient, store: Store, bench: Bench, measured: Callable[..., None], hands: Hands
) -> None:
    hands.forward(24 * 41)  # 24 November, no forecast
    measured("si")
    path, pair = f"/places/{bench.place_id}/weather", {"night_low_C": "20", "day_high_C": "34"}
    assert client.post(path, data=pair).status_code == 422
    with store.reading() as session:
        assert session.exec(select(WeatherRun)).all() == []


def test_the_shop_chooses_its_units(client: TestClient, measured: Callable[..., None]) -> None:
    measured(None)
    assert client.get(f"{API}/shop").json()["units"] is None
    assert client.patch(f"{API}/shop", json={"units": "us"}).json()["units"] == "us"
    wrong = client.patch(f"{API}/shop", json={"units": "ells"})
    assert wrong.json()["errors"][0]["field"] == "units"
    assert '<option value="us" selected>' in client.get("/shop/settings").text
