"""A shop that asks for an ensemble: over two sockets, into the store, and into the windows."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from types import ModuleType
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import select

from models.records import WeatherRun
from service.weather.http import Caller
from service.weather.open_meteo_ensemble import WithEnsemble
from tests.stand_in.open_meteo_ensemble_server import EnsembleStandIn
from tests.support.yard import Yard

POURED = datetime(2013, 4, 9, 10, tzinfo=ZoneInfo("America/New_York"))
HOUR = timedelta(hours=1)


@pytest.fixture(scope="session")
def ensemble_servers(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/open_meteo_ensemble_server.py")


@pytest.fixture
def far(ensemble_servers: ModuleType, record_2013: ModuleType) -> Iterator[EnsembleStandIn]:
    with ensemble_servers.serving(record_2013.records(0.0), POURED) as server:
        yield server


def asking_for_members(yard: Yard, far: EnsembleStandIn) -> None:
    caller = Caller(sleep=lambda _: None, jitter=lambda: 1.0)
    weather = WithEnsemble(yard.rounds.weather, "ncep_gefs025", caller, far.base_url)
    yard.rounds = replace(yard.rounds, weather=weather)


def spread_of(yard: Yard, pour_id: int, lead_h: int) -> float:
    concrete = yard.projection(pour_id).concrete
    assert concrete is not None
    air = concrete["air_C"]
    return float(air["p90"][lead_h] - air["p10"][lead_h])


def test_the_members_of_the_night_are_in_the_windows(
    yard: Callable[..., Yard], far: EnsembleStandIn
) -> None:
    """A service that is sure narrows the air of the third day, one that is not widens it."""
    shop = yard("EWR", POURED)
    pour_id = shop.pour(14.0)
    shop.tick()
    plain = spread_of(shop, pour_id, 60)
    asking_for_members(shop, far)
    widths = []
    for k, spread_K in enumerate((0.5, 4.0)):
        far.spread_K, far.now = spread_K, shop.now + 7 * HOUR
        shop.forward_to(shop.now + 7 * HOUR)
        widths.append(spread_of(shop, pour_id, 60))
        with shop.store.reading() as session:
            runs = session.exec(select(WeatherRun)).all()
        assert [run.ensemble is not None for run in runs] == [False] * (k + 1) + [True]
    assert widths[0] < plain < widths[1]


def test_a_shop_whose_ensemble_fails_is_told_as_before(
    yard: Callable[..., Yard], far: EnsembleStandIn, ensemble_servers: ModuleType
) -> None:
    shop = yard("EWR", POURED)
    pour_id = shop.pour(14.0)
    asking_for_members(shop, far)
    far.next_answers(*[ensemble_servers.Fault(status=500)] * 4)
    shop.tick()
    assert len(far.queries) == 4
    assert shop.window(pour_id, "strip")["earliest"]["p90"] is not None
