"""Which weather service is asked where, who answers when it fails, and whose credit is shown."""

from datetime import datetime, timedelta

import numpy as np
import pytest

from models.errors import InputError, WeatherUnavailable
from service.weather import chain
from service.weather.chain import Chain, order_at
from service.weather.health import OPENS_AFTER, Watched
from service.weather.provider import Known, Provider
from tests.support.services import Service, Warner

HOUR = timedelta(hours=1)
KANSAS, OSLO, LYON = (39.5, -98.5), (59.9, 10.7), (45.8, 4.8)


@pytest.fixture
def nws() -> Service:
    return Service("US National Weather Service")


@pytest.fixture
def open_meteo() -> Service:
    return Service("Open-Meteo")


@pytest.fixture
def met() -> Service:
    return Service("MET Norway")


@pytest.fixture
def all_three(nws: Service, open_meteo: Service, met: Service) -> dict[str, Watched[Provider]]:
    every = {"nws": nws, "open-meteo": open_meteo, "met-norway": met}
    return {key: Watched(one, "") for key, one in every.items()}


@pytest.mark.parametrize(
    ("point", "first"),
    [
        (KANSAS, "nws"),
        ((61.2, -149.9), "nws"),
        ((21.3, -157.9), "nws"),
        ((18.4, -66.1), "nws"),
        ((13.5, 144.8), "nws"),
        ((-14.3, -170.7), "nws"),
        ((52.9, 172.9), "nws"),
        (OSLO, "met-norway"),
        ((64.1, -21.9), "met-norway"),
        ((60.2, 24.9), "met-norway"),
        (LYON, "open-meteo"),
        ((-33.9, 151.2), "open-meteo"),
        ((19.4, -99.1), "open-meteo"),
        ((-22.9, -43.2), "open-meteo"),
        ((35.7, 139.7), "open-meteo"),
        ((0.0, 0.0), "open-meteo"),
    ],
)
def test_a_place_is_asked_about_where_it_is_known_best(
    point: tuple[float, float], first: str
) -> None:
    order = order_at(*point)
    assert order[0] == first
    assert "open-meteo" in order
    assert len(set(order)) == len(order)


def test_the_first_that_answers_is_heard_and_no_other_is_asked(
    all_three: dict[str, Watched[Provider]], nws: Service, open_meteo: Service, now: datetime
) -> None:
    air = Chain(all_three).forecast(*KANSAS, now)
    assert air.source == "US National Weather Service forecast"
    assert open_meteo.asked == []
    nws.down("status 503")
    assert Chain(all_three).forecast(*KANSAS, now).source == "Open-Meteo forecast"


def test_the_owners_order_goes_before_the_region(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
) -> None:
    chosen = Chain(all_three, ("met-norway", "nws"))
    assert chosen.forecast(*KANSAS, now).source == "MET Norway forecast"
    met.down("status 500")
    nws.down("status 500")
    with pytest.raises(WeatherUnavailable):
        chosen.forecast(*KANSAS, now)
    assert open_meteo.asked == [], "its terms may not suit this owner"


def test_when_all_fail_every_reason_is_told_and_the_soonest_try(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
) -> None:
    """Case 73."""
    nws.down("status 404: outside", None)
    open_meteo.down("no air temperature in the answer", 3600.0)
    met.down("no answer in time", 900.0)
    with pytest.raises(WeatherUnavailable) as caught:
        Chain(all_three).forecast(*KANSAS, now)
    assert str(caught.value) == (
        "no service answered: US National Weather Service: status 404: outside;"
        " Open-Meteo: no air temperature in the answer; MET Norway: no answer in time"
    )
    assert caught.value.retry_after_s == 900.0


def test_one_service_alone_speaks_for_itself(
    all_three: dict[str, Watched[Provider]], open_meteo: Service, now: datetime
) -> None:
    open_meteo.down("status 500")
    with pytest.raises(WeatherUnavailable, match="^Open-Meteo: status 500$"):
        Chain(all_three, ("open-meteo",)).forecast(*LYON, now)


def test_none_is_asked_when_the_owner_wants_none(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
) -> None:
    with pytest.raises(WeatherUnavailable, match="asks no weather service") as caught:
        Chain(all_three, ()).forecast(*KANSAS, now)
    assert caught.value.retry_after_s is None
    assert nws.asked + open_meteo.asked + met.asked == []


@pytest.mark.parametrize("point", [(91.0, 0.0), (0.0, -181.0), (float("nan"), 0.0)])
def test_coordinates_that_are_none_pass_to_whoever_gave_them(
    all_three: dict[str, Watched[Provider]],
    open_meteo: Service,
    now: datetime,
    point: tuple[float, float],
) -> None:
    with pytest.raises(InputError, match="itude"):
        Chain(all_three).forecast(*point, now)
    assert open_meteo.asked == []


