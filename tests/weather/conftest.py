"""The stand-in server, a client that does not really wait, and what may be chosen about both."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from types import ModuleType

import pytest

from service.weather.copies import Copies
from service.weather.http import Caller
from service.weather.met_norway import MetNorway
from service.weather.nws import Nws
from service.weather.open_meteo import OpenMeteo
from tests.stand_in.met_norway_shape import MetNorwayRoute
from tests.stand_in.nws_shape import NwsRoute
from tests.stand_in.open_meteo_server import StandIn

NOW = datetime(2013, 4, 20, 15, 30, tzinfo=UTC)


@pytest.fixture(scope="session")
def servers(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/open_meteo_server.py")


@pytest.fixture(scope="session")
def caching_servers(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/caching_server.py")


@pytest.fixture(scope="session")
def archive_servers(loaded: Callable[[str], ModuleType], servers: ModuleType) -> ModuleType:
    """Loaded after the forecast's server, whose answers it cuts from."""
    del servers
    return loaded("stand_in/open_meteo_archive_server.py")


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def stand_in(servers: ModuleType, record_2013: ModuleType) -> Iterator[StandIn]:
    with servers.serving(record_2013.records(), NOW) as server:
        yield server


@pytest.fixture
def waits() -> list[float]:
    """The seconds that a client was told to wait, in place of waiting."""
    return []


@pytest.fixture
def client(stand_in: StandIn, waits: list[float]) -> Callable[..., OpenMeteo]:
    """A client of the stand-in that does not really wait between attempts."""

    def made(
        base_url: str = "",
        contact: str = "yard@castclock.example",
        read_s: float = Caller.read_s,
        whole_s: float = Caller.whole_s,
        copies: Copies | None = None,
    ) -> OpenMeteo:
        caller = Caller(
            contact=contact,
            read_s=read_s,
            whole_s=whole_s,
            sleep=waits.append,
            jitter=lambda: 1.0,
            copies=Copies() if copies is None else copies,
        )
        return OpenMeteo(caller, base_url or stand_in.base_url)

    return made


@pytest.fixture(scope="session")
def nws_shape(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/nws_shape.py")


@pytest.fixture
def nws_answers(stand_in: StandIn) -> NwsRoute:
    """The National Weather Service's route of the stand-in, and what may be chosen about it."""
    route = NwsRoute()
    stand_in.routes.append(route)
    return route


@pytest.fixture(scope="session")
def met_norway_shape(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/met_norway_shape.py")


@pytest.fixture
def met_answers(stand_in: StandIn) -> MetNorwayRoute:
    """MET Norway's route of the stand-in, and what may be chosen about it."""
    route = MetNorwayRoute()
    stand_in.routes.append(route)
    return route


@pytest.fixture
def patient(waits: list[float]) -> Caller:
    """A caller that says who it is and does not really wait between attempts."""
    return Caller(contact="yard@castclock.example", sleep=waits.append, jitter=lambda: 1.0)


@pytest.fixture
def nws(stand_in: StandIn, nws_answers: NwsRoute, patient: Caller) -> Nws:  # noqa: ARG001
    return Nws(patient, stand_in.base_url)


@pytest.fixture
def met_norway(stand_in: StandIn, met_answers: MetNorwayRoute, patient: Caller) -> MetNorway:  # noqa: ARG001
    return MetNorway(patient, stand_in.base_url)
