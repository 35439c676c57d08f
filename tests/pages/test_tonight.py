"""Is tonight too cold: asked on the phone, with a forecast or with two typed temperatures."""

from datetime import datetime, timedelta

import pytest
from sqlmodel import select

from models.air.series import AirSeries
from models.errors import Unknown
from models.message import Message, text
from models.planning import pour_check
from models.records import WeatherRun
from models.results import PourAnswer
from models.simulation.scenario import Scenario
from service.store import Store
from tests.support.phone import Page, Phone
from tests.support.shop import Bench
from tests.support.words import said, tells


def ask(phone: Phone, **typed: str) -> Page:
    return phone.send(phone.open("/tonight").form("/tonight"), **typed)


@pytest.mark.usefixtures("poured")
def test_a_mild_night_may_be_poured_as_it_is(phone: Phone) -> None:
    page = ask(phone)
    assert phone.status == 200
    assert tells(page.text, "pour_no_cover")
    assert "Rests on: a sky of the tests, issued 1 min ago" in page.text
    assert f"✓ passes: {said('way_bare')}" in page.text
    assert "Every hour of the week" in page.text


@pytest.mark.usefixtures("poured")
def test_a_typed_cold_night_counts_instead_of_the_forecast(phone: Phone) -> None:
    page = ask(phone, night_low_C="14 F", day_high_C="25 F", concrete_C="15 C")
    assert f"✕ no: {said('way_bare')}" in page.text
    assert "freezing before 3.5 MPa" in page.text
    assert "typed by hand" in page.text
    assert page.form("/tonight").fields["night_low_C"] == ["14 F"]


@pytest.mark.usefixtures("poured")
def test_typed_temperatures_can_be_kept_for_the_place(
    phone: Phone, store: Store, bench: Bench
) -> None:
    page = ask(phone, night_low_C="38 F", day_high_C="50 F")
    phone.send(page.form(f"/places/{bench.place_id}/weather"))
    with store.reading() as session:
        assert [run.typed for run in session.exec(select(WeatherRun)).all()] == [False, True]


@pytest.mark.usefixtures("bench")
def test_no_weather_means_wait_and_says_what_to_type(phone: Phone) -> None:
    page = ask(phone)
    assert f"✕ {said('wait')}" in page.text.lower()
    assert "No weather is never safe" in page.text
    assert f"● {said('pour')}" not in page.text.lower()


@pytest.mark.usefixtures("poured")
def test_a_wait_tells_until_when(
    phone: Phone, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = pour_check.check

    def late(
        scenario: Scenario,
        air: AirSeries | Unknown,
        instant: datetime,
        *,
        days: int = pour_check.DAYS,
        only: datetime | None = None,
        brief: bool = False,
    ) -> PourAnswer:
        found = real(scenario, air, instant, days=days, only=only, brief=brief)
        return type(found)(
            Message("wait"),
            now + timedelta(hours=14),
            (text("Too cold before."),),
            found.options,
            found.cautions,
            found.sources,
        )

    monkeypatch.setattr(pour_check, "check", late)
    assert f"{said('wait')} until tomorrow 08:00 in 14 h" in ask(phone).text.lower()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"night_low_C": "38 F"}, "day_high_C"),
        ({"night_low_C": "10", "day_high_C": "5"}, "day_high_C"),
        ({"night_low_C": "cold", "day_high_C": "5"}, "night_low_C"),
        ({"start_at": "2029-01-01T10:00"}, "start_at"),
        ({"place_id": "9" * 30}, "place_id"),
        ({"mix_id": "77"}, "mix_id"),
    ],
)
@pytest.mark.usefixtures("poured")
def test_a_fault_is_told_beside_its_field(phone: Phone, typed: dict[str, str], field: str) -> None:
    page = ask(phone, **typed)
    assert phone.status == 422
    assert field in page.notes
    for name, value in typed.items():
        if not name.endswith("_id"):
            assert page.form("/tonight").fields[name] == [value]


def test_a_maker_with_an_empty_shop_asks_before_the_first_pour(phone: Phone) -> None:
    page = ask(phone, night_low_C="41 F", day_high_C="60 F", place__kind="covered")
    assert phone.status == 200
    assert f"● {said('pour')}" in page.text.lower()
    assert "Carport" in page.source
