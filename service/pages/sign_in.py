"""Signing in and out, joining by a link, and what each person keeps of their own."""

from typing import Annotated

from fastapi import APIRouter, Path, Query, Request, Response
from fastapi.responses import RedirectResponse
from sqlmodel import Session

from models.errors import InputError
from models.message import Message
from models.records import Invitation
from service import secret
from service.actions.people import join, sign_in
from service.nouns.form import Control, Form
from service.pages import render, view
from service.pages.flash import Landing
from service.pages.form_post import FormPost, FormPostDep, PageRoute, is_own_path
from service.queries import people
from service.queries.rows import NoSuchRow
from service.request_context import ContextDep, RequestContext
from service.signed_in import forget, keep_in
from service.store.shops import ALL, within
from service.words import say

router = APIRouter(route_class=PageRoute, include_in_schema=False)
Code = Annotated[str, Path(max_length=100)]
NAME = Control("name", "Your name", needed=True)
PASSWORD = Control("password", "Password", "secret", needed=True)
NEW = Control(
    "password", "Password", "secret", needed=True, hint="ten letters or more; three words will do"
)
NEW_KEY = [
    Control("passkey_name", "Name of the passkey", needed=True, hint="as: my phone"),
    Control("passkey_password", "The password you have", "secret", needed=True),
]
PASSKEY_NOTES = ("script", "insecure", "number", "unable", "password", "known", "failed")


@router.get("/sign-in")
def ask(context: ContextDep, then: Annotated[str, Query(max_length=2000)] = "/") -> Response:
    if context.asker.person_id is not None:
        return RedirectResponse(own(then), 303)
    return page(context, Form.of([NAME, PASSWORD], None, context.reader()), then)


@router.post("/sign-in")
def enter(request: Request, post: FormPostDep) -> Response:
    """A new secret for this browser, or the form again with one sentence for all that is wrong."""
    context, form = post.context, entering(post)
    then = post.text("then")
    address = request.client.host if request.client else ""
    attempts = request.app.state.castclock.attempts
    try:
        name, password = form.value("name"), as_typed(post, "password")
        if form.wrong:
            return page(context, form, then, 422)
        with within(ALL), context.store.reading() as session:
            person = sign_in.by_password(
                session, context.now, attempts, name or "", password, address
            )
    except sign_in.TooMany as error:
        return too_many(context, form, then, error)
    except InputError as error:
        form.refuse(error)
        return page(context, form, then, 422)
    return let_in(request, context, person.id, own(then))


@router.post("/sign-out")
def leave(request: Request, post: FormPostDep) -> Response:
    """This browser is signed out; what was read here is not kept by it."""
    context = post.context
    if context.asker.sign_in_id is not None:
        with context.store.unit_of_work() as session:
            sign_in.end(session, context.asker.sign_in_id)
    answer = RedirectResponse("/sign-in", 303)
    forget(answer, request.scope)
    answer.headers["Clear-Site-Data"] = '"cache"'
    return answer


@router.get("/join/{code}")
def invited(context: ContextDep, code: Code) -> Response:
    return _join_page(context, code, None)


@router.post("/join/{code}")
def joined(request: Request, post: FormPostDep, code: Code) -> Response:
    """Join, and be signed in at once."""
    context = post.context
    form = post.form(_fields(_invitation(context, code)))
    try:
        name = form.value("name") if NAME.name in form.fields else ""
        password = as_typed(post, "password")
        if form.wrong:
            return _join_page(context, code, form)
        with context.store.unit_of_work() as session:
            person = join.accept(session, context.now, code, name or "", password)
    except NoSuchRow:
        return _join_page(context, code, None)
    except InputError as error:
        form.refuse(error)
        return _join_page(context, code, form)
    return let_in(request, context, person.id, "/")


@router.get("/me")
def mine(context: ContextDep) -> Response:
    return own_page(context)


@router.post("/me/password")
def change(request: Request, post: FormPostDep) -> Response:
    """Only who knows the old one; who guesses has to wait."""
    attempts = request.app.state.castclock.attempts
    form = post.form(_change())

    def store(session: Session) -> Landing:
        person_id = post.context.asker.person_id
        if person_id is None:
            raise NoSuchRow("address", "me", "nobody is signed in", "sign in first")
        with form.named("", {"password": "old"}):
            old = as_typed(post, "old")
            sign_in.prove(session, post.context.now, attempts, person_id, old)
        join.change_password(session, person_id, as_typed(post, "password"))
        return Landing("/me", "saved_password")

    return post.write(form, store, lambda: own_page(post.context, 422, changing=form))


