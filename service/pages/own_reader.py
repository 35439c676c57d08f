"""The units, the language and the clock of this browser, chosen on any page, kept in a cookie, and
with the person, for notices."""

from urllib.parse import urlsplit

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from service import preference, under_path
from service.actions.people import notices
from service.pages.form_post import FormPostDep, PageRoute, is_own_path
from service.queries.rows import find_shop

router = APIRouter(route_class=PageRoute, include_in_schema=False)


@router.post("/reader")
def choose(request: Request, post: FormPostDep) -> Response:
    """Keep what was chosen (`units` for all of a preset, or each; `flip` for the other ones), go
    back to where it was chosen. Notices to who is signed in are told so as well."""
    context = post.context
    with context.store.reading() as session:
        secret = find_shop(session).feed_token
    reader = preference.with_chosen(
        context.reader(),
        {name: preference.typed(values[-1]) for name, values in post.fields.items()},
    )
    if post.text("flip"):
        reader = preference.flipped(reader)
    if context.asker.person_id is not None:
        with context.store.unit_of_work() as session:
            notices.read_so(session, context.asker.person_id, preference.chosen(reader))
    answer = RedirectResponse(_back(request, post.text("back")), 303)
    answer.set_cookie(
        preference.COOKIE,
        preference.signed(reader, secret),
        max_age=preference.COOKIE_AGE_S,
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",
    )
    return answer


def _back(request: Request, wanted: str) -> str:
    """A path of our own: the one that was asked for, else the page the form stood on."""
    here = urlsplit(wanted or request.headers.get("referer", ""))
    path = f"{here.path}?{here.query}" if here.query else here.path
    return under_path.own(path) if is_own_path(path) else "/"
