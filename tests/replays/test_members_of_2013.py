"""A shop that asks for an ensemble: over two sockets, into the store, and into the windows."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from types import ModuleType
from zoneinfo import ZoneInfo

import pytest
from sqlmodel import select

from models.records import WeatherRun
from service import answer_hours
from service.weather.http import Caller
from service.weather.open_meteo_ensemble import WithEnsemble
from tests.stand_in.open_meteo_ensemble_server import EnsembleStandIn
from tests.support.yard import Yard

POURED = datetime(2013, 4, 9, 10, tzinfo=ZoneInfo("America/New_York"))
HOUR = timedelta(hours=1)
THIRD_DAY = slice(48, 72)


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


def spread_of(yard: Yard, pour_id: int, day: slice) -> float:
    """How far the middle eight tenths of the members' air lie apart, on average of a day [K]."""
    concrete = yard.projection(pour_id).concrete
    assert concrete is not None
    air = answer_hours.unpacked(concrete)["air_C"]
    apart = [high - low for high, low in zip(air["p90"][day], air["p10"][day], strict=True)]
    return float(sum(apart) / len(apart))


def test_the_members_of_the_night_are_in_the_windows(
    yard: Callable[..., Yard], far: EnsembleStandIn
) -> None:
    """A service that is sure widens the air of the third day by no more than sixty-four members
    tell, one that is not by far more; tests/science/air hold how far, by members by the hundred."""
    shop = yard("EWR", POURED)
    pour_id = shop.pour(14.0)
    shop.tick()
    plain = spread_of(shop, pour_id, THIRD_DAY)
    asking_for_members(shop, far)
    widths = []
    for k, spread_K in enumerate((0.5, 4.0)):
        far.spread_K, far.now = spread_K, shop.now + 7 * HOUR
        shop.forward_to(shop.now + 7 * HOUR)
        widths.append(spread_of(shop, pour_id, THIRD_DAY))
        with shop.store.reading() as session:
            runs = session.exec(select(WeatherRun)).all()
        assert [run.ensemble is not None for run in runs] == [False] * (k + 1) + [True]
    assert widths[0] < 1.1 * plain
    assert widths[1] > 2.0 * plain


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