@router.post("/me/everywhere")
def everywhere(request: Request, post: FormPostDep) -> Response:
    """Every browser of this person is signed out, this one too."""
    context = post.context
    if context.asker.person_id is not None:
        with context.store.unit_of_work() as session:
            join.sign_out_everywhere(session, context.asker.person_id)
    answer = RedirectResponse("/sign-in", 303)
    forget(answer, request.scope)
    return answer


def let_in(request: Request, context: RequestContext, person_id: int, to: str) -> Response:
    with within(ALL), context.store.unit_of_work() as session:
        if context.asker.sign_in_id is not None:
            sign_in.end(session, context.asker.sign_in_id)
        browser = view.browser(request.headers.get("user-agent", ""))
        made = sign_in.begin(session, context.now, person_id, browser)
    answer = RedirectResponse(to, 303)
    keep_in(answer, request.scope, made)
    return answer


def entering(post: FormPost) -> Form:
    """The form of the page of sign-in."""
    return post.form([NAME, PASSWORD])


def too_many(context: RequestContext, form: Form, then: str, error: sign_in.TooMany) -> Response:
    """The page of sign-in, which says how long to wait."""
    form.refuse(error)
    answer = page(context, form, then, 429)
    answer.headers["Retry-After"] = f"{int(error.wait.total_seconds()) + 1}"
    return answer


def page(context: RequestContext, form: Form, then: str, status: int = 200) -> Response:
    """The page of sign-in."""
    _unsaid(form)
    with within(ALL), context.store.reading() as session:
        known = people.anybody(session)
    return render.page(
        "sign_in.html",
        status,
        title="Sign in",
        reader=context.reader(),
        form=form,
        then=own(then),
        known=known,
        passkey_notes=notes(context),
    )


def as_typed(post: FormPost, name: str) -> str:
    """A password: its blanks count."""
    return post.fields.get(name, [""])[-1]


def notes(context: RequestContext) -> dict[str, str]:
    """What the script of passkeys may have to say."""
    return {one: say(Message(f"passkey_{one}"), context.reader()) for one in PASSKEY_NOTES}


def _invitation(context: RequestContext, code: str) -> Invitation | None:
    with context.store.reading() as session:
        return people.invitation(session, secret.digest(code), context.now)


def _fields(found: Invitation | None) -> list[Control]:
    """A link of somebody who is there asks for a new password alone."""
    return [NEW] if found is not None and found.person_id is not None else [NAME, NEW]


def _join_page(context: RequestContext, code: str, form: Form | None) -> Response:
    found = _invitation(context, code)
    fields = _fields(found)
    _unsaid(form)
    return render.page(
        "join.html",
        404 if found is None else 200 if form is None else 422,
        title="Join the shop",
        reader=context.reader(),
        found=found,
        code=code,
        form=form or Form.of(fields, None, context.reader()),
        fields=[one.name for one in fields],
    )


def _change() -> list[Control]:
    return [Control("old", "The password you have", "secret", needed=True), NEW]


def own_page(
    context: RequestContext,
    status: int = 200,
    *,
    changing: Form | None = None,
    adding: Form | None = None,
) -> Response:
    """What is one's own: the browsers, the passkeys, the password."""
    reader = context.reader()
    form = changing or Form.of(_change(), None, reader)
    adding = adding or Form.of(NEW_KEY, None, reader)
    _unsaid(form)
    _unsaid(adding)
    clock = view.Clock(context.now, context.reader())
    person_id = context.asker.person_id
    with context.store.reading() as session:
        browsers = [] if person_id is None else people.sign_ins(session, person_id)
        keys = [] if person_id is None else people.passkeys(session, person_id)
    return render.page(
        "me.html",
        status,
        title=context.asker.name or "This machine",
        reader=clock.reader,
        asker=context.asker,
        form=form,
        browsers=[(one.browser, clock(one.seen_at)) for one in browsers],
        adding=adding,
        keys=[(one, clock(one.used_at)) for one in keys],
        passkey_notes=notes(context),
    )


def _unsaid(form: Form | None) -> None:
    """A password that was typed is on no page."""
    for name in ("old", "password", "passkey_password"):
        if form is not None and form.typed is not None:
            form.typed.pop(name, None)


def own(path: str) -> str:
    """A path of our own, else Today: no link leads through the sign-in to another site."""
    own = is_own_path(path) and not path.startswith("/sign-in")
    return path if own and path.isprintable() else "/"
