"""The invented shop on one evening that stands still, for tests that look at all of its pages."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import FastAPI
from playwright.sync_api import Browser, Page

from service import demo
from service.app import create_app
from service.authority import own
from service.settings import Settings
from service.store import Store
from tests.support.shop import Hands

HEIGHT = 844  # of a phone
EVENING = datetime(2026, 11, 19, 17, 20, tzinfo=ZoneInfo(demo.TIMEZONE))  # a Thursday, before frost
PAGES = {  # of which pictures are kept
    "today": "/",
    "piece-to-cover": "/pours/1",
    "piece-to-strip": "/pours/2",
    "piece-to-turn": "/pours/3",
    "piece-between-coats": "/pours/4",
    "pour-mode": "/pours/1/mode",
    "what-if": "/pours/1/plan",
    "steps": "/pours/2/steps",
    "reading": "/pours/2/reading/add",
    "photos": "/pours/5/photos",
    "record": "/pours/5/record",
    "care": "/pours/5/care",
    "pour": "/pour",
    "tonight": "/tonight?asked=1&piece_id=1&mix_id=1&place_id=1",
    "week": "/week?piece_id=1&mix_id=1&place_id=1",
    "place": "/places/1",
    "shop": "/shop",
    "archive": "/shop/finished",
    "settings": "/shop/settings",
    "stickers": "/stickers",
    "labels": "/stickers/sheet?mould=1&pour=1&copies=1&first=1&label=one"
    "&width_mm=62+mm&height_mm=29+mm",
    "help": "/help",
}
ASKED = "piece_id=1&mix_id=1&place_id=1&night_low_C=28+F&day_high_C=50+F"
MORE = [
    "/shop/honesty",
    "/pours/5",
    "/pours/5/faults",
    "/pours/1/saved",
    "/help/first-aid",
    "/help/saved",
    *(f"/pours/1/{kind}/add" for kind in ("cover", "note", "set", "dryness", "look", "test")),
    *(f"/pours/1/{kind}/add" for kind in ("batch", "weather")),
    "/pours/1/edit",
    *(f"/pours/{k}/turn" for k in (1, 2, 3)),
    "/tonight",
    "/week",
    "/orders",
    "/orders/new",
    "/orders/plan",
    "/pour?piece=new",
    "/pour/pieces",
    "/pieces/1",
    "/pieces/1/amounts?batch_bags=1&more_water_l=0.5+l&mesh_pitch_mm=50+mm",
    "/stock",
    "/stock/new",
    "/pour/mode",
    "/pours/1/also",
    "/pours/1/like?other_id=2",
    f"/tonight?asked=1&{ASKED}",
    "/shop/things",
    "/shop/people",
    "/shop/delete",
    "/scripts",
    "/scripts?about=steps",
    "/shop/broker",
    "/me",
    "/me/phone",
    "/me/notices",
    "/sign-in",
    "/waiting",
    "/authority",
    *(f"/shop/{noun}/1" for noun in ("piece", "mix", "place", "mould", "sealer")),
    *(f"/shop/{noun}/new" for noun in ("piece", "mix", "place", "mould", "sealer")),
    "/moulds/1/walls",
    "/pours/1/before",
    "/places/1/logger",
    "/moulds",
    "/moulds/1",
    "/week/wait?held=1",  # stays, since what it leads to is held back
]


def fill(store: Store) -> None:
    demo.fill(store, demo.Replay(demo.TIMEZONE, EVENING))


def shown(data: Path, store: Store) -> FastAPI:
    """The app over a store that `fill` filled, with clock and weather of that evening."""
    weather = demo.Replay(demo.TIMEZONE, EVENING)
    own(str(data), "the shop", EVENING)
    settings = Settings(data=str(data), hosts="*", public_address="http://shop.example:8000")
    return create_app(settings, store, weather, Hands(EVENING))


@contextmanager
def american(browser: Browser, site: str, width: int = 390, **more: Any) -> Iterator[Page]:
    """A page of a browser that speaks American in the zone of the shop; more : of its context."""
    context = browser.new_context(
        base_url=site,
        service_workers="block",  # it fetches all files and many pages
        viewport={"width": width, "height": HEIGHT},
        timezone_id=demo.TIMEZONE,
        locale="en-US",
        **more,
    )
    yield context.new_page()
    context.close()
