"""Every page, and the files beside them."""

from fastapi import APIRouter

from service.pages import (
    archive,
    care,
    confirm,
    correct,
    due,
    help,
    how,
    log,
    logger,
    mode,
    notes,
    own_reader,
    people,
    phones,
    photos,
    place,
    plan,
    pour,
    readings,
    record,
    settings,
    shop,
    sign_in,
    static_files,
    steps,
    stickers,
    tonight,
    understood,
    undo,
    week,
)
from service.pages.form_post import PageRoute

router = APIRouter(route_class=PageRoute, include_in_schema=False)
_PARTS = (
    due,
    log,
    pour,
    correct,
    confirm,
    how,
    notes,
    readings,
    steps,
    photos,
    record,
    tonight,
    week,
    place,
    settings,
    people,
    phones,
    archive,
    shop,
    sign_in,
    own_reader,
    care,
    stickers,
    help,
    plan,
    mode,
    logger,
    understood,
    undo,
)
for _part in _PARTS:
    router.include_router(_part.router)
router.include_router(static_files.router)
