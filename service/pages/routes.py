"""Every page, and the files beside them."""

from importlib.resources import files
from typing import Annotated

from fastapi import APIRouter, Path, Response

from service.pages import (
    archive,
    care,
    correct,
    due,
    help,
    log,
    logger,
    mode,
    notes,
    own_reader,
    photos,
    place,
    plan,
    pour,
    readings,
    record,
    shop,
    steps,
    stickers,
    tonight,
    week,
)
from service.pages.form_post import PageRoute

STATIC = {
    "castclock.css": "text/css; charset=utf-8",
    "piece.css": "text/css; charset=utf-8",
    "week.css": "text/css; charset=utf-8",
    "log.css": "text/css; charset=utf-8",
    "log.js": "text/javascript; charset=utf-8",
    "today.css": "text/css; charset=utf-8",
    "today.js": "text/javascript; charset=utf-8",
    "here.js": "text/javascript; charset=utf-8",
    "copy.js": "text/javascript; charset=utf-8",
    "picture.css": "text/css; charset=utf-8",
    "picture.js": "text/javascript; charset=utf-8",
    "mode.css": "text/css; charset=utf-8",
    "mode.js": "text/javascript; charset=utf-8",
    "plan.css": "text/css; charset=utf-8",
    "plan.js": "text/javascript; charset=utf-8",
    "photo.js": "text/javascript; charset=utf-8",
    "sheet.css": "text/css; charset=utf-8",
    "paper.css": "text/css; charset=utf-8",
    "icon.svg": "image/svg+xml",
}

router = APIRouter(route_class=PageRoute, include_in_schema=False)
_PARTS = (
    *(due, log, pour, correct, notes, readings, steps, photos, record, tonight, week, place),
    *(archive, shop, own_reader, care, stickers, help, plan, mode, logger),
)
for _part in _PARTS:
    router.include_router(_part.router)


@router.get("/static/{name}")
def static(name: Annotated[str, Path(max_length=40)]) -> Response:
    """The style and the one script; fetched anew when the program is."""
    if name not in STATIC:
        return Response(status_code=404)
    content = (files("service.pages") / "static" / name).read_bytes()
    return Response(content, media_type=STATIC[name], headers={"Cache-Control": "max-age=3600"})
