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
from service.actions.shop.set_up_shop import change_shop, save_place
from service.store import Store
from service.words import word
from tests.support.phone import Page, Phone
from tests.support.shop import Bench
from tests.support.words import said, tells


def ask(phone: Phone, **typed: str) -> Page:
    return phone.send(phone.open("/tonight").form("/tonight"), **typed)


@pytest.mark.usefixtures("poured")
def test_a_mild_night_may_be_poured_as_it_is(phone: Phone) -> None:
    page = ask(phone)
    assert phone.status == 200
    assert f"● {said('verdict_yes')}" in page.text
    assert "Rests on: a sky of the tests, issued 1 min ago" in page.text
    assert f"✓ {said('way_bare').capitalize()}" in page.text
    assert "The whole week" in page.text


@pytest.mark.usefixtures("poured")
def test_a_hard_frost_is_no_with_its_chance(phone: Phone) -> None:
    page = ask(phone, night_low_C="14 F", day_high_C="25 F", concrete_C="15 C")
    answer = page.text[: page.text.index("The ways worth a look")]
    assert f"● {said('verdict_yes')}" not in page.text
    assert word("fails", "freezes") in answer
    told = said("typed_night", low="-10 °C", high="-3.9 °C", frost=Message("a_hard_frost"))
    assert f"Using your numbers: {told}." in answer
    assert word("fails", "too_cold") not in answer
    assert page.form("/tonight").fields["night_low_C"] == ["14 F"]


@pytest.mark.usefixtures("poured")
def test_a_mix_a_little_too_cold_is_advice_for_the_water_and_no_refusal(phone: Phone) -> None:
    """P4: every way was refused for half a degree."""
    page = ask(phone, night_low_C="37 F", day_high_C="45 F", concrete_C="12 C")
    assert f"● {said('verdict_yes')}" in page.text
    assert tells(page.text, "warm_the_water")
    assert "arm mixing water" not in page.text[page.text.index("The ways worth") :]


@pytest.mark.usefixtures("poured")
def test_three_ways_stand_open_and_the_others_are_folded(
    phone: Phone, store: Store, now: datetime
) -> None:
    owned = [{"kind": kind} for kind in ("film", "wet cover", "blanket", "two blankets")]
    with store.unit_of_work() as session:
        change_shop(session, now, {"covers": owned})
    page = ask(phone, night_low_C="28 F", day_high_C="45 F")
    ways = page.source[page.source.index("The ways worth a look") :]
    open_ones = ways[: ways.index("more</summary>")]
    assert open_ones.count('<li class="card') == 3
    assert open_ones.count("Coldest corner") == 3
    assert open_ones.count("Turn: safe from") >= 1
    assert "Numbers" in page.text


def test_frost_is_not_asked_about_in_a_heated_room(
    phone: Phone, bench: Bench, store: Store, now: datetime
) -> None:
    with store.unit_of_work() as session:
        room = {"name": "A hall", "kind": "heated room", "setpoint_C": 18.0}
        hall = str(save_place(session, now, room).id)
    phone.send(phone.open("/pour").form("/pour"), place_id=hall)
    form = phone.open("/tonight").form("/tonight")
    assert form.fields["place_id"] == [str(bench.place_id)]
    page = ask(phone, place_id=hall, night_low_C="20 F", day_high_C="34 F")
    assert "It is a heated room" in page.text
    assert not [one for one in page.forms if one.action.endswith("/weather")]


@pytest.mark.usefixtures("bench")
def test_typed_temperatures_can_be_kept_for_a_place_without_a_forecast(
    phone: Phone, store: Store, bench: Bench
) -> None:
    page = ask(phone, night_low_C="38 F", day_high_C="50 F")
    phone.send(page.form(f"/places/{bench.place_id}/weather"))
    with store.reading() as session:
        assert [run.typed for run in session.exec(select(WeatherRun)).all()] == [True]


@pytest.mark.usefixtures("poured")
def test_a_fresh_forecast_is_not_said_to_be_replaced(phone: Phone) -> None:
    """A typed pair yields to a service that answered within a day: keeping it would do nothing."""
    page = ask(phone, night_low_C="38 F", day_high_C="50 F")
    assert "the forecast counts while it is fresh" in page.text
    assert not [one for one in page.forms if one.action.endswith("/weather")]


@pytest.mark.usefixtures("bench")
def test_no_weather_means_no_and_says_what_to_type(phone: Phone) -> None:
    page = ask(phone)
    assert f"✕ {said('verdict_no')}" in page.text
    assert tells(page.text, "no_weather")
    assert "●" not in page.text


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
    shown = ask(phone).text
    assert f"✕ {said('verdict_no')} Pour tomorrow 08:00 in 14 h" in shown


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
    piece = {"piece__length_mm": "1500 mm", "piece__width_mm": "420 mm"}
    piece["piece__thickness_mm"] = "60 mm"
    page = ask(phone, night_low_C="41 F", day_high_C="60 F", place__kind="covered", **piece)
    assert phone.status == 200
    assert f"● {said('verdict_yes')}" in page.text
    assert "Carport" in page.source


@pytest.mark.usefixtures("poured")
def test_typed_numbers_are_told_as_their_reader_measures(phone: Phone) -> None:
    typed = {"night_low_C": "20 F", "day_high_C": "41 F"}
    page = phone.send(phone.open("/tonight").form("/tonight"), **typed)
    assert "typed by hand: night -6.7 °C, day 5 °C" in page.text
    american = {"units": "us"}
    phone.client.post("/reader", data=american, headers={"referer": "/tonight"})
    page = phone.send(phone.open("/tonight").form("/tonight"), **typed)
    assert "typed by hand: night 20 °F, day 41 °F" in page.text
