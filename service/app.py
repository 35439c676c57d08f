"""create_app: the doors put together; nothing is opened or started at import."""

from collections.abc import Callable
from datetime import datetime
from operator import attrgetter
from typing import Any

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from service import machine
from service.api import document, problems, routes
from service.bodies import BodyLimit
from service.middleware import (
    HeadIsGet,
    HeadLimit,
    NotModified,
    OwnHosts,
    SafeHeaders,
    SameSite,
)
from service.pages import routes as pages
from service.request_context import AppState, utc_now
from service.settings import Settings
from service.signed_in import OnlyWhoMay
from service.store import Store
from service.under_path import UnderPath
from service.watched_requests import WatchedRequests
from service.weather.provider import Provider

SMALL = 1000  # bytes that fit one packet: not worth the work of packing


def create_app(
    settings: Settings,
    store: Store,
    weather: Provider,
    clock: Callable[[], datetime] = utc_now,
) -> FastAPI:
    """The application over an upgraded store whose shop is open."""
    app = routed(settings.root_path)
    app.state.castclock = AppState(settings, store, weather, clock)
    problems.install(app)
    app.add_middleware(HeadIsGet)
    app.add_middleware(NotModified)
    app.add_middleware(GZipMiddleware, minimum_size=SMALL, compresslevel=6)
    app.add_middleware(OnlyWhoMay)
    app.add_middleware(BodyLimit)
    app.add_middleware(SameSite, public_address=settings.public_address)
    app.add_middleware(OwnHosts, names=machine.own_names(settings))
    app.add_middleware(HeadLimit)
    app.add_middleware(SafeHeaders)
    app.add_middleware(WatchedRequests)
    if settings.root_path:
        app.add_middleware(UnderPath, path=settings.root_path)
    return app


class Doors(FastAPI):
    """Every address, with the document of those of the interface."""

    def openapi(self) -> dict[str, Any]:
        if self.openapi_schema is None:
            self.openapi_schema = document.completed(super().openapi())
        return self.openapi_schema


def routed(root_path: str = "") -> FastAPI:
    """The doors alone, which is enough to tell of them.

    root_path : below which they are served
    """
    app = Doors(
        title="castclock",
        version="1",
        summary="When concrete pieces may be stripped, turned, sanded and sealed, by the weather.",
        docs_url=None,  # its page would fetch scripts from a foreign host
        redoc_url=None,
        openapi_url=f"{routes.PREFIX}/openapi.json",
        generate_unique_id_function=attrgetter("name"),
        servers=[{"url": root_path}] if root_path else None,
    )
    app.include_router(routes.router)
    app.include_router(pages.router)
    return app