def test_a_service_that_does_not_know_the_point_is_left_alone(
    all_three: dict[str, Watched[Provider]], nws: Service, now: datetime
) -> None:
    """Case 8: Toronto lies in the rectangle, but not in the area of the service."""
    toronto = (43.65, -79.38)
    nws.down("status 404: InvalidPoint", None)
    weather = Chain(all_three)
    for hour in range(7):
        assert weather.forecast(*toronto, now + timedelta(hours=hour)).source[:4] == "Open"
    assert len(nws.asked) == 7, "refused for six hours on end: then it counts"
    for hour in range(7, 12):
        weather.forecast(*toronto, now + timedelta(hours=hour))
    assert len(nws.asked) == 7
    weather.forecast(43.7, -79.38, now)
    assert len(nws.asked) == 8, "another point is another question"


def test_a_point_refused_once_is_asked_about_again_when_nobody_else_answers(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
) -> None:
    nws.down("status 403", None)
    weather = Chain(all_three)
    weather.forecast(*KANSAS, now)
    nws.error = None
    open_meteo.down("status 500")
    met.down("status 500")
    assert "National" in weather.forecast(*KANSAS, now + timedelta(hours=1)).source


def test_a_service_at_rest_costs_the_others_no_time(
    all_three: dict[str, Watched[Provider]], nws: Service, now: datetime
) -> None:
    nws.down("no answer in time")
    weather = Chain(all_three)
    for _ in range(OPENS_AFTER + 5):
        assert weather.forecast(*KANSAS, now).source == "Open-Meteo forecast"
    assert len(nws.asked) == OPENS_AFTER


@pytest.mark.parametrize("wait_s", [None, 900.0], ids=["refused", "down"])
def test_official_alerts_are_asked_for_though_the_forecast_fails(
    all_three: dict[str, Watched[Provider]], nws: Service, now: datetime, wait_s: float | None
) -> None:
    warner = Warner()
    weather = Chain(all_three, warners={"nws": Watched(warner, "", name=f"{nws.name} alerts")})
    nws.down("status 403", wait_s)
    for hour in range(12):
        at = now + timedelta(hours=hour)
        weather.forecast(*KANSAS, at)
        assert [one.about for one in weather.alerts(*KANSAS, at)] == ["frost"]


def test_alerts_that_fail_say_nothing_about_the_forecast_and_are_told(
    all_three: dict[str, Watched[Provider]], nws: Service, now: datetime
) -> None:
    warner = Warner()
    warner.error = WeatherUnavailable(nws.name, "status 500", 900.0)
    weather = Chain(
        all_three, ("nws",), warners={"nws": Watched(warner, "", name=f"{nws.name} alerts")}
    )
    for _ in range(OPENS_AFTER + 1):
        weather.forecast(*KANSAS, now)
        with pytest.raises(WeatherUnavailable, match="alerts: not asked|status 500"):
            weather.alerts(*KANSAS, now)
    assert warner.asked == OPENS_AFTER
    told = {one.provider: (one.state, one.words) for one in weather.health()}
    assert told == {
        "US National Weather Service": ("fine", ""),
        "US National Weather Service alerts": ("failing", "status 500"),
    }


@pytest.mark.parametrize(
    "error",
    [ZeroDivisionError(), KeyError("properties"), InputError("air_C", 99, "too much", "less")],
)
def test_whatever_goes_wrong_in_one_service_the_next_is_asked_and_health_says_what(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    now: datetime,
    error: Exception,
    caplog: pytest.LogCaptureFixture,
) -> None:
    """A28: an error of another kind left the chain."""
    nws.error = error
    weather = Chain(all_three)
    assert weather.forecast(*KANSAS, now).source == "Open-Meteo forecast"
    (told,) = [one for one in weather.health() if "National" in one.provider][:1]
    assert told.state == "failing"
    assert told.words == "its answer could not be read"
    assert type(error).__name__ in caplog.text  # for whoever runs it


def test_of_an_old_answer_and_a_fresh_one_of_the_next_service_the_fresh_one_leads(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
) -> None:
    """E8."""
    weather = Chain(all_three)
    nws.age = 30 * HOUR
    assert weather.forecast(*KANSAS, now).source == "Open-Meteo forecast"
    open_meteo.down("status 500")
    met.age = 26 * HOUR
    assert weather.forecast(*KANSAS, now).source == "MET Norway forecast", "of two old the younger"
    met.age = 40 * HOUR
    assert "National" in weather.forecast(*KANSAS, now).source


def test_an_answer_without_moisture_has_it_from_the_next_service(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
) -> None:
    """E6: it ended the chain."""
    nws.dew_C, open_meteo.air_C = np.nan, 3.0
    told = Chain(all_three).forecasts(*KANSAS, now)
    assert [air.source for air in told] == [
        "US National Weather Service forecast",
        "Open-Meteo forecast",
    ]
    assert met.asked == []
    open_meteo.down("status 500")
    met.down("status 500")
    (alone,) = Chain(all_three).forecasts(*KANSAS, now)
    assert np.isnan(alone.dew_point_C).all(), "what lacks stays missing"


