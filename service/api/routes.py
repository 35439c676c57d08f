"""Every endpoint under /api/v1, and the two addresses outside it."""

from typing import Any

from fastapi import APIRouter, Depends

from service.api import (
    amounts,
    before,
    calendar,
    catalogue,
    due,
    entries,
    faults,
    health,
    instrument_readings,
    known_query,
    likeness,
    metrics,
    moulds,
    orders,
    photos,
    pours,
    record,
    shapes,
    shop,
    steps,
    stock,
    tonight,
    walls,
    weather,
    what_if,
)
from service.problem import Problem

PREFIX = "/api/v1"
_REFUSED: dict[int | str, dict[str, Any]] = {422: {"model": Problem}}  # the rest: document.py

router = APIRouter()
_versioned = APIRouter(
    prefix=PREFIX, responses=_REFUSED, dependencies=[Depends(known_query.only_known)]
)
_after = (
    amounts,
    shapes,
    walls,
    before,
    likeness,
    stock,
    instrument_readings,
    what_if,
    steps,
    photos,
    faults,
    record,
    weather,
    tonight,
    due,
)
for _part in (
    shop.router,
    orders.router,
    *catalogue.ROUTERS,
    moulds.router,
    pours.router,
    *entries.ROUTERS,
    *(one.router for one in _after),
    health.versioned,
):
    _versioned.include_router(_part)
router.include_router(_versioned)
router.include_router(calendar.router)
router.include_router(health.router)
router.include_router(metrics.router)
