"""Every endpoint under /api/v1, and the two addresses outside it."""

from typing import Any

from fastapi import APIRouter

from service.api import (
    batches,
    calendar,
    due,
    health,
    mixes,
    moulds,
    photos,
    pieces,
    places,
    pours,
    protections,
    readings,
    record,
    sealers,
    shop,
    steps,
    strength_tests,
    tonight,
    weather,
)
from service.problem import Problem

PREFIX = "/api/v1"
_PROBLEMS: dict[int | str, dict[str, Any]] = {
    code: {"model": Problem, "content": {"application/problem+json": {}}}
    for code in (400, 403, 404, 405, 409, 413, 422, 503)
}

router = APIRouter()
_versioned = APIRouter(prefix=PREFIX, responses=_PROBLEMS)
for _part in (
    shop,
    places,
    mixes,
    pieces,
    moulds,
    sealers,
    pours,
    protections,
    readings,
    batches,
    strength_tests,
    steps,
    photos,
    record,
    weather,
    tonight,
    due,
):
    _versioned.include_router(_part.router)
_versioned.include_router(health.versioned)
router.include_router(_versioned)
router.include_router(calendar.router)
router.include_router(health.router)
