"""A shop with one open yard at an airport of 2013, its clock in the test's hand, its weather from
the stand-in server over a real socket, its store real and in a temporary folder.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import UTC, datetime
from types import ModuleType

import pytest

from scheduler.jobs import Rounds
from service.actions.shop.set_up_shop import (
    change_shop,
    open_shop,
    save_mix,
    save_piece,
    save_place,
)
from service.settings import Settings
from service.store import Store
from service.weather.http import Caller
from service.weather.open_meteo import OpenMeteo
from tests.support.shop import Mailbox
from tests.support.yard import Keys, Yard

NEW_YORK = "America/New_York"


@pytest.fixture(scope="session")
def servers(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/open_meteo_server.py")


@pytest.fixture
def yard(
    store: Store, mailbox: Mailbox, record_2013: ModuleType, servers: ModuleType
) -> Iterator[Callable[..., Yard]]:
    """An open yard at a station and an instant, under a clear sky: harder by night and by day."""
    with ExitStack() as stack:

        def opened(station: str, now: datetime) -> Yard:
            now = now.astimezone(UTC)
            stand_in = stack.enter_context(servers.serving(record_2013.records(0.0), now))
            caller = Caller(sleep=lambda _: None, jitter=lambda: 1.0)
            weather = OpenMeteo(caller, stand_in.base_url)
            rounds = Rounds(Settings(), store, weather, lambda _: [mailbox])
            return Yard(store, rounds, stand_in, mailbox, now, furnished(store, now, station))

        def furnished(store: Store, now: datetime, station: str) -> Keys:
            latitude, longitude = record_2013.position(station)
            with store.unit_of_work() as session:
                open_shop(session, now, NEW_YORK)
                change_shop(session, now, {"notice_addresses": ["json://localhost"]})
                place = {"name": "Yard", "kind": "open yard", "timezone": NEW_YORK}
                place |= {"latitude": latitude, "longitude": longitude}
                label = [{"age_h": 168.0, "MPa": 19.0}, {"age_h": 672.0, "MPa": 28.0}]
                mix = {"name": "Grey bag", "kind": "general-purpose", "label": label}
                piece = {"name": "Heron bench", "shape": "panel", "length_mm": 1500.0}
                piece |= {"width_mm": 420.0, "thickness_mm": 60.0}
                return Keys(
                    place_id=save_place(session, now, place).id,
                    mix_id=save_mix(session, now, mix).id,
                    piece_id=save_piece(session, now, piece).id,
                )

        yield opened
