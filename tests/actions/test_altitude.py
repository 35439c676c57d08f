"""How high a place lies reaches the service that corrects its temperatures by it, and no other."""

from datetime import datetime

import pytest

from models.air.series import AirSeries
from models.errors import InputError
from service.actions.shop.set_up_shop import save_place
from service.actions.weather.refresh_forecasts import refresh_forecast
from service.store import Store
from service.weather.chain import MET_NORWAY, Chain
from service.weather.health import Watched
from service.weather.http import Caller
from service.weather.open_meteo_ensemble import WithEnsemble
from tests.support.shop import Bench, Sky


def test_the_altitude_of_a_place_goes_with_the_question(
    store: Store, sky: Sky, now: datetime
) -> None:
    heard: list[float | None] = []

    class High:
        name, attribution = sky.name, sky.attribution

        def forecast(
            self, north: float, east: float, at: datetime, altitude_m: float | None = None
        ) -> AirSeries:
            heard.append(altitude_m)
            return sky.forecast(north, east, at)

    weather = Chain({MET_NORWAY: Watched(High(), "")}, (MET_NORWAY,))
    yard = {"name": "upper yard", "kind": "open yard", "latitude": 60.5, "longitude": 8.2}
    with store.unit_of_work() as session:
        there = save_place(session, now, {**yard, "altitude_m": 812.0})
        session.flush()
        place_id = there.id
    refresh_forecast(store, now, place_id, weather)
    assert set(heard) == {812.0}


def test_a_place_without_an_altitude_is_asked_about_as_before(
    store: Store, bench: Bench, sky: Sky, now: datetime
) -> None:
    weather = Chain({MET_NORWAY: Watched(sky, "")}, (MET_NORWAY,))
    refresh_forecast(store, now, bench.place_id, weather)
    assert sky.asked


@pytest.mark.parametrize("altitude_m", [-501.0, 9001.0, float("nan")])
def test_an_altitude_where_no_shop_stands_is_refused(
    store: Store, now: datetime, altitude_m: float
) -> None:
    yard = {"name": "x", "kind": "open yard", "altitude_m": altitude_m}
    with store.unit_of_work() as session, pytest.raises(InputError, match="altitude_m"):
        save_place(session, now, yard)


def test_the_altitude_goes_with_the_question_with_members_beside_it_too(
    sky: Sky, now: datetime
) -> None:
    heard: list[float | None] = []

    class High:
        name, attribution = sky.name, sky.attribution

        def forecast(
            self, north: float, east: float, at: datetime, altitude_m: float | None = None
        ) -> AirSeries:
            heard.append(altitude_m)
            return sky.forecast(north, east, at)

    nobody = Caller(whole_s=1.0, sleep=lambda _: None)
    both = WithEnsemble(High(), "gfs025", nobody, "http://127.0.0.1:9")
    assert both.forecast(60.5, 8.2, now, 812.0).ensemble is None
    assert heard == [812.0]
