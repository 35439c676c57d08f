"""Signing in by a key that the phone keeps, and keeping such keys, beside the password."""

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from models.errors import InputError
from service.actions.people import passkeys
from service.actions.people import sign_in as signing
from service.actions.people.passkeys import Site
from service.nouns.form import Form
from service.pages import sign_in
from service.pages.flash import Landing
from service.pages.form_post import FormPostDep, PageRoute
from service.queries.rows import NoSuchRow
from service.request_context import ContextDep, Key, RequestContext
from service.store.shops import ALL, within

router = APIRouter(route_class=PageRoute, include_in_schema=False)
JSON = "application/json"


@router.post("/sign-in/passkey/challenge")
def ask(request: Request, context: ContextDep) -> Response:
    """What the phone is to sign, once, within minutes."""
    with context.store.unit_of_work() as session:
        text = passkeys.ask_to_sign_in(session, context.now, _site(request))
    return Response(text, media_type=JSON, headers={"Cache-Control": "no-store"})


@router.post("/sign-in/passkey")
def enter(request: Request, post: FormPostDep) -> Response:
    """In, as by the password; the challenge is used up whether it fits or not."""
    context, answer, then = post.context, post.text("passkey"), post.text("then")
    address = request.client.host if request.client else ""
    attempts = request.app.state.castclock.attempts
    form = sign_in.entering(post)
    try:
        with context.store.unit_of_work() as session:
            challenge = passkeys.take(session, context.now, answer, None)
        with within(ALL), context.store.unit_of_work() as session:
            person = passkeys.who(
                session, context.now, attempts, _site(request), challenge, answer, address
            )
            person_id = person.id
    except signing.TooMany as error:
        return sign_in.too_many(context, form, then, error)
    except InputError as error:
        form.refuse(error)
        return sign_in.page(context, form, then, 422)
    return sign_in.let_in(request, context, person_id, sign_in.own(then))


@router.post("/me/passkeys/challenge")
def ask_for_new(request: Request, post: FormPostDep) -> Response:
    """Only who knows the password adds a key: else a minute with their phone would be enough."""
    context, password = post.context, sign_in.as_typed(post, "passkey_password")
    attempts, person_id = request.app.state.castclock.attempts, _person(post.context)
    with context.store.reading() as session:
        signing.prove(session, context.now, attempts, person_id, password)
    with context.store.unit_of_work() as session:
        text = passkeys.ask_to_add(session, context.now, _site(request), person_id)
    return Response(text, media_type=JSON, headers={"Cache-Control": "no-store"})


@router.post("/me/passkeys")
def add(request: Request, post: FormPostDep) -> Response:
    context, form = post.context, post.form(sign_in.NEW_KEY)

    def store(session: Session) -> Landing:
        person_id, name = _person(context), post.text("passkey_name")
        with form.named("passkey_"):
            answer, site = post.text("passkey"), _site(request)
            passkeys.add(session, context.now, site, person_id, answer, name)
        return Landing("/me", "saved_passkey", {"name": name})

    return post.write(form, store, lambda: sign_in.own_page(context, 422, adding=form))


@router.post("/me/passkeys/{passkey_id}/remove")
def remove(passkey_id: Key, post: FormPostDep) -> Response:
    def store(session: Session) -> Landing:
        passkeys.remove(session, _person(post.context), passkey_id)
        return Landing("/me", "saved_no_passkey")

    return post.write(Form.of([]), store)


def _person(context: RequestContext) -> int:
    person_id = context.asker.person_id
    if person_id is None:
        raise NoSuchRow("address", "me", "nobody is signed in", "sign in first")
    return person_id


def _site(request: Request) -> Site:
    """The host is one of ours: it was asked before any door."""
    return Site(f"{request.url.scheme}://{request.headers['host'].lower()}")
