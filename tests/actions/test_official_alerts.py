"""What is officially warned of comes with the forecast, is kept, and never stands in its way."""

from datetime import datetime, timedelta

import pytest

from models.errors import WeatherUnavailable
from models.records import Place
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.queries.rows import find
from service.store import Store
from service.weather.chain import NWS, OPEN_METEO, Chain
from service.weather.health import Watched
from service.weather.provider import WeatherAlert
from tests.support.shop import Bench, Sky

HOUR = timedelta(hours=1)


class Warner:
    """A service that warns of frost, or that is down."""

    def __init__(self, sky: Sky, ends: datetime | None, down: str = "") -> None:
        self.forecast, self.name, self.attribution = sky.forecast, sky.name, sky.attribution
        self.ends, self.down = ends, down

    def alerts(self, _north: float, _east: float, now: datetime) -> tuple[WeatherAlert, ...]:
        if self.down:
            raise WeatherUnavailable(self.name, self.down, 900.0)
        return (
            WeatherAlert(
                "a.1",
                "Freeze Warning",
                "frost",
                "Moderate",
                "Likely",
                "Expected",
                now,
                self.ends,
                "Freeze until morning",
                "Cover what can freeze.",
            ),
        )


def kept(store: Store, place_id: int) -> list[dict[str, str | None]] | None:
    with store.reading() as session:
        return find(session, Place, place_id, "place_id").official_alerts


def test_alerts_are_kept_with_the_forecast_and_stand_when_the_next_try_fails(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    refresh_forecast(store, now, bench.place_id, Warner(sky, now + 9 * HOUR))
    (one,) = kept(store, bench.place_id) or []
    assert (one["event"], one["about"]) == ("Freeze Warning", "frost")
    refresh_forecast(store, now + HOUR, bench.place_id, Warner(sky, None, down="busy"))
    assert kept(store, bench.place_id) == [one]


def test_an_alert_without_an_end_lasts_a_day(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    refresh_forecast(store, now, bench.place_id, Warner(sky, None))
    (one,) = kept(store, bench.place_id) or []
    assert one["ends"] == (now + 24 * HOUR).isoformat()


def test_a_service_that_warns_of_nothing_leaves_nothing(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    refresh_forecast(store, now, bench.place_id, sky)
    assert kept(store, bench.place_id) is None


@pytest.mark.parametrize(("at", "told"), [((40.7, -74.2), ("Freeze Warning",)), ((48.2, 16.4), ())])
def test_the_chain_asks_whoever_is_at_home_there(
    sky: Sky, now: datetime, at: tuple[float, float], told: tuple[str, ...]
) -> None:
    warner = Warner(sky, None)
    chain = Chain(
        {NWS: Watched(warner, "nws.example"), OPEN_METEO: Watched(sky, "open.example")},
        warners={NWS: Watched(warner, "nws.example", name="of the tests alerts")},
    )
    assert tuple(one.event for one in chain.alerts(*at, now)) == told
