"""Weather from a service to the phone: the first one fails, the next is heard and credited."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

import pytest
from fastapi import FastAPI
from playwright.sync_api import Page, expect

from service.actions.shop.set_up_shop import open_shop
from service.app import create_app
from service.settings import Settings
from service.store import Store
from service.weather import services
from tests.stand_in.open_meteo_server import StandIn
from tests.support.first import answer
from tests.support.shop import Hands

pytestmark = pytest.mark.browser
NOW = datetime(2013, 4, 20, 15, 30, tzinfo=UTC)


@pytest.fixture
def now() -> datetime:
    return NOW


@pytest.fixture
def servers(loaded: Callable[[str], ModuleType]) -> ModuleType:
    return loaded("stand_in/open_meteo_server.py")


@pytest.fixture
def stand_in(
    loaded: Callable[[str], ModuleType], servers: ModuleType, record_2013: ModuleType
) -> Iterator[StandIn]:
    """One server that speaks like all of them, from the record of 2013."""
    with servers.serving(record_2013.records(), NOW) as server:
        server.routes.append(loaded("stand_in/nws_shape.py").NwsRoute())
        yield server


@pytest.fixture
def app(tmp_path: Path, store: Store, stand_in: StandIn, hands: Hands, now: datetime) -> FastAPI:
    """The application with the services of its settings, all of them on the stand-in."""
    settings = Settings(
        data=str(tmp_path),
        weather="nws,open-meteo",
        contact="yard@castclock.example",
        weather_url=stand_in.base_url,
        nws_url=stand_in.base_url,
        archive_url=stand_in.base_url,
    )
    with store.unit_of_work() as session:
        open_shop(session, now, "America/New_York")
    return create_app(settings, store, services.from_settings(settings), hands)


def pour_at_newark(page: Page) -> None:
    page.goto("/pour")
    page.locator("summary", has_text="Coordinates, clock").tap()
    page.get_by_role("textbox", name="Latitude").fill("40.6925")
    page.get_by_role("textbox", name="Longitude").fill("-74.1687")
    page.get_by_label("Time zone").select_option("America/New_York")
    answer(page)
    page.get_by_role("button", name="Poured").first.tap()


def test_the_service_at_home_there_is_asked_and_credited(phone: Callable[..., Page]) -> None:
    page = phone()
    pour_at_newark(page)
    expect(page.locator("#strip")).to_contain_text("safe from")
    page.locator("footer summary").tap()
    expect(page.get_by_text("National Weather Service")).to_be_visible()
    page.goto("/places/1")
    expect(page.locator("svg")).to_be_visible()


def test_when_it_refuses_the_next_one_is_heard_and_the_shop_says_how_each_does(
    phone: Callable[..., Page], stand_in: StandIn, servers: ModuleType
) -> None:
    fault = servers.Fault(status=403)
    stand_in.fail_next("/points/", *[fault] * 8)
    page = phone()
    pour_at_newark(page)
    expect(page.locator("#strip")).to_contain_text("safe from")
    page.locator("footer summary").tap()
    expect(page.get_by_text("Weather data by Open-Meteo.com")).to_be_visible()
    page.goto("/shop/settings")
    expect(page.locator("main")).to_contain_text("Open-Meteo")
    expect(page.locator("main")).to_contain_text("403")
    secret = page.locator("#mail_password")
    page.locator("label", has=page.locator("[name='kind'][value='email']")).tap()
    secret.fill("hunter2")
    expect(secret).to_have_attribute("type", "password")
    page.get_by_role("button", name="Show what is typed: Its password").tap()
    expect(secret).to_have_attribute("type", "text")