def test_weather_that_the_place_cannot_have_is_not_believed(
    all_three: dict[str, Watched[Provider]], nws: Service, now: datetime
) -> None:
    """A28: 50 degF under a degC label, in Kansas in April."""
    nws.air_C = 50.0
    weather = Chain(all_three)
    assert weather.forecast(*KANSAS, now).source == "Open-Meteo forecast"
    told = weather.health()[0]
    assert told.state == "failing"
    assert "50 C at latitude 40 in April" in told.words


def test_an_answer_far_from_what_was_told_before_is_not_believed(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
) -> None:
    """A28: 34 degF under a degC label is warm for April, and no more."""
    weather = Chain(all_three)
    known = Known(earlier=weather.forecasts(*KANSAS, now - HOUR)[0])
    nws.air_C = 34.0
    (air,) = weather.forecasts(*KANSAS, now, known=known)
    assert air.source == "Open-Meteo forecast"
    assert "33 K over what was told before" in weather.health()[0].words
    open_meteo.down("status 500")
    met.down("status 500")
    with pytest.raises(WeatherUnavailable, match="33 K over what was told before"):
        weather.forecasts(*KANSAS, now, known=known)


def test_two_services_that_agree_are_believed_against_what_was_told_before(
    all_three: dict[str, Watched[Provider]], nws: Service, open_meteo: Service, now: datetime
) -> None:
    nws.air_C = 34.0
    weather = Chain(all_three)
    known = Known(earlier=weather.forecasts(*KANSAS, now - HOUR)[0])
    nws.air_C = 1.0
    told = weather.forecasts(*KANSAS, now, known=known)
    assert (len(told), told[0].source) == (1, "US National Weather Service forecast")
    assert len(open_meteo.asked) == 1
    assert weather.health()[0].state == "fine"


def test_a_thermometer_outdoors_is_a_witness_and_two_services_outvote_it(
    all_three: dict[str, Watched[Provider]], nws: Service, now: datetime
) -> None:
    known = Known(readings=((now - HOUR, -1.0), (now - 2 * HOUR, 0.0)))
    weather = Chain(all_three)
    nws.air_C = 34.0
    assert weather.forecasts(*KANSAS, now, known=known)[0].source == "Open-Meteo forecast"
    assert "over the thermometer there" in weather.health()[0].words
    nws.air_C = 1.0
    wrong = Known(readings=((now - HOUR, 33.0),))
    assert "National" in weather.forecasts(*KANSAS, now, known=wrong)[0].source


@pytest.mark.parametrize("third", [True, False])
def test_where_nothing_is_known_yet_a_second_service_is_the_witness(
    all_three: dict[str, Watched[Provider]],
    nws: Service,
    open_meteo: Service,
    met: Service,
    now: datetime,
    third: bool,
) -> None:
    weather = Chain(all_three)
    weather.forecasts(*KANSAS, now, known=Known())
    assert (len(nws.asked), len(open_meteo.asked), len(met.asked)) == (1, 1, 0)
    nws.air_C = 34.0
    if not third:
        met.down("status 500")
    assert weather.forecasts(*KANSAS, now, known=Known())[0].source == "Open-Meteo forecast"
    assert "33 K over another service" in weather.health()[0].words


def test_the_credit_is_that_of_whoever_answered(
    all_three: dict[str, Watched[Provider]], open_meteo: Service
) -> None:
    weather = Chain(all_three, ("nws",), Watched(Service("Open-Meteo archive"), ""))
    assert chain.credit(weather, "MET Norway forecast") == "Credit: MET Norway"
    assert chain.credit(
        weather, "Open-Meteo forecast; hours it lacks from MET Norway forecast"
    ) == ("Credit: Open-Meteo Credit: MET Norway")
    assert "Credit: Open-Meteo" in chain.credit(weather, "Open-Meteo archive")
    assert chain.credit(weather, "file yard.csv") == ""
    assert chain.credit(open_meteo, "anything") == "Credit: Open-Meteo"


def test_how_each_does_is_told_in_the_order_of_asking(
    all_three: dict[str, Watched[Provider]], met: Service, now: datetime
) -> None:
    weather = Chain(all_three, ("met-norway", "nws"), Watched(Service("archive"), ""))
    met.down("status 500")
    weather.forecast(*KANSAS, now)
    told = [(one.provider, one.state) for one in chain.health(weather)]
    assert told == [
        ("MET Norway", "failing"),
        ("US National Weather Service", "fine"),
        ("archive", "not asked yet"),
    ]
    assert chain.health(met) == ()
