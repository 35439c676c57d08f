"""Every endpoint under /api/v1, and the two addresses outside it."""

from typing import Any

from fastapi import APIRouter

from service.api import (
    calendar,
    catalogue,
    due,
    entries,
    health,
    instrument_readings,
    photos,
    pours,
    record,
    shop,
    steps,
    tonight,
    weather,
    what_if,
)
from service.problem import Problem

PREFIX = "/api/v1"
_PROBLEMS: dict[int | str, dict[str, Any]] = {
    code: {"model": Problem, "content": {"application/problem+json": {}}}
    for code in (400, 401, 403, 404, 405, 409, 413, 422, 503)
}

router = APIRouter()
_versioned = APIRouter(prefix=PREFIX, responses=_PROBLEMS)
_after = (instrument_readings, what_if, steps, photos, record, weather, tonight, due)
for _part in (
    shop.router,
    *catalogue.ROUTERS,
    pours.router,
    *entries.ROUTERS,
    *(one.router for one in _after),
    health.versioned,
):
    _versioned.include_router(_part)
router.include_router(_versioned)
router.include_router(calendar.router)
router.include_router(health.router)
