"""What waits on this phone for signal: a page that its script fills from the phone's own store."""

from fastapi import APIRouter, Response

from service.pages import render
from service.pages.form_post import PageRoute
from service.request_context import ContextDep

router = APIRouter(route_class=PageRoute, include_in_schema=False)


@router.get("/waiting")
def show(context: ContextDep) -> Response:
    return render.page("waiting.html", title="Waiting on this phone", reader=context.reader())
